"""The pictures of a village, all from one walk over its map."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from genhouse.outputs.pictures.front import Front
from genhouse.outputs.pictures.landscape import Lit, Sheet, Stuff, draw, laid, lit
from genhouse.village.gather import Eye, Glimpse, stuff
from genhouse.village.layout import Village
from genhouse.village.plan import Above, draw_plan

if TYPE_CHECKING:
    from PIL.Image import Image

WIDTH = 2800
"""Pixels across."""


@dataclass(frozen=True, eq=False)
class Shown:
    """What is seen of a village, as far as it was walked."""

    village: Village
    eye: Eye
    front: Front
    above: Above
    stuff: Stuff

    @classmethod
    def begun(cls, village: Village) -> Shown:
        """Nothing seen yet."""
        world = village.world
        eye = Eye.of(world)
        return cls(
            village=village,
            eye=eye,
            front=Front.empty(eye.frame),
            above=Above(world.surface.shape),
            stuff=stuff(world.matter),
        )

    def walked(self, glimpses: Iterable[Glimpse]) -> Shown:
        """The same, with some pieces added."""
        for glimpse in glimpses:
            self.front.add(glimpse.seen)
            self.above.add(glimpse)
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
