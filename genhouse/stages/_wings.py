"""Wings: the ranges of rooms that stand round the courts."""

from __future__ import annotations

from msgspec import Struct

from genhouse.core.axes import Axis
from genhouse.core.box import Rect


class Wing(Struct, frozen=True, kw_only=True, gc=False):
    """A range of rooms: its ground rectangle, wall lines included, and the axis it runs along.

    name: a label, for those who speak of it.  Where an end dies into another wing, its host, the wall
    between is the host's, and ``rect`` begins past it.  terrace: whether one walks on its roof, from
    the rooms of higher wings.
    """

    name: str
    axis: Axis
    rect: Rect
    storeys: int = 2
    terrace: bool = False

    @property
    def span(self) -> int:
        """Wall line to wall line, across."""
        return self.lie.depth - 1

    @property
    def lie(self) -> Rect:
        """Its ground as it runs: along, across."""
        return self.rect.lie(self.axis)

    @property
    def middle(self) -> int:
        """The line of cells midway across, under a ridge."""
        return self.lie.midway

    def over(self, other: Wing) -> bool:
        """Whether it stands higher than another: a terrace has no roof to stand up to."""
        return (self.storeys, not self.terrace) > (other.storeys, not other.terrace)
