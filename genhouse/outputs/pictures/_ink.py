"""Lines: where a plane or a material ends, and the fine line-work of finishes."""

from __future__ import annotations

from functools import cache
from itertools import product

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.kept import fixed
from genhouse.outputs.pictures._finish import line_table
from genhouse.outputs.pictures.camera import (
    I_FACE,
    J_FACE,
    K_FACE,
    NO_FACE,
    WORLD_AXES,
    Ints,
    View,
    at_corners,
)

Marks = npt.NDArray[np.uint8]
Mask = npt.NDArray[np.bool_]

OUTLINE, PROFILE, STEP_BACK, CREASE, CHANGE, JOINT = 205, 190, 150, 105, 110, 55
SOFT_CREASE, SOFT_STEP = 58, 84
LOW, SHALLOW = 2, 4
"""A jump in depth of no more than this many sub-cells is drawn lightly; or, on one soft surface, reads
as a step of it."""


class Edges(Struct, frozen=True):
    """Ink 0 to 255 along each triangle's upper, lower and upright edge, all ``[T, C]``."""

    upper: Marks
    lower: Marks
    upright: Marks

    def joints(self, right: Mask) -> tuple[Marks, Marks, Marks]:
        """Ink at each triangle's upper, lower and side vertex: the strongest that meets there."""
        rows, strips = right.shape
        met = np.zeros((rows + 2, strips + 1), dtype=np.uint8)
        ends = (
            np.maximum(self.upper, self.upright),
            np.maximum(self.lower, self.upright),
            np.maximum(self.upper, self.lower),
        )
        for down, aside, ink in ((0, 0, ends[0]), (2, 0, ends[1]), (1, 1, ends[2])):
            for points in (True, False):
                near = met[down : down + rows, (aside == points) :][:, :strips]
                np.maximum(near, ink * (right == points).view(np.uint8), out=near)
        return at_corners(met, right)


def bare(shape: tuple[int, int]) -> Edges:
    """No ink."""
    return Edges(*(np.zeros(shape, dtype=np.uint8) for _ in range(3)))


class Surface(Struct, frozen=True, kw_only=True):
    """What lines depend on, for each triangle ``[T, C]``.

    face; plane: equal where two triangles lie in one plane; material: its number, 0 on the table;
    look: see ``_finish``; soft: creases drawn lightly; heights: z of the upper, lower and side
    vertex; right: whether it points right.
    """

    face: Marks
    plane: Ints
    material: Marks
    look: Marks
    soft: Mask
    heights: tuple[Ints, Ints, Ints]
    right: Mask


def _between(
    s: Surface,
    near: tuple[slice, slice],
    far: tuple[slice, slice],
    meet: tuple[tuple[int, int], tuple[int, int]],
) -> Marks:
    """Ink between neighbouring triangles; meet: their vertices that coincide."""
    (m, n), (i, j) = meet
    jump = np.maximum(
        np.abs(s.heights[m][near] - s.heights[n][far]),
        np.abs(s.heights[i][near] - s.heights[j][far]),
    )
    asked = (
        s.face[near] == NO_FACE,
        s.face[far] == NO_FACE,
        jump > 0,
        jump > LOW,
        jump > SHALLOW,
        s.plane[near] == s.plane[far],
        s.material[near] == s.material[far],
        s.soft[near],
        s.look[near] == s.look[far],
    )
    # In bytes as far as they reach, which are many times as fast as a mixture.
    state = np.zeros(jump.shape, dtype=np.uint8)
    for answer in asked[:8]:
        state += state
        state |= answer.view(np.uint8)
    row = state * np.uint16(2) + asked[8].view(np.uint8)
    return np.asarray(_inks().take(row))


@cache
def _inks() -> Marks:
    """Ink for each row of answers to what ``_between`` asks, the first the highest bit."""
    inks = np.array([_ink(*row) for row in product((False, True), repeat=9)], dtype=np.uint8)
    return fixed(inks)


