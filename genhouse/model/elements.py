"""Elements: what stands, apart from how it is made.  Stages hand them over; trades make parts of them."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

from msgspec import Struct

from genhouse.core.axes import Axis, Turn
from genhouse.core.box import Rect

Boundary = Literal["outer", "court", "partition", "open"]
"""What a wall stands between: outdoors, a court, two rooms, or nothing (one room)."""

Opening = Literal["none", "screens", "window", "door", "entrance", "passage"]
"""How a wall is opened: sliding screens to a veranda or room, a window, a hinged door inside,
an entrance from outdoors, a bare passage."""


class Wall(Struct, frozen=True, kw_only=True):
    """One bay's length of a wall line, clear between two posts.

    cells: its rectangle on the ground, one cell thick.  axis: the way it runs.
    low, high: room ids on the side of smaller and larger coordinate.
    way: the rectangle of its cells that is kept clear for walking, where it has an opening.
    rises: whether it is closed up to the roof.  abuts: whether the roof of a lower wing leans on it.
    """

    level: int
    axis: Axis
    cells: Rect
    boundary: Boundary
    low: int
    high: int
    opening: Opening = "none"
    way: Rect | None = None
    rises: bool = False
    abuts: bool = False

    @property
    def length(self) -> int:
        return max(self.cells.width, self.cells.depth)

    @property
    def ends(self) -> tuple[tuple[int, int], tuple[int, int]]:
        """The cells of the posts that it stands between."""
        c = self.cells
        if self.axis == "x":
            return (c.x0 - 1, c.y0), (c.x1, c.y0)
        return (c.x0, c.y0 - 1), (c.x0, c.y1)

    def beside(self, cell: tuple[int, int]) -> tuple[tuple[int, int], tuple[int, int]]:
        """The cells before and behind one of its cells."""
        x, y = cell
        dx, dy = (0, 1) if self.axis == "x" else (1, 0)
        return (x - dx, y - dy), (x + dx, y + dy)

    @property
    def passable(self) -> bool:
        """Whether a person can go through."""
        return self.boundary == "open" or self.opening in ("screens", "door", "entrance", "passage")

    def turned(self, turn: Turn) -> Wall:
        low, high = self.low, self.high
        if _reversed(turn, self.axis):
            low, high = high, low
        return Wall(
            level=self.level,
            axis=turn.axis(self.axis),
            cells=turn.rect(self.cells),
            boundary=self.boundary,
            low=low,
            high=high,
            opening=self.opening,
            way=turn.rect(self.way) if self.way else None,
            rises=self.rises,
            abuts=self.abuts,
        )


@lru_cache(maxsize=16)
def _reversed(turn: Turn, axis: Axis) -> bool:
    """Whether a turn reverses the way across a wall that runs along an axis."""
    near, far = Rect(0, 0, 1, 1), Rect(1, 0, 2, 1) if axis == "y" else Rect(0, 1, 1, 2)
    a, b = turn.rect(near), turn.rect(far)
    return b.x0 + b.y0 < a.x0 + a.y0
