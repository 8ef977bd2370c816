"""Many houses as arrays: to the last bit what is worked out of two."""

from __future__ import annotations

import numpy as np

from genhouse.many.crowd import Crowd
from genhouse.many.distinct import ALIKE, alike, distance, features
from genhouse.many.outside import outside
from tests.houses import SEEDS, anyhow

FOUND = [
    features(anyhow(seed).plan, anyhow(seed).voxels, anyhow(seed).figures()) for seed in SEEDS[:9]
]


def test_each_distance_is_that_of_the_two() -> None:
    crowd = Crowd.of(FOUND)
    for n, one in enumerate(FOUND):
        assert crowd.inside(n).tolist() == [distance(one, other) for other in FOUND]
        others = np.arange(len(FOUND)) != n
        looks = [outside(one.look.heights, FOUND[k].look.heights) for k in np.flatnonzero(others)]
        assert crowd.nearest_look(n, others) == min(looks)
        assert not crowd.like_any(n, others)


def test_near_duplicates_are_found_among_those_that_are_asked_of() -> None:
    crowd = Crowd.of([*FOUND, FOUND[3]])
    last = len(FOUND)
    assert crowd.like_any(last, np.arange(last + 1) == 3)
    assert not crowd.like_any(last, np.arange(last + 1) < 3)
    assert alike(FOUND[3], FOUND[3])
    assert (crowd.inside(last) < ALIKE).tolist() == [n in (3, last) for n in range(last + 1)]
