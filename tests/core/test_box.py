"""Rectangles and boxes against plain sets of cells."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from genhouse.core.box import Box, Rect, runs

Cells = set[tuple[int, int]]

small = st.integers(-4, 4)
rects = st.builds(
    lambda x, y, w, d: Rect(x, y, x + w, y + d), small, small, *[st.integers(0, 5)] * 2
)
cells = st.lists(st.tuples(*[st.integers(-2, 4)] * 3), max_size=60)


def within(rect: Rect) -> Cells:
    return {(x, y) for x in range(-9, 10) for y in range(-9, 10) if rect.has(x, y)}


@given(rects)
def test_a_rectangle_has_the_cells_it_lists(rect: Rect) -> None:
    assert within(rect) == set(rect.cells())
    assert rect.area == len(list(rect.cells())) == max(0, rect.width) * max(0, rect.depth)


@given(rects, rects)
def test_meeting_is_intersection(a: Rect, b: Rect) -> None:
    assert set(a.meet(b).cells()) == within(a) & within(b)
    assert a.meet(b).area == b.meet(a).area


@given(rects, rects)
def test_the_hull_is_the_smallest_that_holds_both(a: Rect, b: Rect) -> None:
    hull = a.hull(b)
    assert (hull.meet(a), hull.meet(b)) == (a, b)
    assert {hull.x0, hull.x1} <= {a.x0, a.x1, b.x0, b.x1}
    assert {hull.y0, hull.y1} <= {a.y0, a.y1, b.y0, b.y1}


def test_growing_by_hand() -> None:
    assert Rect(1, 2, 3, 5).grown(1) == Rect(0, 1, 4, 6)
    assert Rect(1, 2, 3, 5).grown(1).grown(-1) == Rect(1, 2, 3, 5)
    assert Rect(0, 0, 1, 1).grown(-1).area == 0


def test_a_rectangle_raised_is_a_box() -> None:
    box = Rect(1, 2, 3, 5).up(4, 6)
    assert box == Box(1, 2, 4, 3, 5, 6)
    assert (box.rect, box.volume) == (Rect(1, 2, 3, 5), 12)
    assert list(Box.cell(1, 2, 3).cells()) == [(1, 2, 3)]


def test_cells_come_row_by_row_from_the_south_west() -> None:
    assert list(Rect(0, 0, 2, 2).cells()) == [(0, 0), (1, 0), (0, 1), (1, 1)]
    assert list(Box(0, 0, 0, 2, 1, 2).cells()) == [(0, 0, 0), (1, 0, 0), (0, 0, 1), (1, 0, 1)]


@given(cells)
def test_runs_cover_each_cell_exactly_once(wanted: list[tuple[int, int, int]]) -> None:
    covered = Counter(cell for box in runs(wanted) for cell in box.cells())
    assert covered == Counter(set(wanted))


@given(cells, st.randoms(use_true_random=False))
def test_runs_depend_on_the_set_alone(wanted: list[tuple[int, int, int]], dice: object) -> None:
    mixed = wanted + wanted[:3]
    dice.shuffle(mixed)  # type: ignore[attr-defined]
    assert runs(iter(mixed)) == runs(wanted)


@given(rects.filter(lambda rect: rect.area > 0))
def test_a_plain_rectangle_is_one_run(rect: Rect) -> None:
    assert runs(list(rect.up(0, 1).cells())) == [rect.up(0, 1)]


def test_runs_by_hand() -> None:
    """An L of three cells: the lower row, then the cell above its west end."""
    assert runs([(0, 1, 0), (1, 0, 0), (0, 0, 0)]) == [Box(0, 0, 0, 2, 1, 1), Box(0, 1, 0, 1, 2, 1)]
    assert runs([]) == []


@pytest.mark.parametrize(
    ("strip", "hole", "left"),
    [
        (Rect(0, 0, 5, 1), None, [Rect(0, 0, 5, 1)]),
        (Rect(0, 0, 5, 1), Rect(1, 0, 3, 1), [Rect(0, 0, 1, 1), Rect(3, 0, 5, 1)]),
        (Rect(0, 0, 1, 5), Rect(0, 0, 1, 2), [Rect(0, 2, 1, 5)]),
        (Rect(0, 0, 5, 1), Rect(0, 0, 5, 1), []),
        (Rect(0, 0, 1, 1), Rect(0, 0, 1, 1), []),
        (Rect(0, 0, 5, 2), Rect(1, 0, 3, 2), [Rect(0, 0, 1, 2), Rect(3, 0, 5, 2)]),
        (Rect(0, 0, 5, 1), Rect(7, 0, 9, 1), [Rect(0, 0, 5, 1)]),
    ],
)
def test_a_strip_less_a_stretch(strip: Rect, hole: Rect | None, left: list[Rect]) -> None:
    assert list(strip.less(hole)) == left
