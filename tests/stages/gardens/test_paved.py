"""Courts that are paved or bare: what lies there, and that it is alike on both sides of its axes."""

from __future__ import annotations

import pytest

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.stages.gardens.lot import Lot, noise_over
from genhouse.stages.gardens.paved import bare, paved


def lot(width: int, depth: int, seed: int = 1) -> Lot:
    ground = Rect(0, 0, width, depth)
    return Lot(
        ground=ground,
        steps=((width // 2, 0), (width // 2, depth - 1)),
        gate=(),
        low=Rect(0, 0, 0, 0),
        walls=(),
        noise=noise_over(ground, 1),
        draw=Draw(seed),
    )


@pytest.mark.parametrize(("width", "depth"), [(9, 9), (11, 14), (12, 13), (15, 11)])
def test_four_trees_stand_in_its_quarters_clear_of_a_cross_of_flags(width: int, depth: int) -> None:
    pieces = paved(lot(width, depth)).pieces
    feet = {(x, y) for (x, y, z), (use, _) in pieces.items() if use == "trunk" and z == 0}
    assert len(feet) == 4
    assert {(width - 1 - x, y) for x, y in feet} == feet
    assert {(x, depth - 1 - y) for x, y in feet} == feet
    flags = {(x, y) for (x, y, z), (use, _) in pieces.items() if use == "path"}
    assert {((width - 1) // 2, y) for y in range(depth)} <= flags
    assert {(x, (depth - 1) // 2) for x in range(width)} <= flags
    assert not flags & feet


@pytest.mark.parametrize("size", [2, 3, 4, 6, 8])
def test_a_small_one_has_no_trees(size: int) -> None:
    pieces = paved(lot(size, size)).pieces
    assert not any(use == "trunk" for use, _ in pieces.values())
    assert {(x, y) for x, y, z in pieces if z == -1} == set(Rect(0, 0, size, size).cells())


def test_nothing_stands_in_a_bare_one() -> None:
    sketch = bare(lot(9, 7))
    assert {z for _, _, z in sketch.pieces} == {-1}
    assert len(sketch.pieces) == 63
    assert {(4, 0), (4, 6)} <= sketch.walk
