"""Mats: counts of layouts against published tables, and the corner rule in every laid room."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genhouse.core.box import Rect
from genhouse.traditions.timber.trades.mats import Layout, count_layouts, fewest_halves, layout
from tests.houses import SEEDS, house
from tests.reference import published

TABLES = published("mats")
PARTNER = {"L": (1, 0), "R": (-1, 0), "T": (0, 1), "B": (0, -1), "M": (0, 0)}
FACES = {"mat east": "L", "mat west": "R", "mat north": "T", "mat south": "B", "half mat": "M"}


def mats_of(laid: Layout) -> dict[tuple[int, int], tuple[int, int]]:
    """The first cell of the mat that each cell belongs to; a mat's two cells name each other."""
    found = {}
    for y, row in enumerate(laid):
        for x, letter in enumerate(row):
            dx, dy = PARTNER[letter]
            other = laid[y + dy][x + dx]
            assert letter + other in ("LR", "RL", "TB", "BT", "MM"), f"half a mat at {x}, {y}"
            found[x, y] = min((y, x), (y + dy, x + dx))
    return found


def corners_meet(laid: Layout) -> list[tuple[int, int]]:
    """Points at which four mats meet."""
    mats = mats_of(laid)
    inner = [(x, y) for y in range(1, len(laid)) for x in range(1, len(laid[0]))]
    round_ = {(x, y): {mats[a, b] for a in (x - 1, x) for b in (y - 1, y)} for x, y in inner}
    return [at for at, met in round_.items() if len(met) == 4]


def drawn(laid: Layout) -> str:
    """A layout in the letters of the notes: mats named in the order in which they are met."""
    mats, names = mats_of(laid), {}
    for y in range(len(laid)):
        for x in range(len(laid[0])):
            names.setdefault(mats[x, y], "abcdefghijkl"[len(names)])
    return "/".join(
        "".join(names[mats[x, y]] for x in range(len(row))) for y, row in enumerate(laid)
    )


def each(rows: int, columns: int, halves: int) -> list[Layout]:
    return [layout(rows, columns, halves, n) for n in range(count_layouts(rows, columns, halves))]


@pytest.mark.parametrize("rows", range(1, 9))
def test_whole_mats_are_laid_in_as_many_ways_as_published(rows: int) -> None:
    """OEIS A068920."""
    expected = TABLES["whole"]["rows"][rows - 1]
    assert [count_layouts(rows, columns, 0) for columns in range(1, 13)] == expected


def test_two_rows_follow_their_recurrence() -> None:
    """OEIS A068921."""
    counts = TABLES["two_rows"]["counts"]
    assert [count_layouts(2, n, 0) for n in range(1, len(counts) + 1)] == counts


@pytest.mark.parametrize(
    ("rows", "most"), [(1, 12), (2, 6), (3, 5), (4, 5), (5, 5), (6, 4), (7, 3), (8, 3)]
)
def test_with_half_mats_in_as_many_ways_as_published(rows: int, most: int) -> None:
    """OEIS A180970 and A192090 to A192094; the table is symmetrical."""
    expected = TABLES["any_halves"]["rows"][rows - 1][:most]
    sizes = range(1, most + 1)
    assert [sum(count_layouts(rows, c, m) for m in range(rows * c + 1)) for c in sizes] == expected
    across = range(1, 4 if rows < 5 else 2)
    turned = [sum(count_layouts(c, rows, m) for m in range(rows * c + 1)) for c in across]
    assert turned == expected[: len(turned)]


@pytest.mark.parametrize("n", range(2, 7))
def test_squares_by_half_mats(n: int) -> None:
    """OEIS A001787, Ruskey's comment; fewer half mats: Erickson and others 2011 (from memory)."""
    fewer = {m: m * 2**m + (m + 1) * 2 ** (m + 1) for m in range(n % 2, n, 2)}
    counted = {m: count_layouts(n, n, m) for m in range(n + 3)}
    assert {m: count for m, count in counted.items() if count} == fewer | {n: n * 2 ** (n - 1)}


