"""Dimensions of what a step adds, counted by hand, and where they are drawn."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.outputs.pictures import picture
from genhouse.outputs.pictures.camera import View
from genhouse.outputs.pictures.measured import COLOUR, Extent, extent_of, gaps_of, measured
from tests.outputs.specimens import court_house

OF: dict[View, Extent] = {
    "south-east": Extent((1, 4), (3, 8), (2, 3)),
    "north-west": Extent((6, 9), (2, 7), (2, 3)),
    "south-west": Extent((3, 8), (6, 9), (2, 3)),
    "north-east": Extent((2, 7), (1, 4), (2, 3)),
}
"""By hand: 10 x 10 cells, and of these columns 1 to 3, rows 2 to 6.  The camera looks along lower numbers
of its own axes first."""


@pytest.mark.parametrize("view", OF)
def test_an_extent_is_told_along_the_axes_of_the_view(view: View) -> None:
    cells = np.zeros((10, 10, 5), dtype=bool)
    cells[1:4, 2:7, 2] = True
    assert extent_of(cells, view) == OF[view]


def test_gaps_are_told_between_what_stands_singly() -> None:
    """Posts at columns 1, 4, 8 of row 2 and at rows 2 and 6 of column 8; a sill is no row of posts."""
    cells = np.zeros((10, 10, 5), dtype=bool)
    cells[[1, 4, 8], 2] = cells[8, 6] = True
    assert gaps_of(cells, "south-east") == ([1, 2, 4, 5, 8, 9], [])
    cells[2, 2] = True
    assert gaps_of(cells, "south-east") == ([], [])


def test_what_is_asked_for_is_drawn_and_nothing_else() -> None:
    scene = picture.scene(court_house())
    bare = picture.draw(scene, size=(480, 432))
    extent = extent_of(scene.voxels.form > 0, "south-east")
    inks = []
    for plan, height in ((True, False), (False, True), (False, False)):
        image = measured(bare.copy(), scene, "south-east", extent, plan=plan, height=height)
        inks.append((np.asarray(image) == COLOUR).all(axis=2).sum())
    assert inks[0] > inks[1] > inks[2] == 0
