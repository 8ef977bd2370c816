"""Where things are, in the letters and numbers of the sheets."""

from __future__ import annotations

from genhouse.core.box import Rect
from genhouse.outputs.sheets.letters import letters_of


def cell(x: int, y: int) -> str:
    """
    >>> cell(0, 0), cell(27, 9)
    ('A1', 'AB10')
    """
    return f"{letters_of(x)}{y + 1}"


def place(r: Rect) -> str:
    """The cells at two corners of a rectangle, or its one cell.

    >>> place(Rect(2, 3, 4, 5)), place(Rect(2, 3, 3, 4))
    ('C4 to D5', 'C4')
    """
    first, last = cell(r.x0, r.y0), cell(r.x1 - 1, r.y1 - 1)
    return first if first == last else f"{first} to {last}"
