"""Faults in what shuts, carries and guards a house, in what is recorded of it, and in where it lies."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from genhouse.core.axes import STEP
from tests.houses import cells
from tests.planted.edit import HIGH, LOW, Cell, Edit, roof_column, upper_cells


def slopes(edit: Edit) -> Iterator[list[Cell]]:
    """The pieces of roof over each cell of an upper room that has no timber above it."""
    timbers = {c[:2] for c in cells(edit.house, *edit.house.plan.palette.having("void"))}
    return (roof_column(edit, c) for c in upper_cells(edit) if c not in timbers)


def hole(edit: Edit) -> None:
    """A cell of infill out of the wall of a room below, with infill under it and the tie above."""
    walls = set(cells(edit.house, "infill", stage="walls"))
    edit.clear([min(c for c in walls if c[2] == LOW.lintel - 1 and (*c[:2], LOW.floor) in walls)])


def pane_gone(edit: Edit) -> None:
    edit.clear([min(c for c in cells(edit.house, "window", stage="walls") if c[2] < HIGH.floor)])


def leaves_gone(edit: Edit) -> None:
    """One column of leaves taken out of a wall to a court, beside one that stays."""
    leaves = {c for c in cells(edit.house, "screen", stage="screens") if c[2] < LOW.lintel}
    for x, y, z in sorted(leaves):
        if leaves & {(x + i, y + j, z) for i, j in STEP.values()}:
            return edit.clear(c for c in leaves if c[:2] == (x, y))
    raise LookupError("no leaf stands beside another")


def slope_swapped(edit: Edit, material: str) -> None:
    """A piece in the field of a slope over an upper room."""
    column = max(slopes(edit), key=lambda c: edit.about.forms[edit.arrays["form"][c[-1]]].piece)
    edit.arrays["material"][column[-1]] = [m.name for m in edit.about.materials].index(material)


def tie_gone(edit: Edit) -> None:
    """All of a tie beam between two posts, under a wall of the upper storey."""
    for part in edit.plan.parts:
        over = part.box.cells() if part.role == "tie" and part.box.z0 == LOW.head else ()
        stages = {edit.arrays["stage"][x, y, z + 1] for x, y, z in over}
        if stages == {edit.about.stages.index("walls")}:
            return edit.clear(part.box.cells())
    raise LookupError("no tie carries a wall")


def corner_post_cut(edit: Edit) -> None:
    """A corner post of the house is in no room's sight."""
    x, y, z = min(cells(edit.house, "post", stage="frame"))
    edit.clear([(x, y, z + 1)])


def rail_line_broken(edit: Edit) -> None:
    """The rail between two others at the well of the stair, where a tread is near below."""
    rails = cells(edit.house, "rail", stage="stair")
    middle = [
        c
        for c in rails
        if any(
            {(c[0] + i, c[1] + j, c[2]), (c[0] - i, c[1] - j, c[2])} <= set(rails)
            for i, j in ((1, 0), (0, 1))
        )
    ]
    edit.clear(middle[:1])


def board_gone(edit: Edit) -> None:
    """Of a lower floor, with the sleepers' earth a cell below."""
    laid = cells(edit.house, "board", "flag", "mat")
    edit.clear([min((x, y, z) for x, y, z in laid if not edit.solid((x, y, z + 1)))])


def stair_rail_gone(edit: Edit) -> None:
    """The rail across the head of the well, where it is deepest."""
    foot = edit.plan.stairs[0].run[0]
    rails = [c for c in cells(edit.house, "rail", stage="stair") if foot.has(*c[:2])]
    edit.clear(rails[:1])


def tread_aside_gone(edit: Edit) -> None:
    """One half of a step: the other can still be climbed."""
    step = edit.plan.stairs[0].run[2]
    edit.clear([min(c for c in cells(edit.house, "tread") if step.has(*c[:2]))])


def top_tread_aside_gone(edit: Edit) -> None:
    step = edit.plan.stairs[0].run[-1]
    inner = [c for c in cells(edit.house, "tread") if step.has(*c[:2])]
    edit.clear([max(inner)])


def told_elsewhere(edit: Edit) -> None:
    """A cell of air in the middle of a room said to be of its neighbour."""
    one, other = [room for room in edit.plan.rooms if room.indoor and room.level == 1][:2]
    x, y = one.rect.x0 + 1, one.rect.y0 + 1
    edit.arrays["room"][x, y, one.ceiling - 1] = other.id


def forged(edit: Edit) -> None:
    """A panel of another material, in a list that was made to agree."""
    edit.hold()
    edit.arrays["material"][cells(edit.house, "infill")[0]] = [
        m.name for m in edit.about.materials
    ].index("ochre clay")


def told_otherwise(edit: Edit) -> None:
    """Solid cells of a wall said to belong to a garden: the air of rooms is as it was."""
    edit.hold()
    court = next(r for r in edit.plan.rooms if r.kind == "court")
    edge = np.argwhere(edit.arrays["room"] == court.id)[0]
    edit.arrays["room"][tuple(edge)] = 0


def built_beyond(edit: Edit) -> None:
    """The plot ends a cell before the eastern edge of what is laid on it, over three cells."""
    wide, deep = edit.plan.plot
    edit.outline = ((0, 0), (wide, 0), (wide, 3), (wide - 1, 3), (wide - 1, 6), (wide, 6))
    edit.outline += ((wide, deep), (0, deep))


def neighbour(edit: Edit) -> None:
    """A corner of the plot is a neighbour's, cleared but for a stone."""
    wide, deep = edit.plan.plot
    edit.outline = ((1, 0), (wide, 0), (wide, deep), (0, deep), (0, 1), (1, 1))
    edit.clear((0, 0, z) for z in range(1, edit.arrays["form"].shape[2]))


FABRIC: dict[str, tuple[str, Callable[[Edit], object]]] = {
    "ground beyond the edge of the plot": ("plot", built_beyond),
    "a stone on a neighbour's ground": ("plot", neighbour),
    "a hole in a wall": ("closed", hole),
    "a pane gone": ("closed", pane_gone),
    "leaves gone from an opening": ("closed", leaves_gone),
    "a tile turned to window paper": ("skin", lambda e: slope_swapped(e, "window paper")),
    "a tile turned to a leaf's paper": ("skin", lambda e: slope_swapped(e, "painted screen")),
    "a tile turned to grain": ("skin", lambda e: slope_swapped(e, "grain")),
    "a tie beam gone": ("carried", tie_gone),
    "a corner post cut": ("carried", corner_post_cut),
    "a line of rails broken": ("carried", rail_line_broken),
    "a board gone": ("floors", board_gone),
    "the rail at the head of a well gone": ("guards", stair_rail_gone),
    "one half of a step gone": ("stairs", tread_aside_gone),
    "one half of the last step gone": ("stairs", top_tread_aside_gone),
    "a cell told to the next room": ("volumes", told_elsewhere),
    "a panel of another material, and the list too": ("record", forged),
    "a cell of a court told to be of none": ("record", told_otherwise),
}
