"""The timbers of the roof void: ridge beams and purlins under the slopes, and what carries them.

A rafter may run so far between two bearings, in plan (RULE 6); where a slope is longer, purlins lie
under it.  A beam runs between walls; where no wall carries it, a collar from slope to slope does, or
a post on the tie beam below.  No timber comes beside a flue.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import CROSS, ENDS, STEP, Axis, cell_at
from genhouse.core.box import Box, Rect
from genhouse.model.elements import Beam, Member, Support
from genhouse.model.roof import RIDGED
from genhouse.stages._wings import Wing
from genhouse.stages.bays import Bays
from genhouse.stages.roofs.ends import Joints, Style, Styles
from genhouse.stages.roofs.slopes import NONE, Field, by_cell, closed_on
from genhouse.stages.rooms import Rooms
from genhouse.traditions.tradition import Tradition

Cell = tuple[int, int]
LEAST = 2
"""Cells of the shortest beam."""
HEAD = 2
"""Cells kept clear of timbers over a floor."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Void:
    """What the timbers have to fit into.

    under: layer of the lowest underside by cell, as [x][y], or NONE.  free: the same, NONE too where no
    timber may lie: in walls and beside the flue.  walled: cells with a wall up to the roof.
    rooms: those below.  floor: z of the lowest free cell.  lowest: z of the lowest timber over it.
    beam: longest clear span in cells.
    """

    under: Sequence[Sequence[int]]
    free: Sequence[Sequence[int]]
    walled: Sequence[Sequence[bool]]
    rooms: Rooms
    floor: int
    lowest: int
    beam: int

    def open(self, x: int, y: int, z: int) -> bool:
        """Whether a timber may lie here: under the roof, in no wall, not beside the flue."""
        return self.has(x, y) and self.free[x][y] > z

    def has(self, x: int, y: int) -> bool:
        """Whether a cell lies on the plot: a roof may be open up to its edge."""
        return 0 <= x < len(self.free) and 0 <= y < len(self.free[x])

    def shut(self, x: int, y: int) -> bool:
        """Whether people need the floor below here: round the stairwell, before each way."""
        rooms, levels = self.rooms, {room.level for room in self.rooms.lofty}
        ways = (s.way for s in rooms.segments if s.level in levels and s.way is not None)
        wells = (stair.well for stair in rooms.stairs)
        return any(rect.grown(1).has(x, y) for rect in (*ways, *wells))

    def opened(self, x: int, y: int, z: int) -> bool:
        """Whether a way under the roof leads through a wall here, as high as this."""
        levels = {room.level for room in self.rooms.lofty}
        walls = (s for s in self.rooms.segments if s.level in levels and s.floor <= z < s.top)
        return any(s.way is not None and s.way.has(x, y) for s in walls)

    def parts_floor(self, x: int, y: int, posts: Collection[tuple[int, int, int]]) -> bool:
        """Whether a post here, beside those that stand, would part the floor of its room in two."""
        free = self._walked(x, y) - {(i, j) for i, j, z in posts if z == self.floor}
        around = {(x + dx, y + dy) for dx, dy in STEP.values()} & free
        reached = edge = set(sorted(around)[:1])
        while edge:
            edge = {(i + dx, j + dy) for i, j in edge for dx, dy in STEP.values()} & free - reached
            reached = reached | edge
        return not around <= reached

    def _walked(self, x: int, y: int) -> set[Cell]:
        """The floor of the room round a cell, but for that cell, the flue and the stairwell."""
        room = next((r for r in self.rooms.lofty if r.has(x, y)), None)
        taken = {(x, y), self.rooms.shaft}
        steps = (step for stair in self.rooms.stairs for step in stair.run[:-1])
        taken |= {c for step in steps for c in step.cells()}
        return set(room.rect.cells()) - taken if room else set()


