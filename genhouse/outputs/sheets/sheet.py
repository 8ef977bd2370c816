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

import numpy as np

from genhouse.core.box import Box, Rect
from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.plans._pen import CARD, CELL, INK, tag
from genhouse.outputs.setting_out import heights
from genhouse.outputs.sheets._hatches import by_frequency, hatch, pattern
from genhouse.outputs.sheets._level import Level, moved, outline
from genhouse.outputs.sheets._marks import UNMARKED, codes, mark
from genhouse.outputs.sheets._names import Named, named
from genhouse.outputs.sheets._paper import parted
from genhouse.outputs.steps.steps import Steps

ABOUT = "Letters run east, numbers north, from the marked corner; outlines lie one level below."
ABOUT_PARTS = (
    "Letters run east, numbers north; parts share a row or column; outlines lie one level below."
)


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
            f'<path d="{outline(some, self._whole)}" fill="url(#m{n})" stroke="{INK}"/>'
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
        return tag("g", box + self.marked(int(v.form[x, y, z])), transform=moved(across, down))

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
        return self._by_itself(z, self.drawings[z], self._whole)

    def part(self, z: int, number: int) -> str:
        """One part of the sheet of a level, by its number from 0, a document by itself."""
        return self._by_itself(z, self.parts[z][number], self.windows(z)[number])

    @cached_property
    def drawings(self) -> dict[int, str]:
        """The sheets of all levels without definitions, by z: for a page that has those of the house."""
        return {z: self._sheet(z, self._whole, "") for z in self.levels}

    @cached_property
    def parts(self) -> dict[int, tuple[str, ...]]:
        """The same in as many parts as leave all lettering legible on A4; one where that is the whole."""
        return {z: tuple(self._parts(z, self.windows(z))) for z in self.levels}

    def _parts(self, z: int, windows: Sequence[Rect]) -> Iterator[str]:
        for n, window in enumerate(windows, 1):
            alone = len(windows) == 1
            yield (
                self.drawings[z] if alone else self._sheet(z, window, f"part {n} of {len(windows)}")
            )

    def windows(self, z: int) -> tuple[Rect, ...]:
        """What of the plot each part of a level shows."""
        return parted(self.design.plot, lambda window: sum(map(len, self._used(z, window))))

    @cached_property
    def _whole(self) -> Rect:
        return Rect(0, 0, *self.design.plot)

    def _by_itself(self, z: int, drawn: str, window: Rect) -> str:
        head, title, body = drawn.partition("</title>")
        return f"{head}{title}{self.definitions(*self._used(z, window))}{body}"

    def _used(self, z: int, window: Rect) -> tuple[list[int], list[int]]:
        """The materials and forms in a level."""
        here = np.s_[window.x0 : window.x1, window.y0 : window.y1, z]
        return _used(self.voxels.material[here]), _used(self.voxels.form[here])

    def _sheet(self, z: int, window: Rect, part: str) -> str:
        rows = [row for row in self.steps.rows if row.z == z and row.axis != "z"]
        here = [one for one in self._named if one.z0 <= z < one.z1]
        title = self.title(z) + (f", {part}" if part else "")
        steps = _used(self.steps.of[window.x0 : window.x1, window.y0 : window.y1, z])
        said = f"Step{'s' * (len(steps) > 1)} {', '.join(map(str, steps))}" if steps else "Nothing"
        told = (title, f"{said}.", ABOUT_PARTS if part else ABOUT)
        whole_title = f"House {self.design.recipe.seed}: {title}"
        level = Level(self.design.plot, window, self.voxels, z, self._id)
        return level.drawn(whole_title, told, self._key(z, window), rows, here)

    def _key(self, z: int, window: Rect) -> list[tuple[str, str]]:
        """What each hatch and mark stands for: how it is drawn at the origin, and its name."""
        about, (materials, forms) = self.voxels.about, self._used(z, window)
        box = f'<path d="M0 0H{CELL}V{CELL}H0z" fill="{CARD}" stroke="{INK}"/>'
        return [
            *(
                (f'<rect width="{CELL}" height="{CELL}" fill="url(#m{n})" stroke="{INK}"/>',
                 about.materials[n].name)
                for n in materials
            ),
            *((f"{box}{self.marked(n)}", about.forms[n].name) for n in forms),
        ]  # fmt: skip


def _used(numbers: np.ndarray) -> list[int]:
    return [n for n in np.unique(numbers).tolist() if n]
