"""One level of a house, or a part of it, as it is drawn."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from html import escape

import numpy as np

from genhouse.core.box import Box, Rect, runs
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
from genhouse.outputs.sheets._marks import UNMARKED
from genhouse.outputs.sheets._names import Named
from genhouse.outputs.sheets._paper import (
    AXIS,
    EDGE,
    HEAD,
    KEY_COLUMN,
    KEY_ROW,
    LETTERING,
    key_columns,
    size_of,
)
from genhouse.outputs.sheets.letters import letters_of
from genhouse.outputs.steps.steps import Row

SHORTEST = 3
"""Cells of a run that has its length beside it."""
SMALL = 52
"""Units across the small plan that says which part of the plot a sheet shows."""
LABEL: dict[str, object] = {
    "font_size": LETTERING,
    "font_weight": "600",
    "text_anchor": "middle",
    "fill": INK,
    "stroke": CARD,
    "stroke_width": 2.4,
    "style": "paint-order: stroke",
}


@dataclass(frozen=True)
class Level:
    """Level z of a house on its plot, as far as a window shows it.  mark: what that of a form is called."""

    plot: tuple[int, int]
    window: Rect
    voxels: Voxels
    z: int
    mark: Callable[[int], str]

    def drawn(
        self,
        title: str,
        told: Sequence[str],
        key: Sequence[tuple[str, str]],
        rows: Sequence[Row],
        named: Sequence[Named],
    ) -> str:
        """The sheet.  told: its heading, and what is said below it.  rows: runs that lie here.
        named: posts and doors that stand here."""
        width, depth = self.window.width, self.window.depth
        columns, size = key_columns(width), size_of(width, depth, len(key))
        top = EDGE + HEAD + AXIS
        plot = tag("g", "".join(self._axes()), transform=moved(EDGE + AXIS, top))
        inside = tag("g", "".join(self._plot(rows, named)), transform=moved(EDGE + AXIS, top))
        foot = moved(EDGE, top + CELL * depth + AXIS + 12)
        return (
            drawing(
                title,
                size,
                tag("rect", width=size[0], height=size[1], fill=PAPER),
                *_head(told),
                self._place(size[0]),
                plot,
                inside,
                tag("g", "".join(_key_rows(key, columns)), data_part="key", transform=foot),
                scale=1.3,
                font_family="sans-serif",
            )
            + "\n"
        )

    @property
    def _here(self) -> tuple[slice, slice]:
        return np.s_[self.window.x0 : self.window.x1, self.window.y0 : self.window.y1]

    def _place(self, wide: float) -> str:
        """Of a part, where it lies in the plot."""
        (width, depth), window = self.plot, self.window
        if window.area == width * depth:
            return ""
        unit = min(SMALL / width, (HEAD + 4) / depth)
        part = tag(
            "rect",
            x=unit * window.x0,
            y=unit * (depth - window.y1),
            width=unit * window.width,
            height=unit * window.depth,
            fill=DIMENSION,
        )
        whole = tag("rect", width=unit * width, height=unit * depth, fill=CARD, stroke=INK)
        return tag("g", whole + part, transform=moved(wide - EDGE - unit * width, EDGE - 6))

    def _plot(self, rows: Sequence[Row], named: Sequence[Named]) -> Iterator[str]:
        """From the faint to the strong."""
        width, depth = self.window.width, self.window.depth
        lines = "".join(f"M{CELL * n} 0V{CELL * depth}" for n in range(width + 1))
        lines += "".join(f"M0 {CELL * n}H{CELL * width}" for n in range(depth + 1))
        yield f'<path d="{lines}" stroke="{FAINT}" stroke-width=".3"/>'
        if self.z:
            yield tag("g", self._below(), data_part="below")
        yield tag(
            "g", "".join(self._materials()), data_part="materials", stroke=INK, stroke_width=0.9
        )
        yield tag("g", "".join(self._forms()), data_part="forms")
        yield tag("g", "".join(self._lengths(rows)), data_part="runs", **LABEL)
        yield tag("g", "".join(self._names(named)), data_part="names", **LABEL)

    def _below(self) -> str:
        solid = np.argwhere(self.voxels.form[:, :, self.z - 1][self._here] > 0)
        solid += self.window.x0, self.window.y0
        drawn = self._outline(runs([(x, y, self.z) for x, y in solid.tolist()]))
        return f'<path d="{drawn}" fill="none" stroke="{SOFT}" stroke-width=".7" stroke-dasharray="2 2"/>'

    def _materials(self) -> Iterator[str]:
        """A path for each material: pieces of one form that lie together are one box of it."""
        layer, form = self.voxels.material[:, :, self.z], self.voxels.form[:, :, self.z]
        kinds: dict[int, dict[int, list[tuple[int, int, int]]]] = defaultdict(
            lambda: defaultdict(list)
        )
        for x, y in self._solid():
            kinds[int(layer[x, y])][int(form[x, y])].append((x, y, self.z))
        for material, forms in sorted(kinds.items()):
            boxes = [box for _, cells in sorted(forms.items()) for box in runs(cells)]
            yield f'<path d="{self._outline(boxes)}" fill="url(#m{material})"/>'

    def _solid(self) -> list[list[int]]:
        """Cells that are seen and have a piece."""
        there = np.argwhere(self.voxels.form[:, :, self.z][self._here] > 0)
        there += self.window.x0, self.window.y0
        return there.tolist()

    def _outline(self, boxes: Sequence[Box]) -> str:
        return outline(boxes, self.window)

    def _forms(self) -> Iterator[str]:
        names, layer = self.voxels.about.forms, self.voxels.form[:, :, self.z]
        left, top = self.window.x0, self.window.y1 - 1
        for x, y in self._solid():
            form = int(layer[x, y])
            if names[form].name != UNMARKED:
                place = f'x="{CELL * (x - left)}" y="{CELL * (top - y)}"'
                yield f'<use href="#{self.mark(form)}" {place}/>'

    def _lengths(self, rows: Sequence[Row]) -> Iterator[str]:
        """Of each run that lies here, but for one that is as the one beside it: in the middle of what is
        seen of it, or in a corner of its first cell where its pieces have marks."""
        told, left, top = set(), self.window.x0, self.window.y1
        for row in rows:
            if row.run < SHORTEST or row.support:
                continue
            flat = row.axis == "x"
            along, across = (row.x, row.y) if flat else (row.y, row.x)
            told.add((row.axis, along, across, row.run, row.form))
            like = (row.axis, along, across - 1, row.run, row.form) in told
            wide, deep = (row.run, 1) if flat else (1, row.run)
            seen = Rect(row.x, row.y, row.x + wide, row.y + deep)
            if not seen.meets(self.window) or (like and self._shows(flat, across - 1)):
                continue
            seen = seen.meet(self.window)
            if row.form == UNMARKED:
                x, y = (seen.x0 + seen.x1) / 2 - left, top - (seen.y0 + seen.y1) / 2
                yield f'<text x="{num(CELL * x)}" y="{num(CELL * y + 3)}">{row.run}</text>'
            else:
                place = f'x="{CELL * (seen.x0 - left) + 5}" y="{CELL * (top - seen.y0) - 1.5}"'
                yield f"<text {place}>{row.run}</text>"

    def _shows(self, flat: bool, across: int) -> bool:
        """Whether the row beside a run is seen too."""
        low, high = (self.window.y0, self.window.y1) if flat else (self.window.x0, self.window.x1)
        return low <= across < high

    def _names(self, named: Sequence[Named]) -> Iterator[str]:
        left, top = self.window.x0, self.window.y1
        for one in named:
            if one.rect.meets(self.window):
                x, y = (one.rect.x0 + one.rect.x1) / 2, (one.rect.y0 + one.rect.y1) / 2
                place = f'x="{num(CELL * (x - left))}" y="{num(CELL * (top - y) + 3)}"'
                yield f'<text {place} fill="{DIMENSION}">{one.name}</text>'

    def _axes(self) -> Iterator[str]:
        """Letters below and above, numbers to the left and right, and the mark at the corner they count
        from where it is seen.
        """
        window, depth = self.window, self.window.depth
        words = {"font_size": 8.5, "text_anchor": "middle", "fill": INK}
        for part, y in (("letters", CELL * depth + 13), ("letters again", -5)):
            inside = (
                f'<text x="{CELL * n + CELL // 2}" y="{y}">{letters_of(window.x0 + n)}</text>'
                for n in range(window.width)
            )
            yield tag("g", "".join(inside), data_part=part, **words)
        for part, x in (("numbers", -11), ("numbers again", CELL * window.width + 11)):
            inside = (
                f'<text x="{x}" y="{CELL * (depth - n) - CELL // 2 + 3}">{window.y0 + n + 1}</text>'
                for n in range(depth)
            )
            yield tag("g", "".join(inside), data_part=part, **words)
        if (window.x0, window.y0) == (0, 0):
            foot = CELL * depth
            corner = f"M-4 {foot - 16}V{foot + 4}H16"
            yield f'<path d="{corner}" fill="none" stroke="{DIMENSION}" stroke-width="2.6"/>'


def outline(boxes: Sequence[Box], window: Rect) -> str:
    """Boxes on what is seen of a plot, as sub-paths of one path."""
    left, top = window.x0, window.y1
    return "".join(
        f"M{CELL * (x0 - left)} {CELL * (top - y1)}h{CELL * (x1 - x0)}v{CELL * (y1 - y0)}"
        f"h{CELL * (x0 - x1)}z"
        for x0, y0, _, x1, y1, _ in boxes
    )


def moved(x: float, y: float) -> str:
    return f"translate({num(x)} {num(y)})"


def _head(told: Sequence[str]) -> Iterator[str]:
    title, *said = told
    yield (
        f'<text x="{EDGE}" y="{EDGE + 14}" font-size="15" font-weight="600" fill="{INK}">'
        f"{escape(title)}</text>"
    )
    for n, line in enumerate(said):
        y = EDGE + 28 + 12 * n
        yield f'<text x="{EDGE}" y="{y}" font-size="8.5" fill="{SOFT}">{escape(line)}</text>'


def _key_rows(key: Sequence[tuple[str, str]], columns: int) -> Iterator[str]:
    rows = -(-len(key) // columns)
    for n, (drawn, name) in enumerate(key):
        column, row = divmod(n, rows)
        words = f'<text x="27" y="13.5" font-size="8.6" fill="{INK}">{escape(name)}</text>'
        yield tag("g", drawn + words, transform=moved(KEY_COLUMN * column, KEY_ROW * row))
