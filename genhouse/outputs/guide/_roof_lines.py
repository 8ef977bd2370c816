"""Ridges, hips, valleys and falls as a roof plan draws them, and their key."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.axes import STEP
from genhouse.outputs.guide._falls import Fall, Line, Surface
from genhouse.outputs.plans._pen import CARD, CELL, DIMENSION, INK, group, letters, num, tag

DASHES = {"ridge": None, "hip": "11 3 2 3", "valley": "4 3"}
"""Told apart without colour: a ridge is whole, a hip dots and dashes, a valley short dashes."""
WORDS = {"ridge": "ridge", "hip": "hip", "valley": "valley"}
WEIGHT, RIM = 2.4, 5.4
SHAFT, HEAD = 0.62, 0.3
"""Cells from the middle of an arrow to its ends, and of its head."""
KEY_ROW, KEY_STEP = 24, 104
KEY_WIDTH = 5 * KEY_STEP + 40


def lines_drawn(surface: Surface, depth: int) -> Iterator[str]:
    """On a plan whose plot is so many cells deep."""
    lines = surface.lines()
    for kind in DASHES:
        yield _lines(kind, [line for line in lines if line.kind == kind], depth)
    yield _arrows([_fall(fall, depth) for fall in surface.falls()])
    yield "".join(
        _spout(CELL * (x + 0.5), CELL * (depth - y - 0.5)) for (x, y), _ in surface.spouts
    )


def key_drawn() -> Iterator[str]:
    """What each line and sign stands for, in a row."""
    foot = KEY_ROW / 2
    for n, kind in enumerate(DASHES):
        x = KEY_STEP * n
        yield _stroke(kind, f"M{x} {num(foot)}h34")
        yield letters(x + 40, foot + 3, WORDS[kind], 9, fill=INK)
    x = KEY_STEP * len(DASHES)
    yield _arrows([(x + 17, foot, 1, 0)])
    yield letters(x + 40, foot + 3, "water runs", 9, fill=INK)
    yield _spout(x + KEY_STEP + 17, foot)
    yield letters(x + KEY_STEP + 30, foot + 3, "spout", 9, fill=INK)


def _lines(kind: str, lines: Sequence[Line], depth: int) -> str:
    path = "".join(
        f"M{num(CELL * line.x0)} {num(CELL * (depth - line.y0))}"
        f"L{num(CELL * line.x1)} {num(CELL * (depth - line.y1))}"
        for line in lines
    )
    return _stroke(kind, path) if path else ""


def _stroke(kind: str, path: str) -> str:
    rim = tag("path", d=path, stroke=CARD, stroke_width=RIM)
    line = tag("path", d=path, stroke=DIMENSION, stroke_width=WEIGHT,
               stroke_dasharray=DASHES[kind], data_line=kind)  # fmt: skip
    return group(rim, line, fill="none")


def _fall(fall: Fall, depth: int) -> tuple[float, float, int, int]:
    dx, dy = STEP[fall.side]
    return CELL * (fall.x + 0.5), CELL * (depth - fall.y - 0.5), dx, -dy


def _arrows(arrows: Sequence[tuple[float, float, int, int]]) -> str:
    """Each from the middle of it: where that is, and which way it points."""
    reach, head = CELL * SHAFT, CELL * HEAD
    path = ""
    for x, y, dx, dy in arrows:
        tip = x + reach * dx, y + reach * dy
        path += f"M{num(x - reach * dx)} {num(y - reach * dy)}L{num(tip[0])} {num(tip[1])}"
        for by in (1, -1):
            barb = tip[0] - head * (dx + by * dy), tip[1] - head * (dy + by * dx)
            path += f"M{num(tip[0])} {num(tip[1])}L{num(barb[0])} {num(barb[1])}"
    rim = tag("path", d=path, stroke=CARD, stroke_width=4.4)
    line = tag("path", d=path, stroke=INK, stroke_width=1.6, data_line="fall")
    return group(rim, line, fill="none", stroke_linecap="round") if path else ""


def _spout(x: float, y: float) -> str:
    ring = tag("circle", cx=x, cy=y, r=6.5, fill=CARD, stroke=INK, stroke_width=1.6)
    return ring + tag("circle", cx=x, cy=y, r=2.6, fill=INK, data_line="spout")
