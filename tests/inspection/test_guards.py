"""Guards: what one could fall into, and that a plot's own edge is nothing to fall from."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.inspection.access import walk
from genhouse.inspection.fabric import fabric
from genhouse.inspection.guards import guards
from tests.inspection.blocks import Hut


def plateau(high: int = 4) -> Hut:
    """Open ground so many layers high."""
    hut = Hut()
    hut.clear(np.s_[:, :, 1:])
    hut.room[:] = 0
    hut.set(np.s_[:, :, :high], stage="site")
    hut.gate = (3, 0, 4 * high)
    return hut


def found(hut: Hut) -> list[str]:
    voxels = hut.voxels()
    sub = hut.sub()
    verdict = guards(voxels, fabric(voxels, sub), walk(voxels, sub))
    return [finding.sentence for finding in verdict.findings]


FALL = "one could fall here"


def test_level_ground_is_safe() -> None:
    assert found(plateau()) == []


@pytest.mark.parametrize("where", [np.s_[3, 4, 1:], np.s_[3, 4, :], np.s_[5:, 5:, 1:]])
def test_a_hole_is_found_even_where_nothing_is_at_its_foot(where: tuple[slice, ...]) -> None:
    hut = plateau()
    hut.clear(where)
    assert found(hut) == [FALL]


@pytest.mark.parametrize("where", [np.s_[5:, 5:, :], np.s_[:, 6:, :], np.s_[2:5, 5:, :]])
def test_beyond_the_outline_of_a_plot_other_ground_goes_on(where: tuple[slice, ...]) -> None:
    hut = plateau()
    hut.clear(where)
    assert found(hut) == []


def test_two_cells_are_no_drop_to_guard() -> None:
    hut = plateau(3)
    hut.clear(np.s_[3, 4, 1:])
    assert found(hut) == []
