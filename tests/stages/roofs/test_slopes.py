"""Roof surfaces: profiles, the chessboard distance, and envelopes against a brute force."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import ndimage

from genhouse.core.box import Rect
from genhouse.stages.roofs.profiles import slope
from genhouse.stages.roofs.slopes import NONE, Field, across, eaves, join, prism, shell
from genhouse.traditions.roofs import Profile
from tests.houses import TIMBER
from tests.reference import published

RULE = TIMBER.roof
TEN = Profile(name="ten", kind="straight", weight=1, sun=10)
SPANS = st.sampled_from([4, 6, 8, 10])


def outline(shape: dict[str, Any]) -> Any:
    """A published outline as a polygon."""
    plus = shapely.union_all([shapely.box(*r) for r in shape["plus"]])
    return plus - shapely.union_all([shapely.box(*r) for r in shape["minus"]])


def mask(shape: dict[str, Any]) -> np.ndarray:
    """The same as cells."""
    x1, y1 = np.max([r[2:] for r in shape["plus"]], axis=0)
    cells = np.zeros((x1 + 2, y1 + 2), dtype=bool)
    for value, rects in ((True, shape["plus"]), (False, shape["minus"])):
        for a, b, c, d in rects:
            cells[a + 1 : c + 1, b + 1 : d + 1] = value
    return cells


def even(span: int) -> Field:
    """A roof of one pitch that ends over its walls: a half cell up for each half cell in."""
    return across((), slope(span, TEN), ())


def distance(cells: np.ndarray) -> np.ndarray:
    return ndimage.distance_transform_cdt(cells, metric="chessboard")


@pytest.mark.parametrize("shape", published("roof")["outline"], ids=lambda shape: shape["name"])
def test_the_yardstick_itself_has_the_published_level_sets(shape: dict[str, Any]) -> None:
    """Aichholzer and others 1995, and the areas in shared/reference/roof.toml."""
    reach = distance(mask(shape))
    for level, area in enumerate(shape["levels"]):
        assert np.count_nonzero(reach > level) == area
        assert outline(shape).buffer(-level, join_style="mitre").area == area


@given(SPANS)
def test_an_even_pitch_rises_by_the_distance_to_the_eaves(span: int) -> None:
    heights = even(span)
    wing = np.pad(np.ones(2 * span + 2, dtype=bool), 1)
    reach = distance(np.repeat(wing[:, None], 200, axis=1))[1:-1, 100]
    assert heights.tolist() == np.maximum(reach - 2, 0).tolist()


@given(SPANS, st.sampled_from(RULE.profiles), st.integers(0, 2), st.integers(0, 2), st.booleans())
@settings(max_examples=100)
def test_a_profile_rises_to_one_ridge_and_overhangs_as_far_as_asked(
    span: int, profile: Profile, low: int, high: int, steep: bool
) -> None:
    over = [eaves(n, RULE.gentle) for n in (low, high)]
    heights = across(over[0], slope(span, profile, steep=steep), over[1]).tolist()
    assert len(heights) == 2 * (span + 1 + low + high)
    middle = 2 * low + span
    assert heights[middle : middle + 2] == [max(heights)] * 2, "a ridge is one cell wide"
    rises = np.diff(heights)
    assert (rises[:middle] >= 0).all()
    assert (rises[middle + 1 :] <= 0).all()
    assert heights[0] == -RULE.gentle * low
    assert heights[-1] == -RULE.gentle * high
    wall = heights[2 * low : len(heights) - 2 * high]
    assert wall == wall[::-1], "both slopes are alike"


def test_the_profile_of_a_small_wing_by_hand() -> None:
    """Span 6: two courses of eaves, the wall's course, two whole courses, the ridge half a cell up."""
    over = eaves(2, RULE.gentle)
    assert across(over, slope(6, TEN), over).tolist() == [
        -2, -2, -1, -1, 0, 0, 1, 2, 3, 4, 5, 5, 4, 3, 2, 1, 0, 0, -1, -1, -2, -2
    ]  # fmt: skip


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=40)
def test_the_envelope_is_the_higher_of_all_prisms_everywhere(seed: int) -> None:
    """Each column asked for on its own, from the rectangles and a profile written out by hand."""
    dice = np.random.default_rng(seed)
    size, wings = (20, 18), []
    for _ in range(dice.integers(1, 5)):
        axis, span = str(dice.choice(["x", "y"])), int(dice.choice([4, 6, 8, 10]))
        across_, along = (size[1], size[0]) if axis == "x" else size
        start = int(dice.integers(0, across_ - span))
        low = int(dice.integers(0, along - 4))
        ends = (low, int(dice.integers(low + 4, along + 1)))
        wings.append((axis, start, span, ends, int(dice.integers(10, 20))))
    fields = []
    for axis, start, span, (a, b), base in wings:
        r = (
            Rect(a, start, b, start + span + 1)
            if axis == "x"
            else Rect(start, a, start + span + 1, b)
        )
        fields.append(prism(size, r, even(span), axis, base))
    top = join(fields)
    for x, y in np.ndindex(*top.shape):
        expected = NONE
        for axis, start, span, (a, b), base in wings:
            u, v = (x, y) if axis == "x" else (y, x)
            k = v - 2 * start
            if 2 * a <= u < 2 * b and 0 <= k <= 2 * span + 1:
                expected = max(expected, base + max(0, min(k, 2 * span + 1 - k) - 1))
        assert top[x, y] == expected