@dataclass(frozen=True, slots=True)
class _Laid:
    """Timbers as they are laid, and the cells they take."""

    members: list[Member] = field(default_factory=list)
    taken: set[tuple[int, int, int]] = field(default_factory=set)

    def lay(self, member: Member) -> None:
        self.members.append(member)
        self.taken.update(member.box.cells())


def beam_rows(wing: Wing, style: Style, rafter: int, joints: Joints) -> tuple[tuple[str, int], ...]:
    """(use, line of cells) of each beam along a wing: its ridge, and the purlins its rafters need."""
    low, span = joints.lies[wing].y0, joints.span(wing)
    if style.form in RIDGED:
        run = span // 2
        if run <= rafter - 1:
            return ()
        steps = list(range(rafter, run, rafter))
        rows = [("purlin", low + n) for n in steps]
        rows += [("purlin", low + span - n) for n in steps]
        return (("ridge beam", joints.middle(wing)), *rows)
    from_low = joints.high_side(wing) or style.form == "flat"
    steps = list(range(rafter, span, rafter))
    return tuple(("purlin", low + (n if from_low else span - n)) for n in steps)


def timbers(
    joints: Joints,
    bays: Bays,
    rooms: Rooms,
    styles: Styles,
    under: Field,
    walled: npt.NDArray[np.bool_],
    tradition: Tradition,
) -> tuple[Member, ...]:
    """Lay every beam of the roof void and its supports, wing by wing.

    under: the lowest underside.  walled: cells with a wall up to the roof.
    """
    rule = tradition.roof
    layers = by_cell(under) // 2
    free = np.where(walled, NONE, layers)
    x, y = rooms.shaft
    free[x - 1 : x + 2, y - 1 : y + 2] = NONE
    void = _Void(
        under=layers.tolist(),
        free=free.tolist(),
        walled=walled.tolist(),
        rooms=rooms,
        floor=0,
        lowest=0,
        beam=rule.beam,
    )
    laid = _Laid()
    for n, (wing, style) in enumerate(styles.items()):
        # On a terrace lie the eaves of its neighbours alone, which their own rafters carry.
        rows = () if wing.terrace else beam_rows(wing, style, rule.rafter, joints)
        if rows:
            lines = bays.along[n]
            floor, head = _foot(wing, rooms, tradition)
            here = replace(void, floor=floor, lowest=floor + head)
            for use, row in rows:
                for run in _runs(joints, wing, row, here, laid):
                    _lay(wing.axis, use, row, run, lines, here, laid)
    return tuple(laid.members)


def _foot(wing: Wing, rooms: Rooms, tradition: Tradition) -> tuple[int, int]:
    """The layer in which the void over a wing begins, on a floor or over a ceiling, and what is to be kept
    clear above it."""
    floors = [room.floor for room in rooms.lofty if room.rect.meets(wing.rect)]
    return (floors[0], HEAD) if floors else (tradition.storeys[wing.storeys - 1].head + 1, 0)


