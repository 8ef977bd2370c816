"""Layer sheets in SVG: what lies in each level of a house, drawn cell by cell, with a key of its own.

Letters run east and numbers north from the marked corner, the south-west of the plot.  A material is a
hatch, a form a mark on it; the form that needs none is told by the key.  What lies in the level below is
an outline.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from html import escape

import numpy as np

from genhouse.core.box import Box, runs
from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.plans._pen import (
    CARD,
    CELL,
    DIMENSION,
    FAINT,
    INK,
    PAPER,
    SOFT,
    drawing,
    num,
    tag,
)
from genhouse.outputs.setting_out import heights
from genhouse.outputs.sheets._hatches import by_frequency, hatch, pattern
from genhouse.outputs.sheets._marks import UNMARKED, codes, mark
from genhouse.outputs.sheets._names import Named, named
from genhouse.outputs.steps.steps import Steps

EDGE, AXIS, HEAD = 16, 22, 40
"""Free paper round a sheet, beside the plot for its axes, and above for its title."""
KEY_ROW, KEY_COLUMN = 24, 124
SHORTEST = 3
"""Cells of a run that has its length beside it."""


def letters_of(n: int) -> str:
    """The name of a column: A to Z, then AA.

    >>> letters_of(0), letters_of(25), letters_of(26)
    ('A', 'Z', 'AA')
    """
    head, last = divmod(n, 26)
    return (letters_of(head - 1) if head else "") + chr(65 + last)


@dataclass(frozen=True)
class Sheets:
    """All the sheets of a house, and what they share."""

    design: Design
    voxels: Voxels
    steps: Steps

    def marked(self, form: int) -> str:
        """The mark of a form, by reference to the definitions; empty where it needs none."""
        plain = self.voxels.about.forms[form].name == UNMARKED
        return "" if plain else f'<use href="#{self._id(form)}"/>'

    def code(self, form: int) -> str:
        """The letters of a form's mark; empty where it needs none."""
        entry = self.voxels.about.forms[form]
        return "" if entry.name == UNMARKED else self._codes[entry.piece]

    def pieces(self, cells: Sequence[tuple[int, int, int]]) -> str:
        """Pieces of some cells where they lie on the plot, by reference to the definitions: a path for
        each material, and the marks."""
        v, depth = self.voxels, self.design.plot[1]
        boxes: dict[int, list[Box]] = defaultdict(list)
        for cell in cells:
            boxes[int(v.material[cell])].append(Box.cell(*cell))
        fills = (
            f'<path d="{self._outline(some)}" fill="url(#m{n})" stroke="{INK}"/>'
            for n, some in sorted(boxes.items())
        )
        marks = (
            f'<use href="#{self._id(form)}" x="{CELL * x}" y="{CELL * (depth - 1 - y)}"/>'
            for x, y, z in cells
            if v.about.forms[form := int(v.form[x, y, z])].name != UNMARKED
        )
        return "".join((*fills, *marks))

    def piece(self, x: int, y: int, z: int, across: float, down: float) -> str:
        """The piece of a cell as it is drawn at a place, by reference to the definitions."""
        v = self.voxels
        box = (
            f'<path d="M0 0h{CELL}v{CELL}H0z" fill="url(#m{v.material[x, y, z]})" stroke="{INK}"/>'
        )
        return tag("g", box + self.marked(int(v.form[x, y, z])), transform=_moved(across, down))

    @property
    def files(self) -> dict[str, bytes]:
        """Each sheet as a file by itself, by name within the folder of the house."""
        return {f"sheets/level-{z:02}.svg": self.sheet(z).encode() for z in self.levels}

    @property
    def levels(self) -> tuple[int, ...]:
        """z of the levels in which anything lies."""
        return tuple(np.flatnonzero(self.voxels.form.any(axis=(0, 1))).tolist())

    @cached_property
    def ground(self) -> int:
        """z of the first layer above the ground."""
        return heights(self.design).ground

    @cached_property
    def _hatches(self) -> dict[int, str]:
        materials = self.voxels.about.materials
        return {
            n: hatch(rank, materials[n].colour) for rank, n in enumerate(by_frequency(self.voxels))
        }

    @cached_property
    def _codes(self) -> dict[str, str]:
        forms = self.voxels.about.forms
        return codes(tuple(sorted({forms[n].piece for n in _used(self.voxels.form)})))

    def _id(self, form: int) -> str:
        """What the mark of a form is called in a drawing."""
        return f"f-{self.voxels.about.forms[form].name.replace(' ', '-')}"

    @cached_property
    def _named(self) -> tuple[Named, ...]:
        return named(self.design)

    def title(self, z: int) -> str:
        """What a level is called."""
        ground = self.ground
        layer = f"layer {z - ground + 1} above the ground" if z >= ground else "in the ground"
        return f"Level {z}, {layer}"

    def definitions(self, materials: list[int], forms: list[int]) -> str:
        """The hatches and marks of some materials and forms."""
        about, shapes = self.voxels.about, self.voxels.shapes
        hatches = (pattern(f"m{n}", self._hatches[n]) for n in materials)
        marks = (
            tag(
                "g",
                mark(about.forms[n], shapes[n], self._codes[about.forms[n].piece]),
                id=self._id(n),
            )
            for n in forms
            if about.forms[n].name != UNMARKED
        )
        return tag("defs", "".join((*hatches, *marks)))

    @property
    def all_definitions(self) -> str:
        """Those of the whole house."""
        v = self.voxels
        return self.definitions(_used(v.material), _used(v.form))

    def sheet(self, z: int) -> str:
        """The sheet of a level, a document by itself, with the definitions of all it shows."""
        head, title, body = self.drawings[z].partition("</title>")
        return f"{head}{title}{self.definitions(*self._used(z))}{body}"

    @cached_property
    def drawings(self) -> dict[int, str]:
        """The sheets of all levels without definitions, by z: for a page that has those of the house."""
        return {z: self._sheet(z) for z in self.levels}

    def _used(self, z: int) -> tuple[list[int], list[int]]:
        """The materials and forms in a level."""
        return _used(self.voxels.material[:, :, z]), _used(self.voxels.form[:, :, z])

    def _sheet(self, z: int) -> str:
        materials, forms = self._used(z)
        width, depth = (CELL * n for n in self.design.plot)
        wide = max(width + 2 * AXIS, 2 * KEY_COLUMN)
        columns = int(wide // KEY_COLUMN)
        key = list(self._key(materials, forms))
        rows = -(-len(key) // columns)
        size = (wide + 2 * EDGE, HEAD + depth + 2 * AXIS + KEY_ROW * rows + 2 * EDGE + 14)
        top = EDGE + HEAD + AXIS
        inside = (
            tag("rect", width=size[0], height=size[1], fill=PAPER),
            self._head(z),
            tag("g", "".join(_axes(self.design.plot)), transform=_moved(EDGE + AXIS, top)),
            tag("g", "".join(self._plot(z)), transform=_moved(EDGE + AXIS, top)),
            tag(
                "g",
                "".join(_key_rows(key, columns)),
                data_part="key",
                transform=_moved(EDGE, top + depth + AXIS + 12),
            ),
        )
        title = f"House {self.design.recipe.seed}: {self.title(z)}"
        return drawing(title, size, *inside, scale=1.3, font_family="sans-serif") + "\n"

    def _head(self, z: int) -> str:
        steps = _used(self.steps.of[:, :, z])
        said = f"Steps {', '.join(map(str, steps))}" if len(steps) > 1 else f"Step {steps[0]}"
        about = (
            "Letters run east, numbers north, from the marked corner; outlines lie one level below."
        )
        return (
            f'<text x="{EDGE}" y="{EDGE + 14}" font-size="15" font-weight="600" fill="{INK}">'
            f"{self.title(z)}</text>"
            f'<text x="{EDGE}" y="{EDGE + 29}" font-size="8.5" fill="{SOFT}">{said}. {about}</text>'
        )

    def _plot(self, z: int) -> Iterator[str]:
        """From the faint to the strong."""
        width, depth = self.design.plot
        lines = "".join(f"M{CELL * n} 0V{CELL * depth}" for n in range(width + 1))
        lines += "".join(f"M0 {CELL * n}H{CELL * width}" for n in range(depth + 1))
        yield f'<path d="{lines}" stroke="{FAINT}" stroke-width=".3"/>'
        if z:
            yield tag("g", "".join(self._below(z - 1)), data_part="below")
        yield tag(
            "g", "".join(self._materials(z)), data_part="materials", stroke=INK, stroke_width=0.9
        )
        yield tag("g", "".join(self._forms(z)), data_part="forms")
        yield tag("g", "".join(self._lengths(z)), data_part="runs", **_LABEL)
        yield tag("g", "".join(self._names(z)), data_part="names", **_LABEL)

    def _below(self, z: int) -> Iterator[str]:
        solid = np.argwhere(self.voxels.form[:, :, z] > 0).tolist()
        drawn = self._outline(runs([(x, y, z) for x, y in solid]))
        yield (
            f'<path d="{drawn}" fill="none" stroke="{SOFT}" stroke-width=".7" stroke-dasharray="2 2"/>'
        )

    def _materials(self, z: int) -> Iterator[str]:
        """A path for each material: pieces of one form that lie together are one box of it."""
        layer, form = self.voxels.material[:, :, z], self.voxels.form[:, :, z]
        kinds: dict[int, dict[int, list[tuple[int, int, int]]]] = defaultdict(
            lambda: defaultdict(list)
        )
        for x, y in np.argwhere(layer > 0).tolist():
            kinds[int(layer[x, y])][int(form[x, y])].append((x, y, z))
        for material, forms in sorted(kinds.items()):
            boxes = [box for _, cells in sorted(forms.items()) for box in runs(cells)]
            yield f'<path d="{self._outline(boxes)}" fill="url(#m{material})"/>'

    def _outline(self, boxes: Sequence[Box]) -> str:
        """Boxes on the plot, as sub-paths of one path."""
        depth = self.design.plot[1]
        return "".join(
            f"M{CELL * x0} {CELL * (depth - y1)}h{CELL * (x1 - x0)}v{CELL * (y1 - y0)}"
            f"h{CELL * (x0 - x1)}z"
            for x0, y0, _, x1, y1, _ in boxes
        )

    def _forms(self, z: int) -> Iterator[str]:
        names, depth = self.voxels.about.forms, self.design.plot[1]
        layer = self.voxels.form[:, :, z]
        for x, y in np.argwhere(layer > 0).tolist():
            form = int(layer[x, y])
            if names[form].name != UNMARKED:
                yield f'<use href="#{self._id(form)}" x="{CELL * x}" y="{CELL * (depth - 1 - y)}"/>'

    def _lengths(self, z: int) -> Iterator[str]:
        """Of each run that lies here, but for one that is as the one beside it: in its middle, or in a
        corner of its first cell where its pieces have marks."""
        depth, told = self.design.plot[1], set()
        for row in self.steps.rows:
            if row.z != z or row.axis == "z" or row.run < SHORTEST or row.support:
                continue
            flat = row.axis == "x"
            along, across = (row.x, row.y) if flat else (row.y, row.x)
            told.add((row.axis, along, across, row.run, row.form))
            if (row.axis, along, across - 1, row.run, row.form) in told:
                continue
            if row.form == UNMARKED:
                half = row.run / 2
                x, y = (row.x + half, row.y + 0.5) if flat else (row.x + 0.5, row.y + half)
                yield f'<text x="{num(CELL * x)}" y="{num(CELL * (depth - y) + 3)}">{row.run}</text>'
            else:
                place = f'x="{CELL * row.x + 4}" y="{CELL * (depth - row.y) - 1.5}"'
                yield f'<text {place} font-size="5.5">{row.run}</text>'

    def _names(self, z: int) -> Iterator[str]:
        depth = self.design.plot[1]
        for one in self._named:
            if one.z0 <= z < one.z1:
                x, y = (one.rect.x0 + one.rect.x1) / 2, (one.rect.y0 + one.rect.y1) / 2
                place = f'x="{num(CELL * x)}" y="{num(CELL * (depth - y) + 3)}"'
                yield f'<text {place} fill="{DIMENSION}">{one.name}</text>'

    def _key(self, materials: list[int], forms: list[int]) -> Iterator[tuple[str, str]]:
        """What each hatch and mark stands for: how it is drawn at the origin, and its name."""
        about = self.voxels.about
        for n in materials:
            yield (f'<rect width="{CELL}" height="{CELL}" fill="url(#m{n})" stroke="{INK}"/>',
                   about.materials[n].name)  # fmt: skip
        for n in forms:
            used = self.marked(n)
            box = f'<path d="M0 0H{CELL}V{CELL}H0z" fill="{CARD}" stroke="{INK}"/>'
            yield f"{box}{used}", about.forms[n].name


_LABEL: dict[str, object] = {
    "font_size": 7.5,
    "font_weight": "600",
    "text_anchor": "middle",
    "fill": INK,
    "stroke": CARD,
    "stroke_width": 2.4,
    "style": "paint-order: stroke",
}


def _used(numbers: np.ndarray) -> list[int]:
    return [n for n in np.unique(numbers).tolist() if n]


def _moved(x: float, y: float) -> str:
    return f"translate({num(x)} {num(y)})"


def _axes(plot: tuple[int, int]) -> Iterator[str]:
    """Letters below and above, numbers to the left and right, and the mark at the corner they count
    from.
    """
    width, depth = plot
    words = {"font_size": 8.5, "text_anchor": "middle", "fill": INK}
    for part, y in (("letters", CELL * depth + 13), ("letters again", -5)):
        inside = (
            f'<text x="{CELL * n + CELL // 2}" y="{y}">{letters_of(n)}</text>' for n in range(width)
        )
        yield tag("g", "".join(inside), data_part=part, **words)
    for part, x in (("numbers", -11), ("numbers again", CELL * width + 11)):
        inside = (
            f'<text x="{x}" y="{CELL * (depth - n) - CELL // 2 + 3}">{n + 1}</text>'
            for n in range(depth)
        )
        yield tag("g", "".join(inside), data_part=part, **words)
    foot = CELL * depth
    yield f'<path d="M-4 {foot - 16}V{foot + 4}H16" fill="none" stroke="{DIMENSION}" stroke-width="2.6"/>'


def _key_rows(key: list[tuple[str, str]], columns: int) -> Iterator[str]:
    rows = -(-len(key) // columns)
    for n, (drawn, name) in enumerate(key):
        column, row = divmod(n, rows)
        words = f'<text x="27" y="13.5" font-size="8.6" fill="{INK}">{escape(name)}</text>'
        yield tag("g", drawn + words, transform=_moved(KEY_COLUMN * column, KEY_ROW * row))
