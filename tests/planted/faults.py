"""Faults planted in a real house's arrays, by the check that must find each.

Places are looked for by what stands there, so that the faults stay where they belong when houses change.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from genhouse.core.axes import STEP
from tests.houses import cells, rows
from tests.planted.edit import (
    AROUND,
    HIGH,
    LOW,
    Edit,
    aside,
    empty_spot,
    material_of,
    pieces,
    reaches,
    roles,
    roof_column,
    shut,
    subject,
    up,
    upper_cells,
    ways,
)
from tests.planted.fabric import FABRIC, slopes
from tests.planted.neighbours import NEIGHBOURS

Fault = Callable[[Edit], object]


def roof_open(edit: Edit) -> None:
    edit.clear(roof_column(edit, min(upper_cells(edit), key=lambda c: len(roof_column(edit, c)))))


def ridge_open(edit: Edit) -> None:
    spots = {c[:2] for c in cells(edit.house, "ridge", stage="roof")}
    edit.clear(roof_column(edit, next(c for c in upper_cells(edit) if c in spots)))


def course_piece(edit: Edit, piece: str, which: int) -> None:
    """The lowest or the highest piece of the roof over some cell, where it is of this family."""
    for column in slopes(edit):
        form = edit.about.forms[edit.arrays["form"][column[which]]]
        if form.piece == piece and len(column) > 1:
            return edit.clear([column[which]])
    raise LookupError(f"no {piece} in the roof")


def step_gone(edit: Edit) -> None:
    """A step of a slope and what lies under it."""
    for column in slopes(edit):
        if edit.about.forms[edit.arrays["form"][column[-1]]].piece == "course":
            return edit.clear(column)
    raise LookupError("no step in the roof")


def corners_only(edit: Edit) -> None:
    """What hangs under a step keeps the sky from slipping in round its edges and corners."""
    course_piece(edit, "half soffit", 0)


def gable_open(edit: Edit) -> None:
    panes = [c for c in cells(edit.house, "gable") if c[2] == HIGH.head + 1]
    edit.clear([panes[len(panes) // 2]])


def flue_cut(edit: Edit) -> None:
    """Taken away from the roof's underside upward."""
    shaft = cells(edit.house, "flue")
    x, y, _ = shaft[0]
    around = [c[2] for i, j in AROUND for c in roof_column(edit, (x + i, y + j))]
    low = min(z for z in around if z >= edit.about.eaves)
    edit.clear(c for c in shaft if c[2] >= low)


def court_indoors(edit: Edit) -> None:
    edit.told(
        rooms=tuple(replace(r, indoor=True) if r.kind == "court" else r for r in edit.about.rooms)
    )


def eaves_board(edit: Edit) -> None:
    """A wall head between the plate and the roof, along an eaves: the gap lies above the eaves' layer."""
    roof = edit.about.stages.index("roof")
    for s in edit.plan.segments:
        if s.level == 2 and s.boundary == "outer":
            for x, y in s.cells.cells():
                if edit.arrays["stage"][x, y, HIGH.head + 1] == roof and not _gabled(edit, (x, y)):
                    return edit.clear(roof_column(edit, (x, y)))
    raise LookupError("no wall meets the roof")


def _gabled(edit: Edit, cell: tuple[int, int]) -> bool:
    return (*cell, HIGH.head + 1) in set(cells(edit.house, "gable", "post"))


def hangs(edit: Edit) -> None:
    edit.wall([(*empty_spot(edit, 6), 6)])


def touches_by_an_edge(edit: Edit) -> None:
    """Beside the veranda's edge and one layer up: an edge in common with it, and no face."""
    court = next(r for r in edit.plan.rooms if r.kind == "court")
    for x, y in court.rect.cells():
        for dx, dy in STEP.values():
            veranda = (x + dx, y + dy, LOW.slab)
            at = (x, y, LOW.slab + 1)
            sides = [(x + i, y + j, at[2]) for i, j in STEP.values()]
            lonely = not any(map(edit.solid, [at, (x, y, LOW.slab), (x, y, at[2] + 1), *sides]))
            if not court.has(*veranda[:2]) and edit.solid(veranda) and lonely:
                return edit.wall([at])
    raise LookupError("no edge to touch")


