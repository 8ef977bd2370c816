"""Bays that repeat one that is told: each counted from both posts inward, a wider one with more of what
stands in the middle."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np
from msgspec import Struct

from genhouse.core.box import Rect
from genhouse.core.spoken import listed, some
from genhouse.model.design import Design
from genhouse.model.elements import Wall
from genhouse.outputs.even.work import Done, Kinds

Columns = tuple[bytes, ...]
"""What a bay holds of each of its cells along, one after another: across and up."""


class Bay(Struct, frozen=True, gc=False):
    """A length of wall as a step builds it."""

    wall: Wall
    columns: Columns

    @property
    def line(self) -> tuple[str, int, int]:
        """The line that it stands in: the axis along which this runs, and where it lies across."""
        return self.wall.axis, self.wall.lie.y0, self.wall.lie.y1


class Family(Struct, frozen=True, kw_only=True):
    """Bays that repeat the first, in their order, and those of the same lines that do not."""

    first: Bay
    same: tuple[Bay, ...]
    odd: tuple[Bay, ...]


def stretched(columns: Columns, wide: int) -> Columns:
    """A bay made so many cells wide: counted from both ends inward.

    >>> stretched((b"a", b"b", b"a"), 5)
    (b'a', b'b', b'b', b'b', b'a')
    >>> stretched((b"a", b"b", b"c", b"d"), 2)
    (b'a', b'd')
    """
    most, half = (len(columns) - 1) // 2, (wide + 1) // 2
    from_low = (columns[min(n, most)] for n in range(half))
    from_high = (columns[len(columns) - 1 - min(n, most)] for n in range(wide - half))
    return (*from_low, *reversed(tuple(from_high)))


def repeats(first: Columns, other: Columns) -> bool:
    return stretched(first, len(other)) == other


def bays_of(design: Design, done: Done) -> tuple[Bay, ...]:
    """Those in which a step sets something, line by line."""
    found, taken = list[Bay](), set[tuple[int, int]]()
    for wall in sorted(design.segments, key=lambda w: (w.z0, w.axis, w.lie.y0, w.lie.x0)):
        x0, y0, x1, y1 = wall.cells
        if done.kinds[x0:x1, y0:y1, wall.z0 : wall.z1].any() and taken.isdisjoint(
            wall.cells.cells()
        ):
            taken.update(wall.cells.cells())
            found.append(Bay(wall, _columns(done, wall.cells, wall.axis)))
    return tuple(sorted(found, key=lambda bay: (bay.line, bay.wall.lie.x0)))


def _columns(done: Done, cells: Rect, axis: str) -> Columns:
    x0, y0, x1, y1 = cells
    here = done.kinds[x0:x1, y0:y1]
    lying = here if axis == "x" else here.transpose(1, 0, 2)
    return tuple(np.ascontiguousarray(column).tobytes() for column in lying)


def lines(bays: Sequence[Bay]) -> Iterator[tuple[Bay, ...]]:
    """Bays that stand in one line each, as ``bays_of`` has them."""
    for _, line in groupby(bays, key=lambda bay: bay.line):
        yield tuple(line)


def family(bays: Sequence[Bay]) -> Family:
    """The most that repeat one, with what of the same bays is left."""
    kinds = Counter(bay.columns for bay in bays)
    alike = {one: {other for other in kinds if repeats(one, other)} for one in kinds}
    counts = [sum(kinds[other] for other in alike[bay.columns]) for bay in bays]
    first = counts.index(max(counts))
    kept = [bay.columns in alike[bays[first].columns] for bay in bays]
    return Family(
        first=bays[first],
        same=tuple(bay for n, bay in enumerate(bays) if kept[n] and n != first),
        odd=tuple(bay for n, bay in enumerate(bays) if not kept[n]),
    )


def families(bays: Sequence[Bay]) -> Iterator[Family]:
    """Bays that stand by themselves, kind by kind; none is odd."""
    left = tuple(bays)
    while left:
        one = family(left)
        yield Family(first=one.first, same=one.same, odd=())
        left = one.odd


OPENS = {
    "none": ("is closed", "are closed"),
    "screens": ("has screens", "have screens"),
    "door": ("has the door", "have doors"),
    "entrance": ("has the entrance", "have entrances"),
    "passage": ("is a bare passage", "are bare passages"),
    "gate": ("has the gate", "have gates"),
}


def told_of(wall: Wall) -> tuple[str, str]:
    """What a wall is, as one says it of one and of several."""
    if wall.boundary == "open" and wall.opening == "none":
        return "stays open", "stay open"
    if wall.opening == "window":
        look = f"{wall.look} window" if wall.look else "window"
        return f"has a {look}", f"have {look}s"
    if wall.opening == "none" and wall.look not in ("", "blank"):
        return f"is {wall.look}", f"are {wall.look}"
    return OPENS[wall.opening]


def why(first: Bay, odd: Bay, done: Done) -> tuple[str, str]:
    """In what a bay differs from the one that others repeat, as one says it of one and of several."""
    if done.step.stage == "walls" and told_of(first.wall) != told_of(odd.wall):
        return told_of(odd.wall)
    one, other = (
        np.array([np.frombuffer(column, np.int64) for column in columns])
        for columns in (stretched(first.columns, len(odd.columns)), odd.columns)
    )
    if one.shape == other.shape and (fall := _fall(one, other, done)):
        layers = f"{some(abs(fall), 'layer') if abs(fall) > 1 else 'a layer'}"
        way = "lower" if fall < 0 else "higher"
        return f"is the same, {layers} {way}", f"are the same, {layers} {way}"
    if one.shape == other.shape and (one[::-1] == other).all():
        return "is its mirror image", "are its mirror images"
    before, after = (Counter(kinds[kinds > 0].tolist()) for kinds in (one, other))
    more, less = (_counted(a - b, done) for a, b in ((after, before), (before, after)))
    told = f"{more} in place of {less}" if more and less else f"{more or less} {MORE[bool(more)]}"
    if not more and not less:
        told = "the same pieces in other places"
    return f"takes {told}", f"take {told}"


MORE = ("less", "more")


def _counted(kinds: Counter[int], done: Done) -> str:
    ranked = sorted(kinds.items())
    before = (0, *(kind for kind, _ in ranked))
    return listed(
        f"{done.piece(kind, after)} ({n})" for (kind, n), after in zip(ranked, before, strict=False)
    )


def _fall(one: Kinds, other: Kinds, done: Done) -> int:
    """By how many layers what is otherwise the same lies higher; 0 where it is not."""
    if not (one.any() and other.any()):
        return 0
    high = done.kinds.shape[2]
    one, other = (kinds.reshape(len(kinds), -1, high) for kinds in (one, other))
    low, up = (int(np.flatnonzero(kinds.any(axis=(0, 1)))[0]) for kinds in (one, other))
    return up - low if (np.roll(one, up - low, axis=2) == other).all() else 0
