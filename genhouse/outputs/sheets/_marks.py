"""A drawn mark for each form: what it fills of its cell, a code for its piece, and which way it is
turned.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import STEP
from genhouse.core.forms import SUB
from genhouse.model.voxels import FormEntry
from genhouse.outputs.plans._pen import CARD, CELL, INK, num
from genhouse.outputs.sheets._paper import LETTERING

UNMARKED = "whole"
"""The one form that is drawn by its material alone."""
Q = CELL // SUB
"""Units of a sub-cell."""


def codes(pieces: tuple[str, ...]) -> dict[str, str]:
    """Two letters for each piece, no two alike: its first, and the first of those after it that is free.

    >>> codes(("course", "course", "cobble", "half course"))
    {'course': 'Co', 'cobble': 'Cb', 'half course': 'Hc'}
    """
    found: dict[str, str] = {}
    for piece in dict.fromkeys(pieces):
        first, *others = piece.replace("-", " ").split()
        wanted = [word[0] for word in others] + [*first[1:], *"".join(others)]
        letters = [*wanted, *"abcdefghijklmnopqrstuvwxyz"]
        taken = set(found.values())
        pairs = (f"{first[0].upper()}{letter}" for letter in letters)
        found[piece] = next(pair for pair in pairs if pair not in taken)
    return found


def mark(entry: FormEntry, shape: npt.NDArray[np.bool_], code: str) -> str:
    """What is drawn in a cell of ``CELL`` units, north up: nothing for the form that needs no mark."""
    if entry.name == UNMARKED:
        return ""
    facing = entry.name.removeprefix(entry.piece).split()
    over = f'<path d="M5 6h10" stroke="{INK}"/>' if "soffit" in facing else ""
    words = (
        f'<text x="10" y="13" font-size="{num(LETTERING)}" font-weight="600" text-anchor="middle" '
        f'fill="{INK}" style="paint-order: stroke" stroke="{CARD}" stroke-width="1.6">{code}</text>'
    )
    return f"{_filled(shape)}{_turn(facing)}{over}{words}"


def _filled(shape: npt.NDArray[np.bool_]) -> str:
    """The columns that a form fills, darker the higher they reach; a line under what hangs."""
    top = np.where(shape.any(axis=2), SUB - shape[:, :, ::-1].argmax(axis=2), 0)
    drawn = []
    for high in range(1, SUB + 1):
        boxes = "".join(_boxes(top == high))
        if boxes:
            drawn.append(f'<path d="{boxes}" fill="{INK}" fill-opacity="{num(0.1 * high)}"/>')
    return "".join(drawn)


def _boxes(columns: npt.NDArray[np.bool_]) -> Iterable[str]:
    """Rows of sub-cells, as sub-paths: x to the right, north up."""
    for y in range(SUB):
        x = 0
        while x < SUB:
            if columns[x, y]:
                end = x
                while end < SUB and columns[end, y]:
                    end += 1
                wide = Q * (end - x)
                yield f"M{Q * x} {CELL - Q * (y + 1)}h{wide}v{Q}h-{wide}z"
                x = end
            x += 1


def _turn(facing: list[str]) -> str:
    """A wedge at the side or corner that it faces; a stroke at both ends of the axis that it runs
    along.
    """
    words = [word for side in facing for word in side.split("-")]
    way = [STEP[word] for word in words if word in STEP]
    if way:
        dx, dy = sum(x for x, _ in way), -sum(y for _, y in way)
        tip = (10 + 9.5 * dx, 10 + 9.5 * dy)
        if dx and dy:
            ends = (tip[0] - 6 * dx, tip[1]), (tip[0], tip[1] - 6 * dy)
        else:
            back = (tip[0] - 4 * dx, tip[1] - 4 * dy)
            ends = (back[0] - 4 * dy, back[1] + 4 * dx), (back[0] + 4 * dy, back[1] - 4 * dx)
        points = " ".join(f"{num(x)},{num(y)}" for x, y in (tip, *ends))
        return f'<polygon points="{points}" fill="{INK}"/>'
    if "x" in facing:
        return f'<path d="M.8 6v8M19.2 6v8M1 10h3M16 10h3" stroke="{INK}"/>'
    if "y" in facing:
        return f'<path d="M6 .8h8M6 19.2h8M10 1v3M10 16v3" stroke="{INK}"/>'
    return ""
