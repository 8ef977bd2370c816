"""The pictures of a village, all from one walk over its map."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from genhouse.outputs.pictures.landscape import Front, Lit, Sheet, Stuff, draw, laid, lit
from genhouse.village.cells import Box, Cells
from genhouse.village.gather import best_view, show, stuff
from genhouse.village.layout import Village
from genhouse.village.plan import Above, draw_plan

if TYPE_CHECKING:
    from PIL.Image import Image

FINE = 768
"""Cells along a map's side up to which it is drawn by halves of cells."""
WIDTH = 2800
"""Pixels across."""


@dataclass(frozen=True, eq=False)
class Shown:
    """What is seen of a village, as far as it was walked.  step: steps to a cell."""

    village: Village
    front: Front
    above: Above
    stuff: Stuff
    step: int

    @classmethod
    def begun(cls, village: Village) -> Shown:
        """Nothing seen yet."""
        world = village.world
        step = 2 if max(world.surface.shape) <= FINE else 1
        x, y, z = (step * n for n in world.size)
        return cls(
            village=village,
            front=Front.empty(best_view(world), (x, y, z)),
            above=Above(world.surface.shape),
            stuff=stuff(world.matter),
            step=step,
        )

    def add(self, box: Box, found: Cells) -> None:
        """One more piece of the map."""
        show(self.front, box, found, self.village.world.matter, self.step)
        self.above.add(box[0], box[1], found.material)

    def walked(self, pieces: Iterable[tuple[Box, Cells]]) -> Shown:
        """The same, with some pieces added."""
        for box, found in pieces:
            self.add(box, found)
        return self

    def plan(self) -> Image:
        """plan.png."""
        return draw_plan(self.village, self.stuff, self.above)

    def light(self) -> Lit:
        """The light on all that was walked."""
        return lit(self.front)

    def sheet(self, width: int = WIDTH) -> Sheet:
        """How the map lies on a picture so many pixels wide."""
        return laid(self.front, width)

    def map(self, light: Lit, sheet: Sheet, *, night: bool = False) -> Image:
        """map.png or night.png."""
        return draw(self.front, light, self.stuff, sheet, night)