def _extended(size: tuple[int, int], court: Rect, front: int, rear: int, side: int, on: int) -> Any:
    """The ring's outline in half cells, its through wings drawn on past their gables."""
    x, y = 2 * size[0], 2 * size[1]
    bands = shapely.box(-on, 0, x + on, 2 * front + 2) | shapely.box(
        -on, y - 2 * rear - 2, x + on, y
    )
    return (bands | shapely.box(0, 0, x, y)) - shapely.box(*(2 * n for n in court))


@given(SPANS, SPANS, SPANS, st.integers(9, 16), st.integers(8, 14))
@settings(max_examples=40)
def test_a_ring_round_a_court_is_the_distance_to_its_eaves_and_the_mitred_outline(
    front: int, rear: int, side: int, width: int, depth: int
) -> None:
    """Through wings with gables, side wings between their ridges: valleys fall at the court's corners.

    The gables' ends are no eaves, so the outline is drawn on beyond them before it is measured.
    """
    side = min(side, front, rear)
    court = Rect(side + 1, front + 1, side + 1 + width, front + 1 + depth)
    size = (court.x1 + side + 1, court.y1 + rear + 1)
    wings = [
        ("x", Rect(0, 0, size[0], front + 1), front),
        ("x", Rect(0, court.y1, size[0], size[1]), rear),
        ("y", Rect(0, front // 2, side + 1, court.y1 + rear // 2 + 1), side),
        ("y", Rect(court.x1, front // 2, size[0], court.y1 + rear // 2 + 1), side),
    ]
    fields = [prism(size, r, even(s), axis, 10) for axis, r, s in wings]
    top = join(fields).astype(int) - 10
    built = top >= 0
    on = 60
    cells = np.pad(np.pad(built, ((on, on), (0, 0)), mode="edge"), 1)
    cells[1 : on + 1, 2 * front + 3 : 1 - 2 * rear - 4] = False  # past the ends, only through wings
    cells[-on - 1 : -1, 2 * front + 3 : 1 - 2 * rear - 4] = False
    reach = distance(cells)[on + 1 : -on - 1, 1:-1]
    reach = np.where(built, np.maximum(reach - 2, 0), 0)
    assert np.array_equal(np.where(built, top, 0), reach)
    mitred = _extended(size, court, front, rear, side, on)
    for level in range(2, side):
        area = (
            mitred.buffer(-level, join_style="mitre")
            .intersection(shapely.box(0, 0, *(2 * n for n in size)))
            .area
        )
        assert np.count_nonzero(built & (top + 2 > level)) == area


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=30)
def test_a_shell_hangs_a_half_cell_below_the_lowest_neighbour(seed: int) -> None:
    dice = np.random.default_rng(seed)
    top = dice.integers(8, 14, (9, 7)).astype(np.int16)
    top[dice.random(top.shape) < 0.2] = NONE
    under = shell(top)
    for x, y in np.ndindex(*top.shape):
        near = top[max(0, x - 1) : x + 2, max(0, y - 1) : y + 2]
        assert under[x, y] == (NONE if top[x, y] == NONE else near[near != NONE].min() - 1)
