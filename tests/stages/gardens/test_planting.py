"""Planting: the two properties of a Poisson-disk sample, and trees that stand on their trunks."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.forms import FORMS, NUMBER, SUB
from genhouse.stages.gardens.groundwork import LEANS
from genhouse.stages.gardens.planting import (
    Shape,
    bamboo,
    blossom,
    great_maple,
    maple,
    pine,
    poisson,
)

Cell = tuple[int, int]
GRID = [(x, y) for x in range(12) for y in range(12)]
TREES: dict[str, Shape] = {
    **{f"maple {n}": maple(n) for n in range(2, 6)},
    "great maple": great_maple(4),
    "blossom": blossom(2),
    **{f"pine {lean}": pine(6, lean) for lean in LEANS},
    **{f"bamboo {n}": bamboo(n) for n in range(3, 6)},
}


def square(a: Cell, b: Cell) -> int:
    return (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2


@given(
    cells=st.lists(st.sampled_from(GRID), unique=True),
    apart=st.integers(1, 6),
    seed=st.integers(0, 99),
)
def test_a_sample_is_apart_and_full(cells: list[Cell], apart: int, seed: int) -> None:
    """R. Bridson (2007): no two samples nearer than r; what is left lies within r of a sample."""
    chosen = poisson(cells, apart, Draw(seed))
    assert set(chosen) <= set(cells)
    assert all(square(a, b) >= apart * apart for a, b in combinations(chosen, 2))
    assert all(any(square(c, p) < apart * apart for p in chosen) for c in cells)


def test_a_sample_depends_on_its_cells_and_not_on_their_order() -> None:
    cells = list(Rect(3, 4, 12, 15).cells())
    assert poisson(cells, 3, Draw(5)) == poisson(cells[::-1], 3, Draw(5))
    assert len({poisson(cells, 3, Draw(seed)) for seed in range(9)}) > 5


@pytest.mark.parametrize("name", TREES)
def test_a_tree_hangs_together_with_its_foot(name: str) -> None:
    """Flood over the faces of sub-cells, from the lowest of the trunk."""
    solid = {
        (SUB * x + i, SUB * y + j, SUB * z + k)
        for (x, y, z), (_, form) in TREES[name].items()
        for i in range(SUB)
        for j in range(SUB)
        for k in range(SUB)
        if FORMS[NUMBER[form]].shape[i, j, k]
    }
    edge = [c for c in solid if c[2] == 0]
    assert {(c[0] // SUB, c[1] // SUB) for c in edge} == {(0, 0)}
    left = solid - set(edge)
    while edge:
        x, y, z = edge.pop()
        for dx, dy, dz in ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)):
            there = (x + dx, y + dy, z + dz)
            if there in left:
                left.remove(there)
                edge.append(there)
    assert not left


@pytest.mark.parametrize("name", [n for n in TREES if "bamboo" not in n])
def test_one_walks_under_a_crown(name: str) -> None:
    """A body is seven quarters tall; leaves beside the trunk begin two cells up."""
    leaves = [z for (x, y, z) in TREES[name] if (x, y) != (0, 0)]
    assert min(leaves) >= 2
