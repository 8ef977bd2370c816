"""The only statement of axes, sides, turns and mirrors.

x runs east, y north, z up, right-handed; arrays are indexed ``[x, y, z]``.
A house is thought out in a local frame whose gate side is the south, then turned as a whole.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple, TypeVar

from genhouse.core.box import Box, Rect

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

Scalar = TypeVar("Scalar", bound="np.generic")
Side = Literal["east", "north", "west", "south"]
Axis = Literal["x", "y"]

SIDES: tuple[Side, ...] = ("east", "north", "west", "south")
"""Counter-clockwise from east, so that a quarter turn is one step along the tuple."""

STEP: dict[Side, tuple[int, int]] = {
    "east": (1, 0),
    "north": (0, 1),
    "west": (-1, 0),
    "south": (0, -1),
}


ENDS: dict[Axis, tuple[Side, Side]] = {"x": ("west", "east"), "y": ("south", "north")}
"""The sides at the low and the high end of what runs along an axis."""

FLANKS: dict[Axis, tuple[Side, Side]] = {"x": ENDS["y"], "y": ENDS["x"]}
"""The sides at its low and its high flank."""

CROSS: dict[Axis, Axis] = {"x": "y", "y": "x"}
"""The axis that runs across another."""

ALONG: dict[Axis, int] = {"x": 0, "y": 1}
"""Which number of a place or a size lies along an axis; the other lies across."""


def cell_at(axis: Axis, along: int, across: int) -> tuple[int, int]:
    """The cell so far along an axis and so far across it."""
    return (along, across) if axis == "x" else (across, along)


def opposite(side: Side) -> Side:
    """The side across: north for south."""
    return SIDES[(SIDES.index(side) + 2) % 4]


class Turn(NamedTuple):
    """A mirror in x (first, if any), then counter-clockwise quarter turns, of a plot's frame.

    width, depth: the plot's size in cells before the turn.
    """

    width: int
    depth: int
    quarters: int = 0
    mirror: bool = False

    @property
    def size(self) -> tuple[int, int]:
        """The plot's size after the turn."""
        return (self.depth, self.width) if self.quarters % 2 else (self.width, self.depth)

    @property
    def inverse(self) -> Turn:
        """The turn that takes all back: after a mirror, the same quarters once more."""
        return Turn(*self.size, self.quarters if self.mirror else -self.quarters % 4, self.mirror)

    def rect(self, r: Rect) -> Rect:
        return Rect(*self._bounds(*r))

    def box(self, b: Box) -> Box:
        x0, y0, z0, x1, y1, z1 = b
        x0, y0, x1, y1 = self._bounds(x0, y0, x1, y1)
        return Box(x0, y0, z0, x1, y1, z1)

    def _bounds(self, x0: int, y0: int, x1: int, y1: int) -> tuple[int, int, int, int]:
        w, d, quarters, mirror = self
        if mirror:
            x0, x1 = w - x1, w - x0
        match quarters % 4:
            case 0:
                return x0, y0, x1, y1
            case 1:
                return d - y1, x0, d - y0, x1
            case 2:
                return w - x1, d - y1, w - x0, d - y0
            case _:
                return y0, w - x1, y1, w - x0

    def cell(self, x: int, y: int, z: int) -> tuple[int, int, int]:
        x0, y0, _, _ = self._bounds(x, y, x + 1, y + 1)
        return x0, y0, z

    def side(self, side: Side) -> Side:
        n = SIDES.index(side)
        if self.mirror and n % 2 == 0:
            n += 2
        return SIDES[(n + self.quarters) % 4]

    def axis(self, axis: Axis) -> Axis:
        return axis if self.quarters % 2 == 0 else ("y" if axis == "x" else "x")

    def array(self, a: npt.NDArray[Scalar]) -> npt.NDArray[Scalar]:
        """Turn an array whose first two axes are x and y."""
        import numpy as np  # here, so that a refused command need not wait for it

        if self.mirror:
            a = a[::-1]
        return np.rot90(a, self.quarters % 4, axes=(0, 1))
