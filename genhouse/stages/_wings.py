"""Wings: the ranges of rooms that stand round the courts."""

from __future__ import annotations

from dataclasses import dataclass

from genhouse.core.axes import Axis
from genhouse.core.box import Rect
from genhouse.model.roof import WingName


@dataclass(frozen=True, slots=True, kw_only=True)
class Wing:
    """A range of rooms: its ground rectangle, wall lines included, and the axis it runs along.

    terrace: whether one walks on its roof, from the rooms of higher wings.
    """

    name: WingName
    axis: Axis
    rect: Rect
    storeys: int = 2
    terrace: bool = False

    @property
    def span(self) -> int:
        """Wall line to wall line, across."""
        return (self.rect.depth if self.axis == "x" else self.rect.width) - 1

    @property
    def middle(self) -> int:
        """The line of cells midway across, under a ridge."""
        r = self.rect
        return (r.y0 + r.y1 - 1) // 2 if self.axis == "x" else (r.x0 + r.x1 - 1) // 2

    def over(self, other: Wing) -> bool:
        """Whether it stands higher than another: a terrace has no roof to stand up to."""
        return (self.storeys, not self.terrace) > (other.storeys, not other.terrace)
