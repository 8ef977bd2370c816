"""Cells to closed surfaces: the exact forms, as few rectangles, stage by stage.

A face stands between a filled sub-cell of a building stage and whatever is not filled by the same
stage, so the faces of each stage close round it and can be shown alone.  Faces are merged into
rectangles within one stage, one material and one plane: first into runs, then equal runs that lie
side by side into rectangles, each in one pass over sorted numbers.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.core.forms import SUB
from genhouse.model.voxels import Voxels

Labels = npt.NDArray[np.uint16]
"""``stage * 256 + material`` of each filled sub-cell, 0 elsewhere, one layer of air all round."""

Whole = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Quads:
    """Rectangles, sorted by label.

    corners: int32 [Q, 4, 3], x, y, z in sub-cells, counter-clockwise seen from outside.
    normals: int8 [Q, 3], pointing outward.  labels: uint16 [Q], ``stage * 256 + material``.
    """

    corners: npt.NDArray[np.int32]
    normals: npt.NDArray[np.int8]
    labels: Labels


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """Part of ``Quads``: what one stage shows of one material, as the range first:last."""

    stage: int
    material: int
    first: int
    last: int


def quads(labels: Labels, *, merged: bool = True) -> Quads:
    """The surfaces of labelled cells (``Labels``); merged=False leaves every face a unit square."""
    found = [side for axis in range(3) for side in _sides(labels, axis, merged)]
    corners, normals, kinds = (np.concatenate(part) for part in zip(*found, strict=True))
    order = np.argsort(kinds, kind="stable")
    return Quads(corners=corners[order], normals=normals[order], labels=kinds[order])


def surfaces(labels: Labels) -> tuple[Surface, ...]:
    """The ranges of equal sorted labels, in order of stage, then material."""
    kinds, first = np.unique(labels, return_index=True)
    ends = [*first.tolist()[1:], labels.size]
    return tuple(
        Surface(stage=kind >> 8, material=kind & 255, first=start, last=end)
        for kind, start, end in zip(kinds.tolist(), first.tolist(), ends, strict=True)
    )


def sub_labels(voxels: Voxels) -> Labels:
    """uint16 [4X + 2, 4Y + 2, 4Z + 2]: the label of each sub-cell of a house."""
    solid = voxels.form > 0
    label = voxels.stage[solid].astype(np.uint16) << 8 | voxels.material[solid]
    x, y, z = voxels.size
    fine = np.zeros((x, SUB, y, SUB, z, SUB), dtype=np.uint16)
    by_cell = fine.transpose(0, 2, 4, 1, 3, 5)
    by_cell[solid] = voxels.shapes[voxels.form[solid]] * label[:, None, None, None]
    return np.pad(fine.reshape(x * SUB, y * SUB, z * SUB), 1)


Side = tuple[npt.NDArray[np.int32], npt.NDArray[np.int8], Labels]


def _sides(labels: Labels, axis: int, merged: bool) -> Iterator[Side]:
    """Corners, normals and labels of the faces that look down, then up, this axis."""
    grid = np.ascontiguousarray(np.moveaxis(labels, axis, 0))  # [plane, u, v]
    flat = grid.reshape(-1)
    stage = (grid >> 8).astype(np.uint8)
    below = np.flatnonzero(stage[1:] != stage[:-1])
    for sign, cells in ((-1, below + grid[0].size), (1, below)):
        kind = flat[cells]
        faces = cells[kind > 0], kind[kind > 0]
        rows = _rectangles(*faces, grid.shape) if merged else _squares(*faces, grid.shape)
        yield _sided(axis, sign, *rows)


Rows = tuple[Whole, Whole, Whole, Whole, Whole, Labels]
"""Rectangles in a grid [plane, u, v]: first cell's plane, u, v, lengths along u and v, label."""


def _squares(cells: Whole, kind: Labels, shape: tuple[int, ...]) -> Rows:
    plane, u, v = np.unravel_index(cells, shape)
    one = np.ones_like(cells)
    return plane, u, v, one, one, kind


def _rectangles(cells: Whole, kind: Labels, shape: tuple[int, ...]) -> Rows:
    """Merge faces at sorted flat cell numbers: runs along v, then equal runs along u."""
    # No run can pass the end of a row, nor any rectangle the end of a plane: air lies between.
    starts = np.flatnonzero((np.diff(cells, prepend=-9) != 1) | (np.diff(kind, prepend=0) != 0))
    high = np.diff(starts, append=cells.size)
    plane, u, v = np.unravel_index(cells[starts], shape)
    # With u as the last digit, runs that lie side by side and are alike differ by one.
    digits = (shape[0], shape[2], shape[2], 1 << 16, shape[1])
    runs = np.sort(np.ravel_multi_index((plane, v, high, kind[starts], u), digits))
    starts = np.flatnonzero(np.diff(runs, prepend=-9) != 1)
    wide = np.diff(starts, append=runs.size)
    plane, v, high, label, u = np.unravel_index(runs[starts], digits)
    return plane, u, v, wide, high, label.astype(np.uint16)


TURN = np.array([[0, 1, 1, 0], [0, 0, 1, 1]], dtype=np.int32)
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
