"""Which cell a point of a picture shows: drawn by itself in colour, it changes the picture there."""

from __future__ import annotations

import numpy as np

from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from genhouse.outputs.pictures.pick import cell_at
from genhouse.outputs.pictures.picture import SUNNY_SIDE, draw, gate_side, scene

SIZE = (600, 540)
HOUSE = make(Recipe(seed=7, brief=Brief(plot=(21, 26))))


def test_the_cell_is_seen_where_one_points() -> None:
    s = scene(HOUSE.voxels, HOUSE.finishes)
    view = SUNNY_SIDE[gate_side(HOUSE.voxels)]
    nothing = np.zeros(HOUSE.voxels.size, dtype=bool)
    pale = np.asarray(draw(s, view=view, size=SIZE, fresh=nothing)).astype(int)
    tried = 0
    for point in ((x, y) for x in range(120, 500, 71) for y in range(110, 440, 61)):
        cell = cell_at(s, "outside", point, SIZE)
        if cell is None:
            continue
        alone = nothing.copy()
        alone[cell] = True
        seen = np.asarray(draw(s, view=view, size=SIZE, fresh=alone)).astype(int)
        near = np.s_[point[1] - 2 : point[1] + 3, point[0] - 2 : point[0] + 3]
        assert (np.abs(seen - pale)[near] > 8).any(), (point, cell)
        tried += 1
    assert tried > 15


def test_bare_paper_is_no_cell() -> None:
    s = scene(HOUSE.voxels, HOUSE.finishes)
    assert cell_at(s, "outside", (2, 2), SIZE) is None


def test_where_the_house_is_cut_open_one_looks_into_it() -> None:
    s = scene(HOUSE.voxels, HOUSE.finishes)
    points = [(x, y) for x in range(60, 540, 20) for y in range(60, 480, 20)]
    found = [cell_at(s, "inside", point, SIZE) for point in points]
    stages = {HOUSE.voxels.about.stages[HOUSE.voxels.stage[cell]] for cell in found if cell}
    assert max(z for _, _, z in filter(None, found)) < HOUSE.plan.eaves
    assert {"mats", "fittings"} <= stages
