"""Water: directions, floods and catchments against published grids and general-purpose libraries."""

from __future__ import annotations

import networkx as nx
import numpy as np
import pytest
from skimage.morphology import reconstruction

from genhouse.core.box import Rect
from genhouse.model.room import COURTS
from genhouse.outputs.figures._roof_lines import roof_tops
from genhouse.outputs.figures._water import NEIGHBOURS, drained, flooded, outlets, steepest
from tests.houses import SEEDS, house
from tests.reference import published

FLOW = published("roof")["flow"]
WAYS = {
    1: (1, 0),
    2: (1, -1),
    4: (0, -1),
    8: (-1, -1),
    16: (-1, 0),
    32: (-1, 1),
    64: (0, 1),
    128: (1, 1),
}


def test_water_takes_the_published_ways() -> None:
    """The 6 x 6 grid, away from its edge, past which a roof's water would be gone."""
    grid = np.array(FLOW["heights"], dtype=np.int32)[::-1].T  # [x east, y north]
    found = steepest(grid)
    codes = np.array(FLOW["directions"])[::-1].T
    for x in range(1, 5):
        for y in range(1, 5):
            dx, dy = WAYS[int(codes[x, y])]
            assert found[x, y] == (x + dx, y + dy)


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
