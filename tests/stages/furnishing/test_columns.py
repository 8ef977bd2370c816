"""Stances side by side: the very same ones, however much was asked for in between."""

from __future__ import annotations

from itertools import product

from genhouse.stages.furnishing.columns import columns
from tests.houses import TIMBER


def test_either_hand_of_an_even_fitting_has_the_same_stances_whatever_comes_between() -> None:
    """A search tells stances apart by which they are: a house must not hang on those before it."""
    fittings = dict(TIMBER.fittings)
    even = fittings["jar shelf"]
    others = [f for name, f in fittings.items() if name != "jar shelf"]
    first = columns(even, True, 7, 5, 1)
    assert columns(even, False, 7, 5, 1) is first
    for n, (fitting, width, depth) in enumerate(product(others[:50], range(3, 13), range(3, 13))):
        columns(fitting, True, width, depth, 3)
        if n % 100 == 0:
            assert columns(even, True, 7, 5, 1) is first
    assert columns(even, False, 7, 5, 1) is columns(even, True, 7, 5, 1)
