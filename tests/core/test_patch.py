"""Tables of cells beside plain sets of them."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from genhouse.core.box import Rect
from genhouse.core.patch import cells_of, inner, near, painted, patch_of

SIZE = (9, 7)
some = st.frozensets(st.tuples(st.integers(0, 8), st.integers(0, 6)))


def far(a: tuple[int, int], b: tuple[int, int]) -> int:
    return max(abs(a[0] - b[0]), abs(a[1] - b[1]))


@given(some, st.integers(1, 4))
def test_near_is_within_so_many_kings_moves(cells: frozenset[tuple[int, int]], moves: int) -> None:
    plot = Rect(0, 0, *SIZE).cells()
    expected = {c for c in plot if any(far(c, other) <= moves for other in cells)}
    assert cells_of(near(patch_of(SIZE, cells), moves)) == expected


@given(some)
def test_inner_cells_touch_nothing_else(cells: frozenset[tuple[int, int]]) -> None:
    round_it = [(i, j) for i in (-1, 0, 1) for j in (-1, 0, 1)]
    expected = {(x, y) for x, y in cells if all((x + i, y + j) in cells for i, j in round_it)}
    assert cells_of(inner(patch_of(SIZE, cells))) == expected


def test_what_lies_off_the_plot_is_not_painted() -> None:
    rects = [Rect(-3, -2, 2, 1), Rect(7, 5, 20, 20), Rect(-5, -5, -1, -1)]
    plot = Rect(0, 0, *SIZE)
    expected = {c for rect in rects for c in rect.cells() if plot.has(*c)}
    assert cells_of(painted(SIZE, rects)) == expected
