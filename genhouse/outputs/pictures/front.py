"""What is front-most of a wide country on each line of sight, gathered piece by piece."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.outputs.pictures.camera import Mask, View, faced

Bytes = npt.NDArray[np.uint8]


class Frame(Struct, frozen=True, kw_only=True):
    """How a country lies in the frame of a view.  size: steps along i, j, k."""

    view: View
    size: tuple[int, int, int]

    @classmethod
    def of(cls, view: View, size: tuple[int, int, int]) -> Frame:
        """Of a country of so many steps along x, y, z."""
        i, j = size[:2] if view in ("south-east", "north-west") else size[1::-1]
        return cls(view=view, size=(i, j, size[2]))

    @property
    def lattice(self) -> tuple[int, int]:
        """Lines of sight, a border of one included."""
        i, j, k = self.size
        return i + k + 2, j + k + 2

    def seen(
        self,
        low: tuple[int, int, int],
        solid: Mask,
        stuff: Bytes,
        lumens: npt.NDArray[np.int32],
    ) -> Seen:
        """What a piece shows.  low: its low corner.  solid: [x, y, z].  stuff: materials of these, or of as
        many of them as its sides are shorter.  lumens: of each of its columns, or as many."""
        block, kind = faced(solid, self.view), faced(stuff, self.view)
        i, j = self._corner(low, solid.shape)
        front = block.copy()  # what has nothing right before it
        front[:-1, :-1, :-1] &= ~block[1:, 1:, 1:]
        a, b, k = np.unravel_index(np.flatnonzero(front), front.shape)  # sooner than ``nonzero``
        upward = np.argsort(k.astype(np.int16), kind="stable")
        a, b, k = a[upward], b[upward], k[upward]
        part = len(block) // len(kind)
        lamps = faced(lumens, self.view).repeat(part, axis=0).repeat(part, axis=1) // part**2
        up = k + low[2]
        line = (self.size[2] - up + i + a) * self.lattice[1] + self.size[2] - up + j + b
        return Seen(
            corner=(i, j),
            top=(low[2] + block.shape[2] - np.argmax(block[:, :, ::-1], axis=2)).astype(np.int16),
            lamps=lamps.astype(np.int32),
            line=line.astype(np.int32),
            near=up.astype(np.int16),
            stuff=np.ascontiguousarray(kind[a // part, b // part, k // part]),
        )

    def _corner(self, low: tuple[int, int, int], shape: tuple[int, ...]) -> tuple[int, int]:
        """Where the low corner of a piece comes to lie."""
        (x, y, _), (i, j, _) = low, self.size
        return {
            "south-east": (x, j - y - shape[1]),
            "south-west": (i - y - shape[1], j - x - shape[0]),
            "north-west": (i - x - shape[0], y),
            "north-east": (y, x),
        }[self.view]


class Seen(Struct, frozen=True, kw_only=True):
    """What one piece of a country shows, whatever lies about it.

    corner: its i, j.  top, lamps: by column, as in ``Front``.  line: lines of sight on which something
    of it is seen, from the lowest up; near, stuff: how high that is, and its material.
    """

    corner: tuple[int, int]
    top: npt.NDArray[np.int16]
    lamps: npt.NDArray[np.int32]
    line: npt.NDArray[np.int32]
    near: npt.NDArray[np.int16]
    stuff: Bytes


class Front(Struct, frozen=True, kw_only=True):
    """What is front-most, in the frame of a view.

    near: k on each line of sight, as ``camera.foremost`` has it.  stuff: its material.  top: of each column
    [I, J], steps up to its top.  lamps: lumens in each column.
    """

    frame: Frame
    near: npt.NDArray[np.int16]
    stuff: Bytes
    top: npt.NDArray[np.int16]
    lamps: npt.NDArray[np.int32]

    @property
    def view(self) -> View:
        return self.frame.view

    @property
    def size(self) -> tuple[int, int, int]:
        return self.frame.size

    @classmethod
    def empty(cls, frame: Frame) -> Front:
        return cls(
            frame=frame,
            near=np.full(frame.lattice, -1, dtype=np.int16),
            stuff=np.zeros(frame.lattice, dtype=np.uint8),
            top=np.zeros(frame.size[:2], dtype=np.int16),
            lamps=np.zeros(frame.size[:2], dtype=np.int32),
        )

    def add(self, seen: Seen) -> None:
        """A piece more."""
        (i, j), (n, m) = seen.corner, seen.top.shape
        self.top[i : i + n, j : j + m], self.lamps[i : i + n, j : j + m] = seen.top, seen.lamps
        near, stuff = self.near.reshape(-1), self.stuff.reshape(-1)
        nearer = near[seen.line] < seen.near
        line = seen.line[nearer]  # of one that is named twice, the last counts: the nearest
        near[line], stuff[line] = seen.near[nearer], seen.stuff[nearer]
