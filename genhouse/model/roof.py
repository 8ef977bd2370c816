"""What covers a wing, as the figures, the members list and the guide speak of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal, get_args

from genhouse.core.axes import Axis, Turn
from genhouse.core.box import Rect

RoofForm = Literal["gable", "hip", "hip-and-gable", "two-tier", "lean-to", "flat"]
"""gable: two slopes between upright ends.  hip: slopes on all free sides.  hip-and-gable: a hip below,
a small gable above.  two-tier: a hip with a band of windows below its raised ridge.  lean-to: one
slope, down to the court.  flat: a level deck behind a parapet."""

ROOF_FORMS: tuple[RoofForm, ...] = get_args(RoofForm)
HIPPED: tuple[RoofForm, ...] = ("hip", "hip-and-gable", "two-tier")
"""Forms that slope at their free ends."""
RIDGED: tuple[RoofForm, ...] = ("gable", *HIPPED)
"""Forms whose ridge runs along the middle of their wing."""

NOUNS = ("outbuilding", "lean-to", "lookout", "link", "ear")
"""Wings whose name says all."""

WingName = Literal["front", "cross", "rear", "left", "right"]
WINGS: tuple[WingName, ...] = get_args(WingName)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """The roof of one wing.

    rect: the wing on the ground, wall lines included.  axis: the way its ridge runs.  storeys: below it.
    eaves: courses beyond the wall on the low and the high side across, each ``gentle`` half cells
    below the last.  base: top of the course over
    the wall, in half cells from the bottom of the plot.  courses: height of each course's middle over
    that, exact, in half cells, wall to ridge.  sun: rise in ten of run where the pitch is straight.
    hips: ends of the ridge at which the roof slopes too, 0 to 2.
    """

    wing: str
    rect: Rect
    axis: Axis
    storeys: int
    form: RoofForm
    profile: str
    base: int
    eaves: tuple[int, int]
    gentle: int
    courses: tuple[Fraction, ...]
    sun: int | None
    hips: int

    @property
    def called(self) -> str:
        """What a sentence calls its wing."""
        return self.wing if self.wing in NOUNS else f"{self.wing} wing"

    @property
    def lie(self) -> Rect:
        """Its ground as it runs: along, across."""
        return self.rect.lie(self.axis)

    @property
    def span(self) -> int:
        """Wall line to wall line, across."""
        return self.lie.depth - 1

    @property
    def length(self) -> int:
        """Cells along the ridge, wall lines included."""
        return self.lie.width

    def turned(self, turn: Turn) -> Cover:
        swap = turn.rect(Rect(0, 0, 1, 1)) > turn.rect(
            Rect(0, 1, 1, 2) if self.axis == "x" else Rect(1, 0, 2, 1)
        )
        low, high = self.eaves
        return replace(
            self,
            rect=turn.rect(self.rect),
            axis=turn.axis(self.axis),
            eaves=(high, low) if swap else (low, high),
        )
