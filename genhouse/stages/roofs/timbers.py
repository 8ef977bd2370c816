"""The timbers of the roof void: ridge beams and purlins under the slopes, and what carries them.

A rafter may run so far between two bearings, in plan (RULE 6); where a slope is longer, purlins lie
under it.  A beam runs between walls; where no wall carries it, a collar from slope to slope does, or
a post on the tie beam below.  No timber comes beside a flue.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import Axis
from genhouse.core.box import Box, Rect
from genhouse.model.part import Part
from genhouse.model.roof import RIDGED
from genhouse.stages._wings import Wing
from genhouse.stages.bays import Bays
from genhouse.stages.roofs.ends import Style, Styles, outer_sides
from genhouse.stages.roofs.slopes import NONE, Field, by_cell, closed_on
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from genhouse.traditions.loader import Tradition

Cell = tuple[int, int]
LEAST = 2
"""Cells of the shortest beam."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Void:
    """What the timbers have to fit into.

    under: lowest underside by cell, half cells, as [x][y].  walled: cells with a wall up to the roof.
    flue: the hearth's.  shut: cells on which no post may stand.  floor: z of the lowest free cell
    below.  head: cells kept clear over it.  rafter, beam: longest run and clear span in cells.
    """

    under: Sequence[Sequence[int]]
    walled: Sequence[Sequence[bool]]
    flue: Cell
    shut: Sequence[Rect]
    floor: int
    head: int
    rafter: int
    beam: int

    def open(self, x: int, y: int, z: int) -> bool:
        """Whether a timber may lie here: under the roof, in no wall, not beside the flue."""
        beside = max(abs(x - self.flue[0]), abs(y - self.flue[1])) <= 1
        return not (beside or self.walled[x][y]) and self.under[x][y] >= 2 * (z + 1)


@dataclass(frozen=True, slots=True)
class _Laid:
    """Timbers as they are laid, and the cells they take."""

    parts: list[Part] = field(default_factory=list)
    taken: set[tuple[int, int, int]] = field(default_factory=set)

    def lay(self, role: str, form: str, box: Box) -> None:
        self.parts.append(Part("roof", role, form, box))
        self.taken.update(box.cells())


def beam_rows(wing: Wing, style: Style, rafter: int, site: Site) -> tuple[tuple[str, int], ...]:
    """(role, line of cells) of each beam along a wing: its ridge, and the purlins its rafters need."""
    low = wing.rect.y0 if wing.axis == "x" else wing.rect.x0
    if style.form in RIDGED:
        run = wing.span // 2
        if run <= rafter - 1:
            return ()
        steps = list(range(rafter, run, rafter))
        rows = [("purlin", low + n) for n in steps]
        rows += [("purlin", low + wing.span - n) for n in steps]
        return (("ridge-beam", wing.middle), *rows)
    from_low = outer_sides(site, wing)[1] or style.form == "flat"
    steps = list(range(rafter, wing.span, rafter))
    return tuple(("purlin", low + (n if from_low else wing.span - n)) for n in steps)


def timbers(
    site: Site,
    bays: Bays,
    rooms: Rooms,
    styles: Styles,
    under: Field,
    walled: npt.NDArray[np.bool_],
    tradition: Tradition,
) -> tuple[Part, ...]:
    """Lay every beam of the roof void and its supports, wing by wing.

    under: the lowest underside.  walled: cells with a wall up to the roof.
    """
    levels = tradition.levels
    void = _Void(
        under=by_cell(under).tolist(),
        walled=walled.tolist(),
        flue=rooms.hearth.cell,
        shut=_shut(rooms),
        floor=levels.upper_floor,
        head=0,
        rafter=tradition.roof.rafter,
        beam=tradition.roof.beam,
    )
    laid = _Laid()
    for n, (wing, style) in enumerate(styles.items()):
        lines = _lines(bays, n, wing.axis)
        void = replace(void, head=2 if wing.storeys == 2 else 0)
        for role, row in beam_rows(wing, style, void.rafter, site):
            for run in _runs(wing, row, void, laid):
                _lay(wing.axis, role, row, run, lines, void, laid)
    return tuple(laid.parts)


def _shut(rooms: Rooms) -> tuple[Rect, ...]:
    """The cells of the upper floor that people need: round the stairwell, before each way."""
    ways = tuple(s.way.grown(1) for s in rooms.segments if s.level == 2 and s.way is not None)
    return ways if rooms.stair is None else (*ways, rooms.stair.well.grown(1))


