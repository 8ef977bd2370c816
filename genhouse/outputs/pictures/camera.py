"""The isometric camera: where a point falls on the drawing, and what is seen there.

ISO 5456-3 isometric, drawn at true length along its axes.  In this projection the points
``(x, y, z)`` and ``(x + 1, y + 1, z + 1)`` coincide, so a picture of sub-cells is a lattice of
triangles, each of which shows the first solid face along its own line of sight.

Camera frame: ``i`` runs to the lower right of the drawing, ``j`` to the lower left, ``k`` up.
Lattice vertex ``(p, q)`` is where all sub-cell corners with ``i - k = p`` and ``j - k = q`` fall.
Triangle ``(t, c)`` lies in the strip between the upright lines ``c`` and ``c + 1``
(``c = p - q``) and spans the rows ``t`` to ``t + 2`` (``p + q``); it points right where ``t + c``
is even, and left where it is odd.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal, get_args

import numpy as np
import numpy.typing as npt

View = Literal["south-east", "south-west", "north-west", "north-east"]
VIEWS: tuple[View, ...] = get_args(View)

COS_30 = 0.8660254037844386
SIN_30 = 0.5

I_FACE, J_FACE, K_FACE, NO_FACE = 0, 1, 2, 3
"""Which way a seen face looks: to the right, to the left, up; or nothing is seen."""

Ints = npt.NDArray[np.int32]


def project(x: float, y: float, z: float) -> tuple[float, float]:
    """Right and up on the drawing of a point whose x runs lower right and y lower left.

    >>> u, v = project(3, 2, 1)
    >>> round(u, 6), round(v, 6)
    (0.866025, -1.5)
    """
    return (x - y) * COS_30, z - (x + y) * SIN_30


WORLD_AXES: dict[View, tuple[tuple[int, bool], tuple[int, bool]]] = {
    "south-east": ((0, False), (1, True)),
    "south-west": ((1, True), (0, True)),
    "north-west": ((0, True), (1, False)),
    "north-east": ((1, False), (0, False)),
}
"""For i and j of a view: the axis of the world (0 is x) that it runs along, and if against it."""


def faced(array: npt.NDArray[Any], view: View) -> npt.NDArray[Any]:
    """An array ``[x, y, ...]`` as ``[i, j, ...]`` in the frame of a view; no copy."""
    (axis, against_i), (_, against_j) = WORLD_AXES[view]
    turned = array if axis == 0 else array.swapaxes(0, 1)
    return turned[:: -1 if against_i else 1, :: -1 if against_j else 1]


def layered(array: npt.NDArray[Any], view: View) -> npt.NDArray[Any]:
    """An array ``[x, y, z]`` as ``[k, i, j]`` in the frame of a view, contiguous."""
    return np.ascontiguousarray(np.moveaxis(faced(array, view), 2, 0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """The lattice triangles of a picture: rows ``t0`` on, strips ``c0`` on."""

    t0: int
    c0: int
    rows: int
    strips: int

    def vertices(self) -> tuple[Ints, Ints, npt.NDArray[np.bool_]]:
        """p and q of each triangle's upper vertex, and whether it points right; all ``[T, C]``."""
        t = np.arange(self.t0, self.t0 + self.rows, dtype=np.int32)[:, None]
        c = np.arange(self.c0, self.c0 + self.strips, dtype=np.int32)[None, :]
        return (t + c + 1) >> 1, (t - c) >> 1, (t + c) % 2 == 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """What each triangle ``[T, C]`` shows.

    face: I_FACE, J_FACE, K_FACE or NO_FACE.  i, j, k: the sub-cell seen, 0 where nothing is.
    """

    face: npt.NDArray[np.uint8]
    i: Ints
    j: Ints
    k: Ints


def foremost(solid: npt.NDArray[np.bool_]) -> npt.NDArray[np.int32]:
    """The k of the front-most solid on each line of sight, for solids ``[k, i, j]``.

    Returned ``[p + K, q + K]`` with K layers, a border of one included; -1 where there is none.
    """
    layers, di, dj = solid.shape
    front = np.full((di + layers + 2, dj + layers + 2), -1, dtype=np.int32)
    for k in range(layers):
        at = layers - k
        np.copyto(front[at : at + di, at : at + dj], k, where=solid[k])
    return front


def extent(front: npt.NDArray[np.int32], layers: int) -> tuple[int, int, int, int]:
    """The drawing's bounds in the lattice: lowest and highest row, then upright line.

    Those of the bare plot where nothing is drawn.
    """
    p, q = np.nonzero(front >= 0)
    if not p.size:
        di, dj = (n - layers - 2 for n in front.shape)
        return (0, di + dj, -dj, di)
    rows, lines = p + q - 2 * layers, p - q
    return (int(rows.min()) - 2, int(rows.max()) + 2, int(lines.min()) - 1, int(lines.max()) + 1)


def look(solid: npt.NDArray[np.bool_], window: Window) -> Sight:
    """What is seen of solids ``[k, i, j]`` in each triangle of a window.

    A triangle's line of sight runs through the sub-cells of three diagonals in turn; of their
    front-most solids the one with the greatest i + j + k is met first, and the diagonal tells the
    face by which it is met.
    """
    layers = solid.shape[0]
    front = foremost(solid)
    p, q, right = window.vertices()
    nowhere = np.int32(-(1 << 20))

    def depth(dp: Ints, dq: Ints) -> tuple[Ints, Ints]:
        a, b = p + dp + layers, q + dq + layers
        inside = (a >= 0) & (b >= 0) & (a < front.shape[0]) & (b < front.shape[1])
        k = front[np.where(inside, a, 0), np.where(inside, b, 0)]
        k = np.where(inside, k, np.int32(-1))
        return k, np.where(k >= 0, p + q + dp + dq + 3 * k, nowhere)

    one, none = np.int32(1), np.int32(0)
    aside_p, aside_q = right.astype(np.int32), (~right).astype(np.int32)
    k0, d0 = depth(one, one)  # type: ignore[arg-type]
    k1, d1 = depth(none, none)  # type: ignore[arg-type]
    k2, d2 = depth(aside_p, aside_q)
    top = (d0 > d1) & (d0 > d2)
    middle = ~top & (d1 > d2)
    k = np.where(top, k0, np.where(middle, k1, k2))
    seen = k >= 0
    face = np.where(top, K_FACE, np.where(middle == right, I_FACE, J_FACE)).astype(np.uint8)
    face[~seen] = NO_FACE
    i = p + np.where(top, 1, np.where(middle, 0, aside_p)) + k
    j = q + np.where(top, 1, np.where(middle, 0, aside_q)) + k
    zero = np.int32(0)
    return Sight(
        face=face,
        i=np.where(seen, i, zero),
        j=np.where(seen, j, zero),
        k=np.where(seen, k, zero),
    )