def _ink(
    bare: bool,
    bare_beyond: bool,
    jumps: bool,
    high: bool,
    deep: bool,
    level: bool,
    same: bool,
    soft: bool,
    alike: bool,
) -> int:
    """Between two triangles of like material, in one plane, of one look; or after a jump."""
    if bare or bare_beyond:
        return 0 if bare and bare_beyond else OUTLINE
    soft = soft and same
    if jumps:
        return SOFT_STEP if soft and not deep else PROFILE if high else STEP_BACK
    if not level:
        return SOFT_CREASE if soft else CREASE
    if not same:
        return CHANGE
    return 0 if alike else JOINT


def contours(s: Surface) -> Edges:
    """Ink where planes and materials end."""
    rows, strips = s.face.shape
    edges = bare((rows, strips))
    up, down = np.s_[: rows - 1, :], np.s_[1:, :]
    slanted = _between(s, up, down, ((2, 0), (1, 2)))
    edges.lower[up], edges.upper[down] = slanted, slanted
    left, right = np.s_[:, : strips - 1], np.s_[:, 1:]
    sides = _between(s, left, right, ((0, 0), (1, 1)))
    sides[s.right[left]] = 0
    edges.upright[left] = sides
    np.maximum(edges.upright[right], sides, out=edges.upright[right])
    return edges


# For a face and a triangle (pointing right or left): its two true edges, each as (axis along which
# it runs, axis across, 1 where it lies on the sub-cell's far side).
_TRUE_EDGES = {
    (K_FACE, True): ((0, 1, 0), (1, 0, 1)),
    (K_FACE, False): ((0, 1, 1), (1, 0, 0)),
    (I_FACE, True): ((2, 1, 1), (1, 2, 0)),
    (I_FACE, False): ((1, 2, 1), (2, 1, 0)),
    (J_FACE, True): ((0, 2, 1), (2, 0, 0)),
    (J_FACE, False): ((2, 0, 1), (0, 2, 0)),
}


def _edge_of(axis: int, right: bool) -> str:
    """Which of a triangle's edges runs along an axis of the camera frame."""
    if axis == 2:
        return "upright"
    return "upper" if (axis == 0) == right else "lower"


def fine_lines(
    edges: Edges,
    view: View,
    size: tuple[int, int, int],
    at: Ints,
    face: Ints,
    look: Marks,
    right: Mask,
    place: npt.NDArray[np.intp],
    eighths: int,
) -> None:
    """Draw the finishes' own lines into ``edges``, with so many eighths of their strength.

    size: sub-cells along i, j, k.  at: the sub-cells seen, ``[3, N]``; face, look, right: of the
    same N triangles; place: their flat places in the window.
    """
    table = (line_table() * np.uint16(eighths) >> 3).astype(np.uint8)
    world = (*(WORLD_AXES[view]), (2, False))
    # Places along the world's axes, so that a line stays where it is when the camera walks round.
    along = [(size[n] - 1 - at[n] if world[n][1] else at[n]) & 7 for n in range(3)]
    way = 2 * face + right
    for (normal, points_right), true_edges in _TRUE_EDGES.items():
        chosen = np.flatnonzero(way == 2 * normal + points_right)
        where, row = place[chosen], look[chosen].astype(np.int32) * 64
        step = [n[chosen] for n in along]
        for axis, across, far in true_edges:
            marks = table[:, world[normal][0], world[axis][0], :, far ^ world[across][1]]
            ink = marks.reshape(-1)[row + 8 * step[across] + step[axis]]
            line = getattr(edges, _edge_of(axis, points_right)).reshape(-1)
            line[where] = np.maximum(line[where], ink)


def weakened(edges: Edges, eighths: npt.NDArray[np.uint16] | np.uint16) -> Edges:
    """Lines of which so many eighths are left."""
    each = (edges.upper, edges.lower, edges.upright)
    return Edges(*((ink * eighths >> 3).astype(np.uint8) for ink in each))


def round_about(fresh: Mask, right: Mask) -> Edges:
    """Full ink along the border of what is fresh, on both its sides."""
    edges = bare(fresh.shape)
    border = (fresh[:-1] != fresh[1:]) * np.uint8(255)
    edges.lower[:-1], edges.upper[1:] = border, border
    sides = ((fresh[:, :-1] != fresh[:, 1:]) & ~right[:, :-1]) * np.uint8(255)
    edges.upright[:, :-1] = sides
    np.maximum(edges.upright[:, 1:], sides, out=edges.upright[:, 1:])
    return edges
