"""Cells to closed surfaces: the exact forms, as few rectangles, stage by stage.

A face stands between a filled sub-cell of a building stage and whatever is not filled by the same
stage, so the faces of each stage close round it and can be shown alone.  Faces are merged into
rectangles within one stage, one material and one plane: first into runs, then equal runs that lie
side by side into rectangles, each in one pass over sorted numbers; along and across, and the way that
needs fewer is kept.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.forms import SUB
from genhouse.core.kept import fixed
from genhouse.model.voxels import Bytes, Voxels

Labels = npt.NDArray[np.uint16]
"""``stage * 256 + material`` of each filled sub-cell, 0 elsewhere, one layer of air all round."""

Whole = npt.NDArray[np.int64]


class Quads(Struct, frozen=True, kw_only=True):
    """Rectangles, sorted by label.

    corners: int32 [Q, 4, 3], x, y, z in sub-cells, counter-clockwise seen from outside.
    normals: int8 [Q, 3], pointing outward.  labels: uint16 [Q], ``stage * 256 + material``.
    """

    corners: npt.NDArray[np.int32]
    normals: npt.NDArray[np.int8]
    labels: Labels


def quads(labels: Labels, *, merged: bool = True) -> Quads:
    """The surfaces of labelled cells (``Labels``); merged=False leaves every face a unit square."""
    found = [side for axis in range(3) for side in _sides(labels, axis, merged)]
    corners, normals, kinds = (np.concatenate(part) for part in zip(*found, strict=True))
    order = np.argsort(kinds, kind="stable")
    return Quads(corners=corners[order], normals=normals[order], labels=kinds[order])


def sub_labels(voxels: Voxels, of: Bytes | None = None) -> Labels:
    """uint16 [4X + 2, 4Y + 2, 4Z + 2]: the label of each sub-cell of a house.

    of: uint8 [X, Y, Z], what stands for the stage of each piece.
    """
    solid = voxels.form > 0
    stage = voxels.stage if of is None else of
    label = stage[solid].astype(np.uint16) << 8 | voxels.material[solid]
    x, y, z = voxels.size
    fine = np.zeros((x * SUB + 2, y * SUB + 2, z * SUB + 2), dtype=np.uint16)
    # Splitting an axis makes a view, so that what is set here is set in fine.
    inside = fine[1:-1, 1:-1, 1:-1].reshape(x, SUB, y, SUB, z, SUB)
    by_cell = inside.transpose(0, 2, 4, 1, 3, 5)
    by_cell[solid] = voxels.shapes[voxels.form[solid]] * label[:, None, None, None]
    return fine


class Grid(NamedTuple):
    """Labels laid out plane by plane, so that runs lie along the last axis.

    flat: the labels.  shape: planes, and cells along u and v within them.
    """

    flat: Labels
    shape: tuple[int, ...]

    def place(self, cells: Whole) -> tuple[Whole, ...]:
        """Plane, u and v of flat cell numbers."""
        return np.unravel_index(cells, self.shape)


Rows = tuple[npt.NDArray[Any], ...]
"""Rectangles: plane, u and v of the first cell, lengths along u and v, label."""

Side = tuple[npt.NDArray[np.int32], npt.NDArray[np.int8], Labels]
"""Corners, normals and labels of the faces that look one way."""


def _sides(labels: Labels, axis: int, merged: bool) -> Iterator[Side]:
    """The faces that look down, then up, this axis."""
    u, v = (other for other in range(3) if other != axis)
    found = _rows(labels.transpose(axis, u, v), merged)
    if merged:
        across = _rows(labels.transpose(axis, v, u), merged)
        found = map(_fewer, found, map(_turned, across))
    for sign, rows in zip((-1, 1), found, strict=True):
        yield _sided(axis, sign, *rows)


def _rows(labels: Labels, merged: bool) -> Iterator[Rows]:
    """The same as rows; labels: with the axis that they look along first."""
    block = np.ascontiguousarray(labels)
    grid, step = Grid(block.reshape(-1), block.shape), block[0].size
    stage = (grid.flat >> 8).astype(np.uint8)
    below = np.flatnonzero(stage[step:] != stage[:-step])
    for cells in (below + step, below):
        solid = cells[grid.flat[cells] > 0]
        yield (_rectangles if merged else _squares)(grid, solid)


def _turned(rows: Rows) -> Rows:
    plane, u, v, wide, high, label = rows
    return plane, v, u, high, wide, label


def _fewer(one: Rows, other: Rows) -> Rows:
    """For each plane and label the way of cutting it into rectangles that needs fewer of them."""
    keys = [rows[0] << 16 | rows[5] for rows in (one, other)]
    _, kinds = np.unique(np.concatenate(keys), return_inverse=True)
    first, second = np.split(kinds, [keys[0].size])
    counts = [np.bincount(k, minlength=kinds.size) for k in (first, second)]
    turned = counts[1] < counts[0]
    keep = np.concatenate([~turned[first], turned[second]])
    return tuple(np.concatenate(pair)[keep] for pair in zip(one, other, strict=True))


def _squares(grid: Grid, cells: Whole) -> Rows:
    one = np.ones_like(cells)
    return *grid.place(cells), one, one, grid.flat[cells]


def _rectangles(grid: Grid, cells: Whole) -> Rows:
    """Merge faces at sorted flat cell numbers: runs along v, then equal runs along u."""
    # No run can pass the end of a row, nor any rectangle the end of a plane: air lies between.
    label = grid.flat[cells]
    starts = _breaks((cells[1:] - cells[:-1] != 1) | (label[1:] != label[:-1]), cells.size)
    plane, u, v = grid.place(cells[starts])
    high = np.diff(starts, append=cells.size)
    # With u as the last digit, runs that lie side by side and are alike differ by one.
    planes, us, vs = grid.shape
    digits = (planes, vs, vs, 1 << 16, us)
    runs = np.sort(np.ravel_multi_index((plane, v, high, label[starts], u), digits))
    starts = _breaks(runs[1:] - runs[:-1] != 1, runs.size)
    plane, v, high, kind, u = np.unravel_index(runs[starts], digits)
    return plane, u, v, np.diff(starts, append=runs.size), high, kind.astype(np.uint16)


def _breaks(apart: npt.NDArray[np.bool_], size: int) -> Whole:
    """Where runs begin in a row of so many, given which neighbours are apart."""
    return np.flatnonzero(np.concatenate([np.ones(min(size, 1), dtype=bool), apart]))


TURN = fixed(np.array([[0, 1, 1, 0], [0, 0, 1, 1]], dtype=np.int32))
"""Round a rectangle: which of its four corners lie at its far end along u, and along v."""


def _sided(
    axis: int, sign: int, plane: Whole, u: Whole, v: Whole, wide: Whole, high: Whole, label: Labels
) -> Side:
    along_u, along_v = (other for other in range(3) if other != axis)
    corners = np.zeros((plane.size, 4, 3), dtype=np.int32)
    corners[..., axis] = (plane + (sign > 0))[:, None]
    corners[..., along_u] = u[:, None] + wide[:, None] * TURN[0]
    corners[..., along_v] = v[:, None] + high[:, None] * TURN[1]
    corners -= 1  # the layer of air
    normals = np.zeros((plane.size, 3), dtype=np.int8)
    normals[:, axis] = sign
    # From u to v is counter-clockwise about x and z, but clockwise about y.
    outward = (sign > 0) != (axis == 1)
    return (corners if outward else corners[:, ::-1]), normals, label
