"""What differs: no two of two hundred seeds give the same house, or the same rooms."""

from __future__ import annotations

import hashlib
from collections import Counter
from unittest.mock import patch

import numpy as np

from genhouse.generate import recipe as recipes
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from tests.benchmarks.count_outside import Seen, nearest, seen

SEEDS = 200
A_MAP = 60
"""Houses that one might set down side by side."""


def test_two_hundred_seeds_give_two_hundred_houses_and_two_hundred_plans() -> None:
    """Different in what is built: fittings, which would tell any two apart, are left out."""
    shapes, plans = set(), set()
    with patch.object(recipes, "plan_fittings", lambda *_, **__: ()):
        for seed in range(SEEDS):
            house = make(Recipe(seed=seed))
            v = house.voxels
            shapes.add(hashlib.sha256(f"{v.size}".encode() + v.form.tobytes()).digest())
            plans.add(tuple((r.kind, r.level, r.rects) for r in house.plan.rooms))
    assert (len(shapes), len(plans)) == (SEEDS, SEEDS)


def test_one_plot_and_gate_still_give_different_plans() -> None:
    brief = Brief(plot=(25, 33), gate="south", garden="pond", palette="smoke")
    plans: Counter[object] = Counter()
    for seed in range(12):
        design = make(Recipe(seed=seed, brief=brief)).plan
        plans[tuple((r.kind, r.level, r.rects) for r in design.rooms)] += 1
    assert max(plans.values()) == 1


def test_a_map_of_houses_does_not_look_stamped() -> None:
    """Heights differ from those of the likeliest other by a seventh of the ridge on the mean."""
    houses = [one for one in map(seen, range(A_MAP)) if isinstance(one, Seen)]
    assert len(houses) == A_MAP
    assert np.mean([house.plain for house in houses]) <= 0.4
    tenth, half = np.percentile(nearest([house.look for house in houses]), [10, 50])
    assert half >= 0.14
    assert tenth >= 0.08
    assert len({max(map(max, house.look.heights)) for house in houses}) >= 8