def lamp_down(edit: Edit) -> None:
    """A hanging lamp taken a cell down from its ceiling, where nothing is near."""
    for part in edit.plan.parts:
        if part.form == "hanging lamp":
            x, y, z = part.box[:3]
            if not edit.arrays["form"][x - 1 : x + 2, y - 1 : y + 2, z - 2 : z].any():
                edit.clear([(x, y, z)])
                return edit.set([(x, y, z - 1)], material_of(edit, "lamp"), "hanging lamp", "lamps")
    raise LookupError("no lamp hangs free")


def rim_open(edit: Edit) -> None:
    water = set(cells(edit.house, "water"))
    for x, y, z in cells(edit.house, "pond-edge"):
        if any((x + i, y + j, z) in water for i, j in STEP.values()) and not edit.solid(
            (x, y, z + 1)
        ):
            return edit.clear([(x, y, z)])
    raise LookupError("no rim")


def bed_open(edit: Edit) -> None:
    x, y, z = cells(edit.house, "water")[0]
    edit.clear([(x, y, z - 1)])


def water_stands(edit: Edit) -> None:
    edit.set([(*empty_spot(edit, LOW.slab + 1), LOW.slab)], "pond water", "whole", "court")


def cap_loose(edit: Edit) -> None:
    shaft = cells(edit.house, "flue")
    edit.clear([shaft[-2]])


def base_gone(edit: Edit) -> None:
    """The lower pieces of a fitting removed, where nothing beside it reaches to the upper ones."""
    for p in edit.plan.placed:
        upper = [c for c in pieces(edit, p.cells) if c[2] == p.floor + 1]
        beside_ = {(x + i, y + j, z) for x, y, z in upper for i, j in STEP.values()} - set(upper)
        if upper and not any(
            reaches(edit, c) for c in (*beside_, *((x, y, z + 1) for x, y, z in upper))
        ):
            return edit.clear(c for c in pieces(edit, p.cells) if c[2] == p.floor)
    raise LookupError("no fitting stands on another")


def tree_cut(edit: Edit) -> None:
    x, y, z = cells(edit.house, "trunk")[0]
    edit.clear([(x, y, z + 1)])


def walled_up(edit: Edit) -> None:
    shut(edit, aside(edit, 1), LOW.floor, LOW.lintel)


def threshold(edit: Edit) -> None:
    shut(edit, aside(edit, 1), LOW.floor, LOW.floor + 1)


def lintel(edit: Edit) -> None:
    shut(edit, aside(edit, 1), LOW.floor + 1, LOW.lintel)


def passage_shut(edit: Edit) -> None:
    shut(edit, aside(edit, 2), HIGH.floor, HIGH.head + 1)


def tread_gone(edit: Edit) -> None:
    step = edit.plan.stairs[0].run[2]
    edit.clear((x, y, z) for x, y, z in cells(edit.house, "tread") if step.has(x, y))


