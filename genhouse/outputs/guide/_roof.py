"""The roof for a builder: its uppermost pieces from above, and a table of its courses."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.axes import SIDES
from genhouse.core.forms import SUB
from genhouse.model.design import Design
from genhouse.model.voxels import FormEntry, Voxels
from genhouse.outputs.guide._falls import NAMED, NONE, Surface
from genhouse.outputs.guide._roof_lines import KEY_ROW, KEY_WIDTH, key_drawn, lines_drawn
from genhouse.outputs.plans._pen import (
    CARD,
    CELL,
    DIMENSION,
    FAINT,
    INK,
    PAPER,
    drawing,
    group,
    tag,
)
from genhouse.outputs.setting_out import heights
from genhouse.outputs.sheets.letters import letters_of
from genhouse.outputs.sheets.sheet import Sheets
from genhouse.outputs.steps.parts import parts_of_cells

EDGE = 26
CORNERS = ("hip", "valley")
"""What pieces are called that lie where two slopes meet."""
SPOUT = "culvert"
"""The piece through which a parapet lets water out."""
LABEL: dict[str, object] = {
    "fill": DIMENSION,
    "stroke": CARD,
    "stroke_width": 2.4,
    "font_weight": "600",
    "style": "paint-order: stroke",
}
Tops = npt.NDArray[np.int64]


class Course(Struct, frozen=True, kw_only=True):
    """One layer of the roof.  layer: above the ground, from 1.  setback: cells from the roof's edge to
    where it first shows.  sides: pieces that climb to each side; corners: hips and valleys; others: all
    else."""

    layer: int
    setback: int
    sides: tuple[int, ...]
    corners: int
    others: int


def tops(design: Design, voxels: Voxels) -> Tops:
    """z of the uppermost piece of the roof in each column, -1 where there is none: int [X, Y]."""
    mine = voxels.set_by("roof") & np.isin(_roles(design), _covering(design))
    high = mine.shape[2]
    return np.where(mine.any(axis=2), high - 1 - mine[:, :, ::-1].argmax(axis=2), -1)


def _covering(design: Design) -> list[int]:
    names = _names(design)
    return [names.index(r) + 1 for r in design.palette.having("covers") if r in names]


def _names(design: Design) -> list[str]:
    return sorted({part.role for part in design.laid.parts})


def _roles(design: Design) -> npt.NDArray[np.int64]:
    names = _names(design)
    role = np.array([0, *(names.index(part.role) + 1 for part in design.laid.parts)])
    return np.asarray(role[parts_of_cells(design)])


def courses(design: Design, voxels: Voxels) -> tuple[Course, ...]:
    """From the eaves up."""
    top, ground = tops(design, voxels), heights(design).ground
    away = _away(np.asarray(voxels.set_by("roof").any(axis=2)))  # a flue is no edge of the roof
    shown = voxels.set_by("roof") & np.isin(_roles(design), _covering(design))
    facing = [form.name.removeprefix(form.piece).split() for form in voxels.about.forms]
    side = np.array([next((n for n, s in enumerate(SIDES, 1) if s in f), 0) for f in facing])
    corner = np.array([any("-" in word for word in f) for f in facing])
    found = []
    for z in np.flatnonzero(shown.any(axis=(0, 1))).tolist():
        here = shown[:, :, z]
        forms = voxels.form[:, :, z][here]
        climbing = np.bincount(side[forms], minlength=5)[1:].tolist()
        cornered = int(corner[forms].sum())
        at = here & (top == z)
        found.append(
            Course(
                layer=z - ground + 1,
                setback=int(away[at].min()) if at.any() else 0,
                sides=tuple(climbing),
                corners=cornered,
                others=int(here.sum()) - sum(climbing) - cornered,
            )
        )
    return tuple(found)


def _away(covered: npt.NDArray[np.bool_]) -> Tops:
    """How many cells each column lies in from the roof's edge."""
    away, left = np.zeros(covered.shape, dtype=np.int64), np.pad(covered, 1)
    while left.any():
        inner = left.copy()
        for axis in (0, 1):
            for by in (1, -1):
                inner &= np.roll(left, by, axis)
        left = inner
        away += left[1:-1, 1:-1]
    return away


