"""Water: directions, floods and catchments against published grids and general-purpose libraries."""

from __future__ import annotations

import networkx as nx
import numpy as np
import numpy.typing as npt
import pytest
from skimage.morphology import reconstruction

from genhouse.core.box import Rect
from genhouse.model.room import COURTS
from genhouse.outputs.figures._roof_lines import roof_tops
from genhouse.outputs.figures._water import NEIGHBOURS, drained, flooded, outlets, steepest
from tests.houses import SEEDS, house
from tests.reference import published

FLOW = published("roof")["flow"]
NORTHWARD = {"north": 1, "south": -1}
EASTWARD = {"east": 1, "west": -1}


def step(way: str) -> tuple[int, int]:
    """A compass name as cells to the east and to the north."""
    words = way.split("-")
    return sum(EASTWARD.get(w, 0) for w in words), sum(NORTHWARD.get(w, 0) for w in words)


def test_water_takes_the_steepest_way_down() -> None:
    """The grid worked by hand and by another library, away from its edge: past that, water is gone."""
    grid = np.array(FLOW["heights"], dtype=np.int32)[::-1].T  # [x east, y north]
    found = steepest(grid)
    for y, row in enumerate(reversed(FLOW["ways"]), 1):
        for x, way in enumerate(row, 1):
            dx, dy = step(way)
            assert found[x, y] == (x + dx, y + dy)


def test_a_general_library_sends_water_the_same_way() -> None:
    """pysheds, on random grids without two equal falls; installed with the extra ``peers``."""
    grids = pytest.importorskip("pysheds.grid", reason="needs the extra: peers")
    from affine import Affine
    from pysheds.view import Raster, ViewFinder

    compass = dict(enumerate(CLOCKWISE, 1))
    dice = np.random.default_rng(5)
    compared = 0
    for _ in range(20):
        rows = dice.choice(4000, (9, 8), replace=False).astype(float) + 1
        finder = ViewFinder(
            affine=Affine(1, 0, 0, 0, -1, 9), shape=rows.shape, nodata=np.float64(-1)
        )
        raster = Raster(rows, viewfinder=finder)
        peer = np.asarray(grids.Grid.from_raster(raster).flowdir(raster, dirmap=tuple(compass)))
        found = steepest(rows.astype(np.int32)[::-1].T)
        for row in range(1, 8):
            for x in range(1, 7):
                if near_tie(rows, row, x) or int(peer[row, x]) not in compass:
                    continue
                y = 8 - row
                dx, dy = step(compass[int(peer[row, x])])
                assert found[x, y] == (x + dx, y + dy)
                compared += 1
    assert compared > 400


CLOCKWISE = (
    "north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west",
)  # fmt: skip


def near_tie(rows: npt.NDArray[np.float64], row: int, x: int) -> bool:
    """Whether two ways fall so nearly alike that 0.70 and the root of a half tell them apart otherwise."""
    falls = sorted(
        (rows[row, x] - rows[row + a, x + b]) / np.hypot(a, b)
        for a in (-1, 0, 1)
        for b in (-1, 0, 1)
        if a or b
    )
    return bool(falls[-1] <= 0 or falls[-1] - falls[-2] < 0.02 * falls[-1])


@pytest.mark.parametrize("seed", range(40))
def test_flooding_is_morphological_reconstruction(seed: int) -> None:
    """By erosion from the edge (scikit-image); Barnes, Lehman and Mulla 2014 fill the same."""
    dice = np.random.default_rng(seed)
    tops = dice.integers(1, 12, (11, 9)).astype(np.int32)
    tops[dice.random(tops.shape) < 0.15] = 0
    held = np.pad(tops, 1)
    start = np.where(held == 0, 0, held.max()).astype(float)
    filled = reconstruction(start, held.astype(float), method="erosion", footprint=np.ones((3, 3)))
    assert np.array_equal(flooded(tops)[0], filled[1:-1, 1:-1])


def test_a_bowl_with_a_notch_by_hand() -> None:
    """Filled to the notch: the published bowl of 7 x 7, its border at 9 but for a notch at 5."""
    rows = ["9999999", "9877789", "9732479", "9721365", "9743579", "9877789", "9999999"]
    bowl = np.array([[int(c) for c in row] for row in rows], dtype=np.int32)
    filled, _ = flooded(bowl)
    assert (filled[2:5, 2:5] == 6).all()
    assert int((filled - bowl).sum()) == 27
    assert drained(bowl, ()).pits == 9


@pytest.mark.parametrize("seed", SEEDS)
def test_every_column_of_a_house_drains_without_a_rise(seed: int) -> None:
    """Each column has a way to the open that never climbs (networkx), and is counted just once."""
    found = house(seed)
    tops = roof_tops(found.plan, found.voxels)
    filled, source = flooded(tops)
    assert np.array_equal(filled, tops), "nothing to fill"
    graph = nx.DiGraph()
    high = np.pad(tops, 1)
    for x, y in np.argwhere(high > 0).tolist():
        for dx, dy in NEIGHBOURS:
            if high[x + dx, y + dy] <= high[x, y]:
                end = (x + dx, y + dy) if high[x + dx, y + dy] else "open"
                graph.add_edge(end, (x, y))
    assert len(nx.descendants(graph, "open")) == np.count_nonzero(tops)
    figures = drained(tops, found.plan.courts)
    assert sum(figures.catchment.values()) == np.count_nonzero(tops)
    assert all(figures.catchment[f"court {n}"] > 0 for n in range(1, len(found.plan.courts) + 1))
    assert len(outlets(filled, source)) == np.count_nonzero(tops)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_court_has_a_drain_to_the_outside(seed: int) -> None:
    found = house(seed).plan
    drains = [p.box.rect for p in found.parts if p.role == "culvert"]
    walls = Rect(2, 2, found.plot[0] - 2, found.plot[1] - 2)
    gardens = [r for room in found.rooms if room.kind in COURTS for r in room.rects]
    assert len(drains) == len(found.courts)
    for garden, drain in zip(gardens, drains, strict=True):
        assert drain.grown(1).meet(garden).area > 0
        assert (
            drain.x0 == walls.x0
            or drain.x1 == walls.x1
            or drain.y0 == walls.y0
            or drain.y1 == walls.y1
        )