def seated(under: Field, beams: Sequence[Member]) -> Field:
    """The underside brought down on the beams that lie just below it."""
    lowest = by_cell(under)
    crown = np.zeros_like(lowest)
    for x0, y0, _, x1, y1, z1 in sorted((p.box for p in beams), key=lambda box: box.z1):
        crown[x0:x1, y0:y1] = z1
    return closed_on(under, crown == lowest // 2)


def clearance(under: Field, beams: Sequence[Member]) -> npt.NDArray[np.int16]:
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


def _runs(joints: Joints, wing: Wing, row: int, void: _Void, laid: _Laid) -> Iterator[_Run]:
    """The stretches of a row in which a beam can lie, all at one height, each with roof upon it.

    Below a higher slope of another wing it would carry nothing, and touch nothing but panels.
    """
    places = range(joints.frames[wing].x0 + 1, joints.frames[wing].x1 - 1)
    cells = [cell_at(wing.axis, n, row) for n in places]
    levels = [
        void.under[x][y] - 1 for x, y in cells if void.under[x][y] != NONE and not void.walled[x][y]
    ]
    z = min(set(levels), key=lambda level: (-levels.count(level), level), default=NONE)
    if z < void.lowest:
        return
    start, carries = places.start, False
    for n, (x, y) in enumerate((*cells, cells[-1]), start):
        if n == places.stop or not void.open(x, y, z) or (x, y, z) in laid.taken:
            if n - start >= LEAST and carries:
                yield _Run(start, n, z)
            start, carries = n + 1, False
        carries |= void.under[x][y] == z + 1


def _lay(
    axis: Axis, use: str, row: int, run: _Run, lines: Sequence[int], void: _Void, laid: _Laid
) -> None:
    """One beam, if it can be carried at both ends and at each line where no wall stands."""
    wanted = {n for n in lines if run.start < n < run.end - 1}
    for end, beyond in _ends(run):
        if not _bears(axis, beyond, row, run.z, void, laid):
            wanted.add(end)
    carried: list[Member] = []
    for n in sorted(wanted):
        support = _support(axis, n, row, run.z, void, laid)
        if support is None:
            return
        carried.append(support)
    laid.lay(Beam(use=use, box=_along(axis, run.start, run.end, row, run.z)))
    for member in carried:
        if member.box.volume:
            laid.lay(member)
    for end, beyond in _ends(run):
        x, y = cell_at(axis, beyond, row)
        if void.walled[x][y] and use == "ridge beam" and not void.opened(x, y, run.z - 1):
            _brace(axis, end, beyond, row, run.z, void, laid)


def _ends(run: _Run) -> tuple[tuple[int, int], tuple[int, int]]:
    """(last cell, the one beyond it) of each end."""
    return ((run.start, run.start - 1), (run.end - 1, run.end))


def _bears(axis: Axis, beyond: int, row: int, z: int, void: _Void, laid: _Laid) -> bool:
    """Whether a wall, a slope or another beam takes the end of a beam."""
    x, y = cell_at(axis, beyond, row)
    if not void.has(x, y):
        return False
    walled = void.walled[x][y] and not void.opened(x, y, z)
    return walled or (x, y, z) in laid.taken or NONE < void.free[x][y] <= z


def _support(axis: Axis, n: int, row: int, z: int, void: _Void, laid: _Laid) -> Member | None:
    """A collar under a beam, from slope to slope; else a post on the tie beam below; else nothing."""
    x, y = cell_at(axis, n, row)
    level = z - 1
    if level >= void.lowest and void.open(x, y, level):
        low = high = row
        while void.open(*cell_at(axis, n, low - 1), level):
            low -= 1
        while void.open(*cell_at(axis, n, high + 1), level):
            high += 1
        other = CROSS[axis]
        ends = [_bears(other, e, n, level, void, laid) for e in (low - 1, high + 1)]
        box = _along(other, low, high + 1, n, level)
        if all(ends) and high + 1 - low <= void.beam and laid.taken.isdisjoint(box.cells()):
            return Beam(use="collar", box=box)
    if not void.open(x, y, z) or void.shut(x, y) or void.parts_floor(x, y, laid.taken):
        return None
    foot = max((n + 1 for n in range(void.floor, z) if (x, y, n) in laid.taken), default=void.floor)
    return Support(use="roof post", box=Box(x, y, foot, x + 1, y + 1, z))


def _brace(axis: Axis, end: int, beyond: int, row: int, z: int, void: _Void, laid: _Laid) -> None:
    """A knee between a wall and the beam that it carries, over one's head."""
    x, y = cell_at(axis, end, row)
    if z - 1 < void.lowest or not void.open(x, y, z - 1) or (x, y, z - 1) in laid.taken:
        return
    laid.lay(Beam(use="brace", box=Box.cell(x, y, z - 1), side=ENDS[axis][beyond > end]))


def _along(axis: Axis, start: int, end: int, across: int, z: int) -> Box:
    return Rect(start, across, end, across + 1).lie(axis).up(z, z + 1)
