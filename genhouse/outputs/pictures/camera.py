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

from typing import Any, Literal, get_args

import numpy as np
import numpy.typing as npt
from msgspec import Struct

View = Literal["south-east", "south-west", "north-west", "north-east"]
VIEWS: tuple[View, ...] = get_args(View)

COS_30 = 0.8660254037844386
SIN_30 = 0.5

I_FACE, J_FACE, K_FACE, NO_FACE = 0, 1, 2, 3
"""Which way a seen face looks: to the right, to the left, up; or nothing is seen."""

Ints = npt.NDArray[np.int32]
Mask = npt.NDArray[np.bool_]
Values = npt.NDArray[Any]


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


class Window(Struct, frozen=True, kw_only=True):
    """The lattice triangles of a picture: rows ``t0`` on, strips ``c0`` on."""

    t0: int
    c0: int
    rows: int
    strips: int

    def points_right(self) -> Mask:
        """Whether each triangle points right, ``[T, C]``."""
        t = np.arange(self.t0, self.t0 + self.rows) & 1
        c = np.arange(self.c0, self.c0 + self.strips) & 1
        right: Mask = t[:, None] == c[None, :]
        return right

    def triangles(self, place: npt.NDArray[np.intp]) -> tuple[Ints, Ints, Mask]:
        """p and q of the upper vertex of triangles at flat places, and whether they point right."""
        at = place.astype(np.int32)
        row = at // np.int32(self.strips)
        t, c = row + np.int32(self.t0), at - row * np.int32(self.strips) + np.int32(self.c0)
        return (t + c + 1) >> 1, (t - c) >> 1, (t ^ c) & 1 == 0

    def vertices(self) -> tuple[Ints, Ints]:
        """p and q where rows and upright lines meet, ``[T + 2, C + 1]``; every other one is a vertex."""
        t = np.arange(self.t0, self.t0 + self.rows + 2, dtype=np.int32)[:, None]
        c = np.arange(self.c0, self.c0 + self.strips + 1, dtype=np.int32)[None, :]
        return (t + c) >> 1, (t - c) >> 1


def pointing(right: Mask, points_right: bool) -> tuple[tuple[slice, slice], tuple[slice, slice]]:
    """The triangles ``[T, C]`` that point one way, as two slices: every other one of each row."""
    first = int(bool(right[0, 0]) != points_right)
    return np.s_[::2, first::2], np.s_[1::2, 1 - first :: 2]


def at_corners(values: Values, right: Mask) -> tuple[Values, Values, Values]:
    """What a window's vertices ``[.., T + 2, C + 1]`` bring each triangle's upper, lower and side one."""
    upper, lower = (_chosen(values[..., rows, :], right, 0) for rows in (np.s_[:-2], np.s_[2:]))
    return upper, lower, at_side(values, right)


def at_side(values: Values, right: Mask) -> Values:
    """What a window's vertices ``[.., T + 2, C + 1]`` bring each triangle's side one."""
    return _chosen(values[..., 1:-1, :], right, 1)


def _chosen(values: Values, right: Mask, far: int) -> Values:
    """Of values on upright lines ``[.., T, C + 1]``, one on a triangle's left or right line.

    far: 1 where triangles that point right take the right one, and others the left one.
    """
    lines = values[..., :-1], values[..., 1:]
    chosen = lines[1 - far].copy()
    for cells in pointing(right, True):
        chosen[(..., *cells)] = lines[far][(..., *cells)]
    return chosen


class Sight(Struct, frozen=True, kw_only=True):
    """What a window shows.

    face: I_FACE, J_FACE, K_FACE or NO_FACE for each triangle, ``[T, C]``.  place: of the N triangles
    that show something, in ``face`` made flat.  at: i, j, k of the sub-cells they show, ``[3, N]``.
    """

    face: npt.NDArray[np.uint8]
    place: npt.NDArray[np.intp]
    at: Ints


def foremost(solid: Mask) -> Ints:
    """The k of the front-most solid on each line of sight, for solids ``[k, i, j]``.

    Returned ``[p + K, q + K]`` with K layers, a border of one included; -1 where there is none.
    """
    layers, di, dj = solid.shape
    front = np.full((di + layers + 2, dj + layers + 2), -1, dtype=np.int32)
    for k in range(layers):
        at = layers - k
        np.copyto(front[at : at + di, at : at + dj], k, where=solid[k])
    return front


def extent(front: Ints, layers: int) -> tuple[int, int, int, int]:
    """The drawing's bounds in the lattice: lowest and highest row, then upright line.

    Those of the bare plot where nothing is drawn.
    """
    p, q = np.nonzero(front >= 0)
    if not p.size:
        di, dj = (n - layers - 2 for n in front.shape)
        return (0, di + dj, -dj, di)
    rows, lines = p + q - 2 * layers, p - q
    return (int(rows.min()) - 2, int(rows.max()) + 2, int(lines.min()) - 1, int(lines.max()) + 1)


NOWHERE = -(1 << 20)


def look(solid: Mask, window: Window) -> Sight:
    """What is seen of solids ``[k, i, j]`` in each triangle of a window.

    A triangle's line of sight runs through the sub-cells of three diagonals in turn, those of its
    vertices; of their front-most solids the one with the greatest i + j + k is met first.  On a
    diagonal that sum is its row and a multiple of three, so it tells which of the three it is.
    """
    return sight(foremost(solid), solid.shape[0], window)


def sight(front: Ints, layers: int, window: Window) -> Sight:
    """What is seen of the front-most solids (see ``foremost``) of so many layers in each triangle."""
    p, q = window.vertices()
    a, b = p + layers, q + layers
    inside = (a >= 0) & (b >= 0) & (a < front.shape[0]) & (b < front.shape[1])
    k = front.take(np.where(inside, a * front.shape[1] + b, 0))  # there the border is bare
    depth = np.where(k >= 0, p + q + 3 * k, NOWHERE)
    upper, lower, side = at_corners(depth, window.points_right())
    met = np.maximum(np.maximum(upper, lower), side).reshape(-1)
    place = np.flatnonzero(met > NOWHERE)
    p, q, right = window.triangles(place)
    climbed = met.take(place) - p - q
    k = climbed // 3
    diagonal = climbed - 3 * k
    face = np.full((window.rows, window.strips), NO_FACE, dtype=np.uint8)
    face.reshape(-1)[place] = np.where(
        diagonal == 2, K_FACE, np.where((diagonal == 0) == right, I_FACE, J_FACE)
    )
    i = p + k + (diagonal + right >= 2)
    j = q + k + (diagonal + ~right >= 2)
    return Sight(face=face, place=place, at=np.stack([i, j, k]))
