"""Places: the sets of bays that can be one room, and what lies about each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.axes import Side
from genhouse.core.box import Rect
from genhouse.stages.bays import Bays, halved
from genhouse.stages.site import Site, lines_round, stands_alone

LONGEST = 3
"""Bays of the longest room."""


class Place(Struct, frozen=True, gc=False):
    """A set of atoms that can be one room.  court: it opens to a veranda.  apart: its wing stands in
    the open, and one comes to it from there.  lit: some wall of it stands to outdoors or to a court.
    depth: 0 at the gate, 10 at the far end.  work: 1 where it lies by the service court or apart, -1
    by another court, 0 by both or where there is none.  wing: that it lies in, by name.
    """

    atoms: int
    rect: Rect
    court: bool
    apart: bool = False
    lit: bool = True
    depth: int = 0
    work: int = 0
    wing: str = ""


def places(
    site: Site,
    bays: Bays,
    taken: frozenset[int],
    door: Rect,
    level: int,
    left: Sequence[Rect] = (),
    *,
    halves: bool = True,
) -> tuple[Place, ...]:
    """Every run of neighbouring free bays of the wings that reach a storey.

    door: where one comes in; depth is measured from it.  left: floor that is left of taken bays.
    halves: whether deep wings may be parted lengthwise.
    """
    found: list[Place] = []
    first = 0
    low = frozenset(n for n, u in enumerate(bays.units) if site.wings[u.wing].storeys < level)
    for row in _rows(bays, taken | low):
        parted = halves and not any(bays.units[n].single for n in row)
        found += _runs(site, bays, row, first, parted)
        first += len(row) * (1 + parted)
    for n, rect in enumerate(left, first):
        found.append(Place(atoms=1 << n, rect=rect, court=opens(site, rect)))
    standing = [wing for wing in site.wings if stands_alone(site, wing)]
    away = [_away(p.rect, door) for p in found]
    far = max(away, default=0) or 1
    return tuple(
        replace(
            p,
            depth=10 * a // far,
            apart=(apart := any(wing.rect.holds(p.rect) for wing in standing)),
            work=1 if apart else _working(site, p.rect),
            lit=_lit(site, p.rect),
            wing=next((w.name for w in site.wings if w.rect.holds(p.rect)), ""),
        )
        for p, a in zip(found, away, strict=True)
    )


def beyond(rect: Rect) -> dict[Side, Rect]:
    """The rows of cells past the walls of a room, by side."""
    return lines_round(rect, 2)


def _lit(site: Site, rect: Rect) -> bool:
    """Whether nothing is built behind some wall, or part of it, and no neighbour stands there."""
    return any(
        site.ground.holds(row)
        and not any(wing.rect.holds(row) for wing in site.wings)
        and sum(wing.rect.meet(row).area for wing in site.wings) < row.area
        for row in beyond(rect).values()
    )


def centred(court: Rect, rect: Rect) -> bool:
    """Whether a room lies along a court before its middle, or behind it; where two bays are all that a
    court has room for, before a cell in its middle."""
    if not along(court, rect):
        return False
    middle = court.x0 + court.width // 2
    beside = court.x0 in (rect.x0, rect.x0 - 1) or court.x1 in (rect.x1, rect.x1 + 1)
    near = beside and (rect.x0 <= middle < rect.x1 or rect.x0 <= middle - 1 < rect.x1)
    return court.x0 + court.x1 == rect.x0 + rect.x1 or (near and court.width < 2 * rect.width + 2)


def off_middle(court: Rect, rect: Rect) -> int:
    """Twice how far a room before or behind a court lies off its middle."""
    return abs(court.x0 + court.x1 - rect.x0 - rect.x1)


def _away(a: Rect, b: Rect) -> int:
    return abs(a.x0 + a.x1 - b.x0 - b.x1) + abs(a.y0 + a.y1 - b.y0 - b.y1)


def _rows(bays: Bays, taken: frozenset[int]) -> Iterator[list[int]]:
    """Neighbouring free units of each wing, in order; deep and corner bays apart where they differ."""
    row: list[int] = []
    for n, unit in enumerate(bays.units):
        if row and (unit.wing != bays.units[row[-1]].wing or n in taken):
            yield row
            row = []
        if n not in taken:
            row.append(n)
    if row:
        yield row


def _runs(site: Site, bays: Bays, row: list[int], first: int, halves: bool) -> Iterator[Place]:
    step = 1 + halves
    for i in range(len(row)):
        for j in range(i + 1, min(i + LONGEST, len(row)) + 1):
            units = row[i:j]
            rect = bays.units[units[0]].rect.hull(bays.units[units[-1]].rect)
            atoms = ((1 << step * (j - i)) - 1) << (first + step * i)
            yield Place(atoms=atoms, rect=rect, court=opens(site, rect))
            if halves and not any(bays.units[n].corner for n in units):
                every_other = sum(1 << (first + step * k) for k in range(i, j))
                for n, half in enumerate(halved(rect, bays.units[units[0]].axis)):
                    yield Place(atoms=every_other << n, rect=half, court=opens(site, half))


def opens(site: Site, rect: Rect) -> bool:
    """Whether a veranda runs along one of its sides."""
    return any(along(court, rect) for court in site.courts)


def along(court: Rect, rect: Rect) -> bool:
    """Whether a room has a side to a court."""
    return any(map(court.meets, beyond(rect).values()))


def _working(site: Site, rect: Rect) -> int:
    if site.service is None:
        return 0
    others = [court for court in site.courts if court != site.service]
    own, other = along(site.service, rect), any(along(court, rect) for court in others)
    if own or other:
        return own - other
    return 1 if _away(rect, site.service) < min(_away(rect, court) for court in others) else -1