def roof_plan(design: Design, voxels: Voxels, sheets: Sheets) -> str:
    """What one sees of the roof from above; lines where it steps from one layer to another; over it its
    ridges, hips and valleys, and where water runs."""
    top, ground = tops(design, voxels), heights(design).ground
    width, depth = design.plot
    drawn = sheets.pieces([(x, y, int(top[x, y])) for x, y in np.argwhere(top >= 0).tolist()])
    steps = f'<path d="{"".join(_steps(top))}" stroke="{INK}" stroke-width=".9" fill="none"/>'
    numbers = "".join(_numbers(design, top, ground))
    size = (max(CELL * width + 2 * EDGE, KEY_WIDTH), CELL * depth + 2 * EDGE + KEY_ROW)
    axes = "".join(
        f'<text x="{CELL * n + CELL // 2}" y="{CELL * depth + 13}">{letters_of(n)}</text>'
        for n in range(width)
    ) + "".join(
        f'<text x="-11" y="{CELL * (depth - n) - CELL // 2 + 3}">{n + 1}</text>'
        for n in range(depth)
    )
    surface = _surface(top, voxels)
    return drawing(
        "Roof plan: the uppermost pieces, the layer above the ground that each lies in, ridges, "
        "hips, valleys, and the way that water runs",
        size,
        tag("rect", width=size[0], height=size[1], fill=PAPER),
        group(
            f'<path d="M0 0H{CELL * width}V{CELL * depth}H0z" fill="none" stroke="{FAINT}"/>',
            drawn,
            steps,
            *lines_drawn(surface, depth),
            group(numbers, **LABEL),
            group(axes, fill=INK),
            font_size=8,
            text_anchor="middle",
            transform=f"translate({EDGE} {EDGE})",
        ),
        group(*key_drawn(), transform=f"translate({EDGE} {CELL * depth + 2 * EDGE})"),
        scale=1.3,
        font_family="sans-serif",
    )


def roof_key(design: Design, voxels: Voxels, sheets: Sheets) -> tuple[tuple[str, str], ...]:
    """The pieces of the plan, the commonest first: how each is drawn, and what it is."""
    top, about = tops(design, voxels), voxels.about
    found: dict[str, list[tuple[int, int, int]]] = {}
    for x, y in np.argwhere(top >= 0).tolist():
        at = (x, y, int(top[x, y]))
        material, form = about.materials[voxels.material[at]], about.forms[voxels.form[at]]
        found.setdefault(f"{material.name}, {form.piece}", []).append(at)
    box = f'viewBox="-1 -1 {CELL + 2} {CELL + 2}" width="22" height="22"'
    head = f'<svg class="mark" {box} aria-hidden="true">'
    return tuple(
        (f"{head}{sheets.piece(*cells[0], 0, 0)}</svg>", f"{name}: {len(cells)}")
        for name, cells in sorted(found.items(), key=lambda one: (-len(one[1]), one[0]))
    )


def _quarters(top: Tops, voxels: Voxels) -> Tops:
    """How high the uppermost piece of each column reaches, in quarters of a cell."""
    full = np.where(voxels.shapes.any(axis=(1, 2)), np.arange(1, SUB + 1), 0).max(axis=1)
    x, y = np.indices(top.shape)
    return np.where(top >= 0, SUB * top + full[voxels.form[x, y, top]], NONE)


def _surface(top: Tops, voxels: Voxels) -> Surface:
    """The roof as its columns, with what its forms tell of its corners and outlets."""
    corners, spouts = [], []
    forms = voxels.about.forms
    for x, y in np.argwhere(top >= 0).tolist():
        entry = forms[int(voxels.form[x, y, top[x, y]])]
        if (kind := entry.piece.split()[0]) in CORNERS:
            corners.append((kind, (x, y), *NAMED[_facing(entry)]))
    pierced = np.array([entry.piece == SPOUT for entry in forms])[voxels.form]
    for x, y, z in np.argwhere(pierced & voxels.set_by("roof")).tolist():
        spouts.append(((x, y), _facing(forms[int(voxels.form[x, y, z])])))
    return Surface(_quarters(top, voxels), corners, spouts)


def _facing(entry: FormEntry) -> str:
    """The side, corner or axis that the form of a piece is turned to."""
    return entry.name.removeprefix(entry.piece).split()[0]


def _steps(top: Tops) -> Iterator[str]:
    wide, depth = np.pad(top, 1, constant_values=-1), top.shape[1]
    for x, y in np.argwhere(wide[1:, 1:-1] != wide[:-1, 1:-1]).tolist():
        yield f"M{CELL * x} {CELL * (depth - y)}v-{CELL}"
    for x, y in np.argwhere(wide[1:-1, 1:] != wide[1:-1, :-1]).tolist():
        yield f"M{CELL * x} {CELL * (depth - y)}h{CELL}"


def _numbers(design: Design, top: Tops, ground: int) -> Iterator[str]:
    """The layers over each wing, across its middle."""
    depth = top.shape[1]
    for cover in design.covers:
        r = cover.rect.grown(2)
        across = [(cover.rect.midway, n) for n in range(r.x0, r.x1)]
        if cover.axis == "x":
            middle = (cover.rect.x0 + cover.rect.x1) // 2
            cells = [(middle, y) for y in range(r.y0, r.y1)]
        else:
            cells = [(x, y) for y, x in across]
        for x, y in cells:
            if 0 <= x < top.shape[0] and 0 <= y < depth and top[x, y] >= 0:
                place = f'x="{CELL * x + 10}" y="{CELL * (depth - y) - 2}"'
                yield f"<text {place}>{top[x, y] - ground + 1}</text>"
