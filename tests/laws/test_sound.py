"""What holds of every house: both judges pass it, whatever its seed, plot, gate and garden.

N clean houses show a rate of faults under 3/N at 95 %; ``python -m tests.sweep`` looks at thousands.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genhouse.core.axes import SIDES
from genhouse.generate.layout import works
from genhouse.house import make
from genhouse.model.bounds import LARGEST_PLOT, SMALLEST_PLOT
from genhouse.model.brief import Brief, Recipe
from genhouse.traditions.shelf import GARDENS
from tests.houses import arrays
from tests.outside.checker import check_arrays

seeds = st.integers(0, (1 << 64) - 1)
plots = st.none() | st.tuples(
    *(st.integers(a + 2, b) for a, b in zip(SMALLEST_PLOT, LARGEST_PLOT, strict=True))
)
briefs = st.builds(
    Brief,
    plot=plots,
    gate=st.none() | st.sampled_from(SIDES),
    mirror=st.booleans(),
    garden=st.none() | st.sampled_from(GARDENS),
)
recipes = st.builds(Recipe, seed=seeds, brief=briefs)


@pytest.mark.parametrize("part", range(4))
def test_both_judges_pass_every_house(part: int) -> None:
    """In four parts, so that they share the processors."""

    @given(recipes, st.just(part))
    @settings(max_examples=6)
    def passes(recipe: Recipe, _: int) -> None:
        moved = Recipe(seed=recipe.seed ^ part << 40, brief=recipe.brief)
        house = make(moved)
        assert house.inspect().findings == ()
        assert check_arrays(arrays(house.voxels), house.recipe.brief.light) == []

    passes()


@pytest.mark.parametrize("plot", [(19, 22), LARGEST_PLOT, (18, 61), (45, 21)], ids=str)
@pytest.mark.parametrize("gate", SIDES)
def test_both_judges_pass_the_smallest_and_the_largest(plot: tuple[int, int], gate: str) -> None:
    house = make(Recipe(seed=sum(plot), brief=Brief(plot=plot, gate=gate)))  # type: ignore[arg-type]
    assert house.inspect().findings == ()
    assert check_arrays(arrays(house.voxels), house.recipe.brief.light) == []
    assert house.plan.plot == plot


def test_the_smallest_plots_do_for_every_seed() -> None:
    """What the refusal of a smaller plot offers must work."""
    asked = [
        (plot, gate, seed) for plot in ((17, 19), (17, 20)) for gate in SIDES for seed in range(12)
    ]
    refused = [
        (p, g, s) for p, g, s in asked if not works(Recipe(seed=s, brief=Brief(plot=p, gate=g)))
    ]
    assert refused == []
