"""Bays of the walls seen from the front: what stands in each, piece by piece."""

from __future__ import annotations

from collections import defaultdict
from html import escape

import numpy as np

from genhouse.core.axes import Side
from genhouse.core.forms import SUB
from genhouse.model.elements import Wall
from genhouse.model.voxels import Voxels
from genhouse.outputs.plans._pen import CARD, CELL, FAINT, INK, PAPER, SOFT, drawing, num, tag
from genhouse.outputs.sheets.sheet import Sheets

Q = CELL // SUB
LEFT, EDGE = 18, 6
FAR: tuple[Side, ...] = ("north", "east")
"""From these sides one looks at a wall from where its rows across are last."""
BACK: tuple[Side, ...] = ("north", "west")
"""From these one sees what runs east or north from right to left."""


def seen_from(wall: Wall) -> Side:
    """The side from which a wall is drawn: that of its looks, else the south or the east."""
    return wall.face or ("south" if wall.axis == "x" else "east")


def front(wall: Wall, voxels: Voxels, sheets: Sheets) -> str:
    """A bay between its posts from the side that it is seen from, by reference to the sheets' definitions.

    Of a wall more than a cell thick what is foremost; layers are numbered up from the ground.
    """
    lie, side = wall.lie, seen_from(wall)
    cells = [
        (wide, high, (along, across, z) if wall.axis == "x" else (across, along, z))
        for wide, along in enumerate(range(lie.x0 - 1, lie.x1 + 1))
        for high, z in enumerate(range(wall.z0, wall.z1))
        for across in _rows(wall, side)
    ]
    count, boxes, words = lie.width + 2, defaultdict[int, list[str]](list), []
    done: set[tuple[int, int]] = set()
    deep = wall.z1 - wall.z0
    for wide, high, at in cells:
        if (wide, high) in done or not _within(at, voxels) or not voxels.form[at]:
            continue
        done.add((wide, high))
        x = CELL * (count - 1 - wide if side in BACK else wide)
        y, form = CELL * (deep - 1 - high), int(voxels.form[at])
        shape = voxels.shapes[form].any(axis=1 if wall.axis == "x" else 0)
        boxes[int(voxels.material[at])] += _outline(shape[::-1] if side in BACK else shape, x, y)
        if code := sheets.code(form):
            words.append(f'<text x="{x + CELL // 2}" y="{y + 13}">{code}</text>')
    fills = "".join(
        f'<path d="{"".join(paths)}" fill="url(#m{n})" stroke="{INK}" stroke-width=".6"/>'
        for n, paths in sorted(boxes.items())
    )
    size = (LEFT + CELL * count + EDGE, CELL * deep + 2 * EDGE)
    numbers = "".join(
        f'<text x="-4" y="{CELL * (deep - n) - 6}" text-anchor="end" fill="{SOFT}">'
        f"{wall.z0 + n - sheets.ground + 1}</text>"
        for n in range(deep)
    )
    lines = "".join(f"M0 {CELL * n}H{CELL * count}" for n in range(deep + 1))
    lettering = {"font_size": 8, "text_anchor": "middle", "font_weight": "600", "fill": INK,
                 "stroke": CARD, "stroke_width": 1.8, "style": "paint-order: stroke"}  # fmt: skip
    return drawing(
        escape(f"A bay from the {side}, posts at both ends"),
        size,
        tag("rect", width=size[0], height=size[1], fill=PAPER),
        tag(
            "g",
            f'<path d="{lines}" stroke="{FAINT}" stroke-width=".3"/>{fills}'
            + tag("g", "".join(words), **lettering)
            + tag("g", numbers, font_size=8),
            transform=f"translate({LEFT} {EDGE})",
        ),
        scale=1.4,
        font_family="sans-serif",
    )


def _rows(wall: Wall, side: Side) -> range:
    """Its rows across, the foremost first."""
    y0, y1 = wall.lie.y0, wall.lie.y1
    return range(y1 - 1, y0 - 1, -1) if side in FAR else range(y0, y1)


def _within(at: tuple[int, int, int], voxels: Voxels) -> bool:
    return all(0 <= n < size for n, size in zip(at, voxels.size, strict=True))


def _outline(shape: np.ndarray, x: int, y: int) -> list[str]:
    """What a form shows of its cell ``[along, z]``: all of it as one box, else a box a row of sub-cells."""
    if shape.all():
        return [f"M{x} {y}h{CELL}v{CELL}h-{CELL}z"]
    found = []
    for z in range(SUB):
        row = np.flatnonzero(np.diff(np.pad(shape[:, z].astype(np.int8), 1)))
        for a, b in row.reshape(-1, 2).tolist():
            wide = num(Q * (b - a))
            found.append(f"M{x + Q * a} {y + CELL - Q * (z + 1)}h{wide}v{Q}h-{wide}z")
    return found
