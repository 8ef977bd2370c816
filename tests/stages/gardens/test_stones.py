"""Stones and lanterns: nobody climbs from one by the other over what bounds a garden."""

from __future__ import annotations

import pytest

from genhouse.stages.gardens.lot import Pieces
from genhouse.stages.gardens.stones import lantern, unclimbed

FENCED = frozenset((x, 0) for x in range(6))
"""The foot of a boundary along the south."""


@pytest.mark.parametrize("form", ["rock", "dome", "ball", "tuft", "hedge", "whole"])
@pytest.mark.parametrize("beside", [(1, 0), (3, 1), (2, 1)])
def test_no_lantern_stands_by_a_boundary_and_what_one_mounts(
    form: str, beside: tuple[int, int]
) -> None:
    ground: Pieces = {(x, y, -1): ("moss", "whole") for x in range(6) for y in range(4)}
    others: Pieces = {(*beside, 0): ("boulder", form)}
    assert unclimbed(ground | others | lantern((2, 0)), FENCED) == ground | others


@pytest.mark.parametrize(
    ("form", "beside", "at"),
    [
        ("rock", (4, 0), (2, 0)),  # out of reach
        ("half course", (1, 0), (2, 0)),  # half a cell high: a step to a stone, none to a lantern
        ("sheet", (1, 0), (2, 0)),
        ("rock", (1, 1), (2, 1)),  # the boundary is out of reach
    ],
)
def test_any_other_lantern_stays(form: str, beside: tuple[int, int], at: tuple[int, int]) -> None:
    pieces = {(*beside, 0): ("boulder", form)} | lantern(at)
    assert unclimbed(pieces, FENCED) == pieces


def test_nobody_mounts_what_is_higher_than_a_lantern() -> None:
    tree: Pieces = {(1, 0, z): ("trunk", "post") for z in range(3)}
    pieces = tree | lantern((2, 0))
    assert unclimbed(pieces, FENCED) == pieces
