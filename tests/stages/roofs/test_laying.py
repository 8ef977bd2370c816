"""Pieces in boxes: the same boxes as a cell-by-cell cover of each kind."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.core.box import Box, runs
from genhouse.stages.roofs.laying import laid_in_boxes


def laid(kinds: np.ndarray) -> list[tuple[int, Box]]:
    """What is laid of all that is there, given in any order."""
    cells = np.argwhere(kinds)[::-1].T
    return laid_in_boxes(kinds[tuple(cells)], tuple(cells))


def cover(kinds: np.ndarray) -> list[tuple[int, Box]]:
    """Kind by kind, from the set of its cells."""
    found = []
    for kind in sorted(set(kinds.ravel().tolist()) - {0}):
        cells = [(x, y, z) for x, y, z in np.argwhere(kinds == kind).tolist()]
        found += [(kind, box) for box in runs(cells)]
    return found


@pytest.mark.parametrize("seed", range(20))
def test_boxes_are_those_of_each_kinds_cells(seed: int) -> None:
    dice = np.random.default_rng(seed)
    size = tuple(dice.integers(1, 8, 3).tolist())
    kinds = dice.choice([0, 0, 1, 300, 513], size).astype(np.uint16)
    assert laid(kinds) == cover(kinds)


def test_a_run_ends_at_the_edge_of_the_plot() -> None:
    kinds = np.zeros((2, 2, 1), dtype=np.uint16)
    kinds[1, 0, 0] = kinds[0, 1, 0] = 7
    assert [box for _, box in laid(kinds)] == [Box.cell(1, 0, 0), Box.cell(0, 1, 0)]


def test_nothing_is_covered_by_no_boxes() -> None:
    assert laid(np.zeros((3, 4, 5), dtype=np.uint16)) == []
