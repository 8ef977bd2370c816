"""Sections: the house cut upright, across and along, with the heights that a builder counts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import ALONG, Axis
from genhouse.core.forms import SUB
from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.plans._pen import CELL, DIMENSION, FAINT, INK, PAPER, SOFT, drawing, tag
from genhouse.outputs.setting_out import heights
from genhouse.outputs.sheets.letters import letters_of

Q = CELL // SUB
LEFT, RIGHT, HEAD, FOOT = 24, 150, 26, 26
BEHIND = "#ddd3c2"

Flat = npt.NDArray[np.int64]


def sections(
    design: Design, voxels: Voxels, named: Sequence[tuple[str, int]]
) -> tuple[tuple[str, str], ...]:
    """Across and along through the middle of the first court: what each is, and its drawing.

    named: what lies in which layer above the ground, from 1.
    """
    court = design.courts[0]
    middle = ((court.x0 + court.x1) // 2, (court.y0 + court.y1) // 2)
    ways: tuple[tuple[Axis, int, str], ...] = (
        ("x", middle[1], f"Section from west to east along row {middle[1] + 1}, from the south"),
        (
            "y",
            middle[0],
            f"Section from south to north along {letters_of(middle[0])}, from the east",
        ),
    )
    return tuple(
        (title, _section(title, axis, at, heights(design).ground, voxels, named))
        for axis, at, title in ways
    )


def _section(
    title: str, axis: Axis, at: int, ground: int, voxels: Voxels, named: Sequence[tuple[str, int]]
) -> str:
    cut, behind = _cut(voxels, axis, at)
    wide, high = Q * cut.shape[0], Q * cut.shape[1]
    colours = [m.colour for m in voxels.about.materials]
    body = [f'<path d="{"".join(_rows(behind > 0, high))}" fill="{BEHIND}"/>']
    for n in np.unique(cut).tolist():
        if n:
            body.append(f'<path d="{"".join(_rows(cut == n, high))}" fill="{colours[n]}"/>')
    edges = "".join(_edges(cut, high))
    body.append(f'<path d="{edges}" fill="none" stroke="{INK}" stroke-width=".5"/>')
    layers = "".join(_layers(high, wide, voxels.size[2], ground))
    words = "".join(_named(named, ground, high, wide))
    size = (LEFT + wide + RIGHT, HEAD + high + FOOT)
    return drawing(
        title,
        size,
        tag("rect", width=size[0], height=size[1], fill=PAPER),
        f'<text x="{LEFT}" y="16" font-size="11" font-weight="600" fill="{INK}">{escape(title)}</text>',
        tag("g", layers + "".join(body) + words, transform=f"translate({LEFT} {HEAD})"),
        scale=1.2,
        font_family="sans-serif",
    )


def _cut(voxels: Voxels, axis: Axis, at: int) -> tuple[Flat, Flat]:
    """Materials by sub-cell ``[4 along, 4 Z]`` in the plane, and of whatever is seen behind it."""
    across = 1 - ALONG[axis]
    cut = _fine(voxels, at, across)
    part = slice(at + 1, None) if axis == "x" else slice(0, at)
    far = [part if n == across else slice(None) for n in range(3)]
    behind = (voxels.form[tuple(far)] > 0).any(axis=across)
    wide = behind.repeat(SUB, axis=0).repeat(SUB, axis=1).astype(np.int64)
    return cut, np.where(cut > 0, 0, wide)


def _fine(voxels: Voxels, at: int, across: int) -> Flat:
    """Materials by sub-cell in a plane, wherever in its cell a piece fills it."""
    plane = tuple(at if n == across else slice(None) for n in range(3))
    material, form = voxels.material[plane].astype(np.int64), voxels.form[plane]
    sides: npt.NDArray[np.bool_] = np.asarray(voxels.shapes.any(axis=across + 1))
    fine = np.where(sides[form], material[:, :, None, None], 0)  # [along, Z, 4, 4]
    along, high = form.shape
    return np.asarray(fine.transpose(0, 2, 1, 3).reshape(SUB * along, SUB * high))


def _rows(mask: npt.NDArray[np.bool_], high: int) -> Iterator[str]:
    """Rows of sub-cells as sub-paths."""
    turns = np.argwhere(np.diff(np.pad(mask.T.astype(np.int8), ((0, 0), (1, 1))), axis=1))
    for (z, a), (_, b) in turns.reshape(-1, 2, 2).tolist():
        yield f"M{Q * a} {high - Q * (z + 1)}h{Q * (b - a)}v{Q}h-{Q * (b - a)}z"


def _edges(cut: Flat, high: int) -> Iterator[str]:
    """Where one material ends."""
    wide = np.pad(cut, 1)
    for x, z in np.argwhere(wide[1:, 1:-1] != wide[:-1, 1:-1]).tolist():
        yield f"M{Q * x} {high - Q * z}v-{Q}"
    for x, z in np.argwhere(wide[1:-1, 1:] != wide[1:-1, :-1]).tolist():
        yield f"M{Q * x} {high - Q * z}h{Q}"


def _layers(high: int, wide: int, count: int, ground: int) -> Iterator[str]:
    for z in range(ground, count):
        y = high - CELL * z
        yield f'<path d="M-4 {y}H{wide + 4}" stroke="{FAINT}" stroke-width=".4"/>'
        number = z - ground + 1
        yield f'<text x="-8" y="{y - 6}" font-size="8" text-anchor="end" fill="{SOFT}">{number}</text>'


def _named(named: Sequence[tuple[str, int]], ground: int, high: int, wide: int) -> Iterator[str]:
    at: dict[int, list[str]] = {}
    for word, layer in named:
        at.setdefault(layer, []).append(word)
    for layer, words in at.items():
        y = high - CELL * (layer + ground - 1) - 6
        said = escape("; ".join(words))
        yield f'<text x="{wide + 8}" y="{y}" font-size="8" fill="{DIMENSION}">{layer}  {said}</text>'
