"""Vandalism quite at random, class by class: how much of it is caught, and what is not, one by one.

    python -m tests.planted.rates 500

Nobody says beforehand what does harm: a cell, a member, a fitting, a line of the list or the room of a
cell is changed wherever chance has it.  What the cells alone do not betray is listed for a person to
judge; a house that was read from its folder is held to its record too, and there nothing may be missed.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from random import Random
from typing import NamedTuple

import numpy as np

from genhouse.core.engines import opened
from genhouse.inspection import inspect
from tests.houses import rows as counted
from tests.planted.edit import Cell, Edit
from tests.planted.vandals import houses, listed

Done = Callable[[Edit, Random], str]
"""Does it, and says what was touched."""


def cell(edit: Edit, rng: Random) -> str:
    """One cell taken away, whatever it is."""
    at = _one(edit.arrays["form"] > 0, rng)
    said = _said(edit, at)
    edit.clear([at])
    return said


def member(edit: Edit, rng: Random) -> str:
    """One part of the plan taken away, whole."""
    part = rng.choice(edit.plan.parts)
    edit.clear(part.box.cells())
    return f"{part.stage}: {part.role}"


def fitting(edit: Edit, rng: Random) -> str:
    """One fitting taken away, whole."""
    placed = rng.choice(edit.plan.placed)
    stage = edit.about.stages.index("fittings")
    spots = [
        (x, y, z)
        for x, y in placed.cells.cells()
        for z in np.flatnonzero(edit.arrays["stage"][x, y] == stage).tolist()
        if placed.floor <= z < placed.floor + 4
    ]
    edit.clear(spots)
    return f"fitting: {placed.name}"


def line(edit: Edit, rng: Random) -> str:
    """One line of the list changed, lost or made up."""
    listed(edit, rng)
    return "list"


def room(edit: Edit, rng: Random) -> str:
    """One cell told to be of another room, or of none."""
    at = _one(edit.arrays["room"] > 0, rng)
    solid = "solid" if edit.solid(at) else "air"
    own = int(edit.arrays["room"][at])
    edit.arrays["room"][at] = rng.choice([n for n in (0, *_rooms(edit)) if n != own])
    return f"room of {solid}"


CLASSES: dict[str, Done] = {
    "cell": cell,
    "member": member,
    "fitting": fitting,
    "line": line,
    "room": room,
}


class Try(NamedTuple):
    """what: the class.  touched: in words.  alone, held: the checks that broke, by the cells alone, and
    with the house held to its list and to its record.
    """

    what: str
    number: int
    touched: str
    alone: tuple[str, ...]
    held: tuple[str, ...]


def tried(task: tuple[str, int]) -> Try:
    """One vandalism: a function of its class and number."""
    what, number = task
    rng = Random(f"{what} at random/{number}")
    edit = Edit(rng.choice(houses()))
    edit.hold()
    before = counted(edit.house.voxels)
    touched = CLASSES[what](edit, rng)
    rows = edit.rows or before
    broken = [
        tuple(verdict.check for verdict in report.verdicts if not verdict.kept)
        for report in (
            inspect(edit.voxels()),
            inspect(edit.voxels(), rows=rows, record=edit.record),
        )
    ]
    return Try(what, number, touched, broken[0], broken[1])


def _one(where: np.ndarray, rng: Random) -> Cell:
    spots = np.argwhere(where)
    x, y, z = spots[rng.randrange(len(spots))].tolist()
    return (x, y, z)


def _rooms(edit: Edit) -> list[int]:
    return [entry.id for entry in edit.about.rooms]


def _said(edit: Edit, at: Cell) -> str:
    stage = edit.about.stages[edit.arrays["stage"][at]]
    return f"{stage}: {edit.about.materials[edit.arrays['material'][at]].name}"


def main(words: list[str]) -> int:
    """Print the table and the misses; the exit code says whether any got past the record."""
    each = -(-int(words[0] if words else 500) // len(CLASSES))
    with opened("pool") as engine:
        found = list(engine.map(tried, [(what, n) for what in CLASSES for n in range(each)]))
    for what in CLASSES:
        own = [one for one in found if one.what == what]
        alone, held = (sum(bool(one[k]) for one in own) for k in (3, 4))
        print(f"{what:>8}: {alone} of {len(own)} by the cells alone, {held} with list and record")
    print("missed by the cells alone:")
    for one in found:
        if not one.alone and one.what != "line":
            print(f"  {one.what} {one.number}: {one.touched}")
    missed = [one for one in found if not one.held]
    for one in missed:
        print(f"MISSED: {one}")
    return int(bool(missed))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
