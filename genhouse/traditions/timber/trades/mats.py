"""Mats: each two cells by one, laid so that four corners never meet, half mats where needed.

The rule is that of the tatami tilings of A. Erickson, F. Ruskey, M. Schurch and J. Woodcock,
"Monomer-dimer tatami tilings of rectangular regions", Electronic J. Combin. 18(1) (2011) P109.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache

from genhouse.core.box import Box, Rect
from genhouse.model.elements import Element, Slab, of
from genhouse.model.part import Part
from genhouse.traditions.building import piece
from genhouse.traditions.tradition import Tradition

Layout = tuple[str, ...]
"""Rows of letters: L and R the two cells of a mat that lies along the row, T and B of one that lies
across the rows (T in the earlier row), M a half mat."""


@cache
def _ways(columns: int, rows_left: int, column: int, before: str, halves: int) -> int:
    """How many layouts complete a room from one cell on.

    before: the letters of the last columns + 1 cells, oldest first (``-`` before the first row).
    halves: half mats still to be laid, exactly.
    """
    if rows_left == 0:
        return int(halves == 0)
    return sum(
        _ways(
            columns,
            *_next(columns, rows_left, column),
            before[1:] + letter,
            halves - (letter == "M"),
        )
        for letter in _letters(columns, rows_left, column, before, halves)
    )


def _next(columns: int, rows_left: int, column: int) -> tuple[int, int]:
    return (rows_left, column + 1) if column + 1 < columns else (rows_left - 1, 0)


def _letters(columns: int, rows_left: int, column: int, before: str, halves: int) -> str:
    """What may lie in a cell, given the letters of the cells before it."""
    corner, above, right, left = before[0], before[1], before[2:3] or "-", before[-1]
    if column == 0:
        corner = left = "-"
    elif above != "-" and corner not in "LT" and left != "L" and above != "T":
        return ""  # four mats would meet at the corner between them
    if above == "T":
        return "" if left == "L" else "B"
    if left == "L":
        return "R"
    lying = "L" if column + 1 < columns and right != "T" else ""
    standing = "T" if rows_left > 1 else ""
    return lying + standing + ("M" if halves else "")


def count_layouts(rows: int, columns: int, halves: int) -> int:
    """How many layouts of a room have exactly this many half mats.

    >>> [count_layouts(3, 4, halves=0), count_layouts(3, 3, halves=1)]
    [4, 10]
    """
    return _ways(columns, rows, 0, "-" * (columns + 1), halves)


def layout(rows: int, columns: int, halves: int, number: int) -> Layout:
    """The layout of this number, from 0 up to the count.  Raises IndexError beyond it."""
    if not 0 <= number < count_layouts(rows, columns, halves):
        raise IndexError(f"no layout {number} of {rows} x {columns} with {halves} half mats")
    letters, before = "", "-" * (columns + 1)
    left, column = rows, 0
    while left:
        after = _next(columns, left, column)
        for letter in _letters(columns, left, column, before, halves):
            ways = _ways(columns, *after, before[1:] + letter, halves - (letter == "M"))
            if number < ways:
                break
            number -= ways
        letters, before, halves = letters + letter, before[1:] + letter, halves - (letter == "M")
        left, column = after
    return tuple(letters[i : i + columns] for i in range(0, rows * columns, columns))


def fewest_halves(rows: int, columns: int) -> int:
    """The least number of half mats with which a room can be laid."""
    return next(
        n
        for n in range(rows * columns % 2, rows * columns + 1, 2)
        if count_layouts(rows, columns, n)
    )


def lay_mats(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """Each matted floor in the layout that its word draws, mat by mat; rows run along x, from the south."""
    for slab in of(Slab, elements):
        if slab.use == "mat":
            x, y, z = slab.box[:3]
            for j, row in enumerate(_drawn(slab.box.rect, slab.word)):
                for i, letter in enumerate(row):
                    for di, dj, form in PIECES.get(letter, ()):
                        cell = Box.cell(x + i + di, y + j + dj, z)
                        yield piece(tradition, "matting", cell, form)


def _drawn(rect: Rect, word: int) -> Layout:
    """One of the layouts with the fewest half mats; it is counted along the longer side."""
    rows, columns = sorted((rect.width, rect.depth), reverse=True)
    halves = fewest_halves(rows, columns)
    chosen = layout(rows, columns, halves, word * count_layouts(rows, columns, halves) >> 64)
    return _swapped(chosen) if rect.width > rect.depth else chosen


_SWAP = str.maketrans("LRTB", "TBLR")


def _swapped(layout: Layout) -> Layout:
    """Rows for columns."""
    return tuple("".join(row).translate(_SWAP) for row in zip(*layout, strict=True))


PIECES = {
    "L": ((0, 0, "mat east"), (1, 0, "mat west")),
    "T": ((0, 0, "mat north"), (0, 1, "mat south")),
    "M": ((0, 0, "half mat"),),
}
"""The pieces of a mat from the letter of its first cell; the form of each names the side on which the other
lies.  Row 0 is the south."""
