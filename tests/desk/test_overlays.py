"""What lies over a plan, against networkx and what must hold of any walk and any roof."""

from __future__ import annotations

import json
from itertools import pairwise
from typing import Any

import networkx as nx
import pytest

from genhouse.desk.overlays import TONES, over
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe

RECIPE = Recipe(seed=4, brief=Brief(plot=(23, 28), storeys=1))


def laid(what: str, recipe: Recipe = RECIPE) -> dict[tuple[int, int], float]:
    return {(x, y): much for x, y, _, much in told(what, recipe)["cells"]}


def told(what: str, recipe: Recipe = RECIPE) -> Any:
    return json.loads(over(recipe, what, "1").body)


def test_privacy_is_the_shortest_way_through_the_rooms() -> None:
    house, cells = make(RECIPE), laid("privacy")
    depth = nx.shortest_path_length(house.graph, 0)
    for room in house.plan.rooms:
        for rect in room.rects:
            assert {cells[cell] for cell in rect.cells()} == {depth[room.id]}


def test_a_walk_comes_from_the_gate_step_by_step() -> None:
    steps = laid("walking")
    x, y, _ = make(RECIPE).plan.gate
    assert steps[x, y] == 0
    for (i, j), many in steps.items():
        beside = [steps.get(c) for c in ((i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1))]
        assert many == 0 or many - 1 in beside


def test_all_rain_comes_down_somewhere() -> None:
    """What runs off at the eaves, over all of the roof's edges, is the roof."""
    cells = laid("rain")
    drained = sum(make(RECIPE).figures().water.catchment.values())
    assert drained == len(cells)
    assert min(cells.values()) == 1
    assert max(cells.values()) <= len(cells)


def test_floors_are_as_light_as_the_brief_asks() -> None:
    house, cells = make(RECIPE), laid("light")
    for room in house.plan.rooms:
        if room.indoor:
            lux = [cells[c] for rect in room.rects for c in rect.cells() if c in cells]
            assert min(lux) >= RECIPE.brief.light - 0.05


@pytest.mark.parametrize("what", ["light", "privacy", "rain", "walking"])
def test_the_legend_says_what_each_tone_means(what: str) -> None:
    found = told(what)
    tones = [tone for tone, _ in found["legend"]]
    assert sorted(tones) == list(range(len(tones)))
    assert len(tones) <= TONES
    amounts = {tone: [m for *_, t, m in found["cells"] if t == tone] for tone in tones}
    spans = sorted((min(a), max(a)) for a in amounts.values() if a)
    assert all(high <= low for (_, high), (low, _) in pairwise(spans))