@pytest.mark.parametrize(("halves", "count"), list(TABLES["squares"]["eight"].items())[:3])
def test_a_room_of_eight_by_eight(halves: str, count: int) -> None:
    assert count_layouts(8, 8, int(halves)) == count


@pytest.mark.parametrize("n", [3, 4])
def test_three_rows_by_half_mats(n: int) -> None:
    """OEIS A272472."""
    expected = TABLES["three_rows"][str(n)]
    assert [count_layouts(3, n, m) for m in range(len(expected))] == expected


@pytest.mark.parametrize("room", TABLES["classical"]["rooms"], ids=lambda room: f"{room[0]} mats")
def test_classical_rooms_take_the_fewest_half_mats(room: list[Any]) -> None:
    mats, rows, columns, halves, count = room
    assert rows * columns == 2 * mats
    assert fewest_halves(rows, columns) == halves
    assert count_layouts(rows, columns, halves) == count


@pytest.mark.parametrize("size", TABLES["impossible"]["sizes"], ids=str)
def test_sizes_that_whole_mats_cannot_cover(size: tuple[int, int]) -> None:
    """10 x 13: arXiv 1403.4776."""
    assert count_layouts(*size, 0) == 0


@pytest.mark.parametrize("height", [4, 6, 8])
def test_fixed_height_series(height: int) -> None:
    """Ruskey and Woodcock 2009: K(z)."""
    expected = TABLES["fixed_height"][str(height)]
    counts = [count_layouts(height, n, 0) for n in range(height, height + len(expected))]
    assert counts == expected


@pytest.mark.parametrize("size", ["4x4", "3x4"])
def test_layouts_are_those_drawn_in_the_notes(size: str) -> None:
    rows, columns = map(int, size.split("x"))
    assert sorted(map(drawn, each(rows, columns, 0))) == sorted(TABLES["drawn"][size])


@given(st.integers(2, 6), st.integers(2, 6), st.data())
@settings(max_examples=60)
def test_layouts_are_all_different_and_no_four_mats_meet(
    rows: int, columns: int, data: Any
) -> None:
    halves = fewest_halves(rows, columns) + 2 * data.draw(st.integers(0, 1))
    count = count_layouts(rows, columns, halves)
    if not count:
        return
    laid = layout(rows, columns, halves, data.draw(st.integers(0, count - 1)))
    assert (len(laid), len(laid[0])) == (rows, columns)
    assert sum(row.count("M") for row in laid) == halves
    assert corners_meet(laid) == []


@pytest.mark.parametrize(
    ("rows", "columns", "halves"), [(3, 3, 1), (4, 5, 2), (3, 4, 2), (5, 5, 1)]
)
def test_numbers_name_layouts_once(rows: int, columns: int, halves: int) -> None:
    laid = each(rows, columns, halves)
    assert len(set(laid)) == len(laid)
    for beyond in (-1, len(laid)):
        with pytest.raises(IndexError):
            layout(rows, columns, halves, beyond)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_laid_room_keeps_the_corner_rule(seed: int) -> None:
    """Read back from the forms in the cells, so that a slip in turning would show."""
    found = house(seed)
    names = [form.name for form in found.voxels.about.forms]
    at = {
        (x, y): FACES[names[found.voxels.form[x, y, z]]]
        for part in found.plan.parts
        if part.role == "mat"
        for x, y, z in part.box.cells()
    }
    assert at, "a house has at least one room with mats"
    while at:
        rect = _patch(at)
        laid = tuple(
            "".join(at.pop((x, y)) for x in range(rect.x0, rect.x1))
            for y in range(rect.y0, rect.y1)
        )
        assert corners_meet(laid) == []
        halves = sum(row.count("M") for row in laid)
        assert halves == fewest_halves(*sorted((rect.width, rect.depth), reverse=True))


def _patch(at: dict[tuple[int, int], str]) -> Rect:
    """The rectangle of mats that begins at the first cell."""
    x, y = min(at, key=lambda c: (c[1], c[0]))
    right, top = x, y
    while (right, y) in at:
        right += 1
    while all((i, top) in at for i in range(x, right)):
        top += 1
    return Rect(x, y, right, top)
