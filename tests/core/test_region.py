"""Regions against plain sets of cells, and against shapely's polygons."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, box

from genhouse.core.axes import Turn
from genhouse.core.box import Rect
from genhouse.core.region import Region, amiss, bounded, rectangle
from tests.outlines import outlines

ELL = ((0, 0), (6, 0), (6, 2), (3, 2), (3, 5), (0, 5))


@given(outlines())
def test_it_bounds_what_a_polygon_bounds(outline: tuple[tuple[int, int], ...]) -> None:
    region, polygon = bounded(outline), Polygon(outline)
    assert amiss(outline) == ""
    assert region == bounded(outline[::-1]) == bounded(outline[3:] + outline[:3])
    assert len(region.cells()) == polygon.area
    assert all(polygon.contains(box(*part)) for part in region.parts)
    assert Polygon(region.corners).equals(polygon)
    assert Polygon(region.corners).exterior.is_ccw


@given(outlines(), st.tuples(*[st.integers(0, 40)] * 2), st.tuples(*[st.integers(1, 20)] * 2))
def test_whatever_rectangle_it_holds_lies_in_a_part(
    outline: tuple[tuple[int, int], ...], at: tuple[int, int], size: tuple[int, int]
) -> None:
    region, rect = bounded(outline), Rect(*at, at[0] + size[0], at[1] + size[1])
    assert region.holds(rect) == Polygon(outline).covers(box(*rect))
    assert region.has(*at) == Polygon(outline).covers(box(*at, at[0] + 1, at[1] + 1))


@given(outlines(), st.integers(1, 4))
def test_shrunk_it_keeps_so_far_from_the_outline(
    outline: tuple[tuple[int, int], ...], n: int
) -> None:
    region = bounded(outline)
    inner = region.shrunk(n)
    assert inner.cells() == {
        (x, y)
        for x, y in region.cells()
        if Polygon(outline).covers(box(x - n, y - n, x + n + 1, y + n + 1))
    }
    assert all(not a.holds(b) for a in inner.parts for b in inner.parts if a != b)


def test_an_ell_by_hand() -> None:
    ell = bounded(ELL)
    assert ell.bounds == Rect(0, 0, 6, 5)
    assert not ell.whole
    assert ell.cells() - ell.edge == {(1, 1)} | {(1, 2), (1, 3)}
    assert ell.corners == ELL
    assert ell.turned(Turn(6, 5, 1)).corners == ((0, 0), (5, 0), (5, 6), (3, 6), (3, 3), (0, 3))
    assert ell.turned(Turn(6, 5, 0, True)).parts == (Rect(3, 0, 6, 5), Rect(0, 0, 6, 2))


def test_a_rectangle_is_its_own_only_part() -> None:
    assert (
        rectangle((4, 3))
        == Region((Rect(0, 0, 4, 3),))
        == bounded([(0, 0), (4, 0), (4, 3), (0, 3)])
    )
    assert rectangle((4, 3)).whole
    assert rectangle((5, 4)).shrunk(1).parts == (Rect(1, 1, 4, 3),)
    assert rectangle((2, 9)).shrunk(1).parts == ()


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        ([(0, 0), (4, 0), (4, 4)], "it has 3 corners"),
        ([(0, 0), (4, 0), (4, 4), (0, 4), (0, 0)], "corner 5 repeats corner 1, 0, 0"),
        ([(0, 0), (4, 0), (4, 3), (1, 4)], "from 4, 3 to 1, 4 it runs neither"),
        ([(0, 0), (4, 0), (2, 0), (2, 3), (0, 3)], "at 4, 0 it runs back"),
        ([(0, 0), (4, 0), (4, 4), (2, 4), (2, -1), (0, -1)], "crosses or touches itself at 2, 0"),
        (
            [(0, 0), (4, 0), (4, 2), (2, 2), (2, 4), (0, 4), (0, 3), (3, 3), (3, 1), (0, 1)],
            "crosses or touches itself at 3, 2",
        ),
    ],
)
def test_what_is_no_outline(outline: list[tuple[int, int]], words: str) -> None:
    assert words in amiss(outline)


def test_a_corner_on_a_straight_side_does_no_harm() -> None:
    assert amiss([(0, 0), (2, 0), (4, 0), (4, 3), (0, 3)]) == ""
    assert bounded([(0, 0), (2, 0), (4, 0), (4, 3), (0, 3)]) == rectangle((4, 3))