def gate_blocked(edit: Edit) -> None:
    x, y, z4 = edit.about.gate
    edit.wall(up((x, y), z4 // 4, z4 // 4 + 2))


def gate_in_a_wall(edit: Edit) -> None:
    x, y, z = cells(edit.house, "sill")[0]
    edit.told(gate=(x, y, 4 * z))


def gate_in_the_air(edit: Edit) -> None:
    x, y, z4 = edit.about.gate
    edit.told(gate=(x, y, z4 + 2))


def fitting_walled_in(edit: Edit) -> None:
    """A jar on open floor, and a wall round it, higher than one could climb by way of a chest."""
    for room in sorted(edit.plan.rooms, key=lambda r: -r.area):
        if room.indoor and room.kind != "stairhall":
            ways_ = {
                n for s in ways(edit, room) if s.way for c in s.way.cells() for n in s.beside(c)
            }
            for x, y in room.rect.grown(-1).cells():
                block = edit.arrays["form"][
                    x - 1 : x + 2, y - 1 : y + 2, room.floor : room.floor + 2
                ]
                near = {(x + i, y + j) for i, j in AROUND}
                if not block.any() and not near & ways_ and (x, y) not in ways_:
                    edit.wall(at for c in near for at in up(c, room.floor, room.floor + 2))
                    jar = material_of(edit, "jar")
                    return edit.set([(x, y, room.floor)], jar, "jar", "fittings")
    raise LookupError("no room is large enough")


def leaves_nailed(edit: Edit) -> None:
    edit.told(materials=tuple(replace(m, passable=False) for m in edit.about.materials))


def court_fenced(edit: Edit) -> None:
    """A wall two cells high along the verandas, in place of the steps down to the garden."""
    for room in edit.plan.rooms:
        if room.kind == "court":
            inner = room.rect.grown(-1)
            ring = [c for c in room.rect.cells() if not inner.has(*c)]
            edit.wall(at for c in ring for at in up(c, LOW.slab, LOW.slab + 2))


def room_without_cells(edit: Edit) -> None:
    room = aside(edit, 1)
    edit.arrays["room"][edit.arrays["room"] == room.id] = 0
    edit.clear(
        c
        for c in cells(edit.house, *roles(edit), stage="fittings")
        if room.has(*c[:2]) and c[2] < 7
    )


def lamps_gone(edit: Edit) -> None:
    """All that gives light in one lower room."""
    gives = [n for n, m in enumerate(edit.about.materials) if m.lumens]
    room = aside(edit, 1)
    here = (edit.arrays["room"] == room.id) & np.isin(edit.arrays["material"], gives)
    edit.clear(map(tuple, np.argwhere(here).tolist()))


def lamps_dimmed(edit: Edit) -> None:
    edit.told(materials=tuple(replace(m, lumens=m.lumens // 50) for m in edit.about.materials))


def ceiling_low(edit: Edit) -> None:
    """A cleared room boarded over a cell above its floor, all but before one of its doors."""
    room = aside(edit, 1)
    edit.clear(
        c
        for c in cells(edit.house, *roles(edit), stage="fittings")
        if room.has(*c[:2]) and c[2] < LOW.head
    )
    before = {n for s in ways(edit, room)[:1] if s.way for c in s.way.cells() for n in s.beside(c)}
    low = [c for c in room.rect.cells() if c not in before]
    edit.set(
        (at for c in low for at in up(c, LOW.floor + 1, LOW.head)),
        "cedar board",
        "whole",
        "floors",
    )


def unknown_room(edit: Edit) -> None:
    room = edit.arrays["room"]
    x, y = empty_spot(edit, 5)
    room[x, y, 5] = 999


def room_shrunk(edit: Edit) -> None:
    """All but the six cells nearest to a door taken out of a room's volume."""
    room = aside(edit, 1)
    (door, *_) = [n for s in ways(edit, room) if s.way for c in s.way.cells() for n in s.beside(c)]
    near = sorted(room.rect.cells(), key=lambda c: abs(c[0] - door[0]) + abs(c[1] - door[1]))
    for x, y in near[6:]:
        column = edit.arrays["room"][x, y]
        column[column == room.id] = 0


def one_more(edit: Edit) -> None:
    first, *others = edit.list()
    edit.rows = [(*first[:3], first[3] + 1), *others]


def row_lost(edit: Edit) -> None:
    edit.rows = edit.list()[1:]


def row_made_up(edit: Edit) -> None:
    edit.rows = [*edit.list(), ("walls", "kiln brick", "whole", 3)]


def repainted(edit: Edit) -> None:
    """One panel of another material, which the list does not know."""
    edit.rows = rows(subject().voxels)
    at = cells(edit.house, "infill")[0]
    edit.arrays["material"][at] = [m.name for m in edit.about.materials].index("smoked oak")


FAULTS: dict[str, tuple[str, Fault]] = {
    "a hole through the roof over a room": ("weather", roof_open),
    "a ridge left open": ("weather", ridge_open),
    "a step of the roof removed": ("weather", step_gone),
    "a roof that closes by edges and corners only": ("weather", corners_only),
    "a pane of a gable removed": ("weather", gable_open),
    "the flue cut off under the roof": ("weather", flue_cut),
    "a court said to be indoors": ("weather", court_indoors),
    "the roof removed over the head of a wall": ("weather", eaves_board),
    "a piece in the air": ("standing", hangs),
    "a piece that touches by an edge": ("standing", touches_by_an_edge),
    "a lamp taken down from its ceiling": ("standing", lamp_down),
    "a hole in the edge of a pond": ("standing", rim_open),
    "a hole in the bed of a pond": ("standing", bed_open),
    "water that stands up": ("standing", water_stands),
    "a chimney cap over a gap": ("standing", cap_loose),
    "the lower piece of a fitting removed": ("standing", base_gone),
    "a tree cut through": ("standing", tree_cut),
    "a room walled up": ("access", walled_up),
    "a threshold a cell high": ("access", threshold),
    "a lintel a cell above the floor": ("access", lintel),
    "an upper passage shut": ("access", passage_shut),
    "a tread of the stair removed": ("access", tread_gone),
    "the gate blocked": ("access", gate_blocked),
    "the gate in a wall": ("access", gate_in_a_wall),
    "the gate half a cell above the ground": ("access", gate_in_the_air),
    "a fitting walled in": ("access", fitting_walled_in),
    "leaves that do not open": ("access", leaves_nailed),
    "the court fenced off": ("access", court_fenced),
    "a room of the table without cells": ("access", room_without_cells),
    "the lamps of a room removed": ("light", lamps_gone),
    "dim lamps everywhere": ("light", lamps_dimmed),
    "a ceiling a cell above the floor": ("headroom", ceiling_low),
    "cells of a room that is not in the table": ("rooms", unknown_room),
    "a room of six cells": ("rooms", room_shrunk),
    "a piece more in the list": ("bill", one_more),
    "a line of the list lost": ("bill", row_lost),
    "a line of the list made up": ("bill", row_made_up),
    "a panel of another material": ("bill", repainted),
    **FABRIC,
    **NEIGHBOURS,
}
"""What is planted, the check that must find it, and how it is done."""

FOLLOWS = {
    "a pane gone": {"carried"},
    "a hole in a wall": {"carried"},
    "the court fenced off": {"carried"},
    "the gate blocked": {"carried"},
    "a court said to be indoors": {"light", "closed", "volumes"},
    "a ceiling a cell above the floor": {"light"},
    "a fitting walled in": {"light", "carried"},
    "a piece in the air": {"carried"},
    "a piece that touches by an edge": {"carried"},
    "the lower piece of a fitting removed": {"carried"},
    "a hole in the bed of a pond": {"floors"},
    "a chimney cap over a gap": {"skin"},
    "a threshold a cell high": {"closed", "carried"},
    "a lintel a cell above the floor": {"closed", "carried"},
    "leaves that do not open": {"closed"},
    "a tread of the stair removed": {"stairs", "guards"},
    "cells of a room that is not in the table": {"volumes", "floors"},
    "a room of six cells": {"volumes", "closed"},
    "a line of rails broken": {"guards", "light"},
    "the rail at the head of a well gone": {"light"},
    "a cell told to the next room": {"floors"},
    "a hole through the roof over a room": {"closed"},
    "a step of the roof removed": {"closed"},
    "a roof that closes by edges and corners only": {"closed"},
    "a pane of a gable removed": {"closed"},
    "the flue cut off under the roof": {"closed"},
    "a ridge left open": {"closed"},
}
"""What else may be found, and rightly: a court has no lamps for a room; boards and walls cast shadows;
where a piece hangs or a roof is open, a wall stands on nothing or ends in a hole."""