def seated(under: Field, beams: Sequence[Part]) -> Field:
    """The underside brought down on the beams that lie just below it."""
    lowest = by_cell(under)
    crown = np.zeros_like(lowest)
    for x0, y0, _, x1, y1, z1 in sorted((p.box for p in beams), key=lambda box: box.z1):
        crown[x0:x1, y0:y1] = z1
    return closed_on(under, crown == lowest // 2)


def clearance(under: Field, beams: Sequence[Part]) -> npt.NDArray[np.int16]:
    """Half cells, by cell, up to the lowest underside or timber."""
    lowest = by_cell(under)
    foot = lowest.copy()
    for x0, y0, z0, x1, y1, _ in sorted((p.box for p in beams), key=lambda box: -box.z0):
        foot[x0:x1, y0:y1] = 2 * z0
    return np.minimum(lowest, foot)


@dataclass(frozen=True, slots=True)
class _Run:
    """Cells ``start`` to ``end`` along a row, in layer z."""

    start: int
    end: int
    z: int


def _lines(bays: Bays, wing: int, axis: Axis) -> tuple[int, ...]:
    """The cross lines of a wing at which tie beams run below."""
    rects = [u.rect for u in bays.units if u.wing == wing]
    ends = {n for r in rects for n in ((r.x0 - 1, r.x1) if axis == "x" else (r.y0 - 1, r.y1))}
    return tuple(sorted(ends))


def _runs(wing: Wing, row: int, void: _Void, laid: _Laid) -> Iterator[_Run]:
    """The stretches of a row in which a beam can lie, all at one height."""
    r = wing.rect
    places = range(r.x0 + 1, r.x1 - 1) if wing.axis == "x" else range(r.y0, r.y1)
    cells = [_at(wing.axis, n, row) for n in places]
    free = [
        void.under[x][y] // 2 - 1
        for x, y in cells
        if void.under[x][y] != NONE and not void.walled[x][y]
    ]
    if not free:
        return
    z = min(set(free), key=lambda level: (-free.count(level), level))
    start = None
    for n in (*places, None):
        fits = (
            n is not None
            and void.open(*(at := _at(wing.axis, n, row)), z)
            and (*at, z) not in laid.taken
        )
        if fits and start is None:
            start = n
        elif not fits and start is not None:
            end = places[-1] + 1 if n is None else n
            if end - start >= LEAST and z >= void.floor + void.head:
                yield _Run(start, end, z)
            start = None


def _lay(
    axis: Axis, role: str, row: int, run: _Run, lines: Sequence[int], void: _Void, laid: _Laid
) -> None:
    """One beam, if it can be carried at both ends and at each line where no wall stands."""
    wanted = [n for n in lines if run.start < n < run.end - 1]
    wanted += [
        end for end, beyond in _ends(run) if not _bears(axis, beyond, row, run.z, void, laid)
    ]
    supports = [_support(axis, n, row, run.z, void, laid) for n in sorted(set(wanted))]
    carried = [s for s in supports if s is not None]
    if len(carried) < len(supports):
        return
    laid.lay(role, "full", _along(axis, run.start, run.end, row, run.z))
    for kind, box in carried:
        if box.volume:
            laid.lay(kind, "full", box)
    for end, beyond in _ends(run):
        x, y = _at(axis, beyond, row)
        if void.walled[x][y] and role == "ridge-beam":
            _brace(axis, end, beyond, row, run.z, void, laid)


def _ends(run: _Run) -> tuple[tuple[int, int], tuple[int, int]]:
    """(last cell, the one beyond it) of each end."""
    return ((run.start, run.start - 1), (run.end - 1, run.end))


def _bears(axis: Axis, beyond: int, row: int, z: int, void: _Void, laid: _Laid) -> bool:
    """Whether a wall, a slope or another beam takes the end of a beam."""
    x, y = _at(axis, beyond, row)
    if void.walled[x][y] or (x, y, z) in laid.taken:
        return True
    near_flue = max(abs(x - void.flue[0]), abs(y - void.flue[1])) <= 1
    return not near_flue and NONE < void.under[x][y] < 2 * (z + 1)


def _support(
    axis: Axis, n: int, row: int, z: int, void: _Void, laid: _Laid
) -> tuple[str, Box] | None:
    """A collar under a beam, from slope to slope; else a post on the tie beam below; else nothing."""
    x, y = _at(axis, n, row)
    level = z - 1
    if level >= void.floor + void.head and void.open(x, y, level):
        low = high = row
        while void.open(*_at(axis, n, low - 1), level):
            low -= 1
        while void.open(*_at(axis, n, high + 1), level):
            high += 1
        other: Axis = "y" if axis == "x" else "x"
        ends = [_bears(other, e, n, level, void, laid) for e in (low - 1, high + 1)]
        box = _along(other, low, high + 1, n, level)
        if all(ends) and high + 1 - low <= void.beam and not set(box.cells()) & laid.taken:
            return "collar", box
    if any(rect.has(x, y) for rect in void.shut) or not void.open(x, y, z):
        return None
    foot = max((n + 1 for n in range(void.floor, z) if (x, y, n) in laid.taken), default=void.floor)
    return "roof-post", Box(x, y, foot, x + 1, y + 1, z)


def _brace(axis: Axis, end: int, beyond: int, row: int, z: int, void: _Void, laid: _Laid) -> None:
    """A knee between a wall and the beam that it carries, over one's head."""
    x, y = _at(axis, end, row)
    if z - 1 < void.floor + void.head or not void.open(x, y, z - 1) or (x, y, z - 1) in laid.taken:
        return
    sides = ("west", "east") if axis == "x" else ("south", "north")
    laid.lay("brace", f"bracket {sides[beyond > end]}", Box.cell(x, y, z - 1))


def _at(axis: Axis, along: int, across: int) -> Cell:
    return (along, across) if axis == "x" else (across, along)


def _along(axis: Axis, start: int, end: int, across: int, z: int) -> Box:
    cells = (
        Rect(start, across, end, across + 1)
        if axis == "x"
        else Rect(across, start, across + 1, end)
    )
    return cells.up(z, z + 1)
