"""Rays among cells: whether one gets past all that stands in its way."""

from __future__ import annotations

import numpy as np

from genhouse.core.paths import ROW_BITS, Ways, keys, paths
from genhouse.core.solids import EIGHTHS, Bool, Dark, Forms, Ints, Whole, meets

AT_ONCE = 8192
"""Rays that are followed together."""


def seen(dark: Dark, starts: Ints, ends: Ints, rays: tuple[Whole, Whole]) -> Bool:
    """Whether each of some rays meets nothing that stops light: bool [R].

    starts [S, 3], ends [P, 3]: in eighths, within the grid.  rays: from which to which, [R] each.
    Exact.  What fills a whole cell stops all that touch it; of the rest the boxes are asked.
    """
    start, end = rays
    free = np.ones(len(start), dtype=bool)
    if not len(start):
        return free
    known, form = paths(*dark.form.shape[1:]), dark.form.reshape(-1)
    before, after = keys(starts, ends)
    cells = (starts // EIGHTHS + 1) @ known.strides
    doubts: list[tuple[Whole, Whole]] = []
    for n in range(0, len(start), AT_ONCE):
        some = start[n : n + AT_ONCE]
        ways = known.of(after.take(end[n : n + AT_ONCE]) - before.take(some))
        ray, cell = _met(form, ways, cells.take(some))
        whole = dark.solids.whole.take(form.take(cell))
        open_yet = free[n : n + AT_ONCE]
        open_yet[ray[whole]] = False
        doubt = np.flatnonzero(open_yet.take(ray) & ~whole)
        doubts.append((ray.take(doubt) + n, cell.take(doubt)))
    ray, cell = (np.concatenate(some) for some in zip(*doubts, strict=True))
    here = np.ascontiguousarray(starts.take(start.take(ray), axis=0).T)
    there = np.ascontiguousarray(ends.take(end.take(ray), axis=0).T)
    free[ray[_stopped(dark, here, there, cell)]] = False
    return free


def _met(form: Forms, ways: Ways, first: Whole) -> tuple[Whole, Whole]:
    """The filled cells that rays touch: the number of its ray, its place in the flat grid, [N] each.

    first: the cell that each ray begins in [R].
    """
    ray: Whole = np.arange(len(first)).repeat(ways.number)
    row: Whole = (ways.first - ways.number.cumsum() + ways.number).take(ray)
    row += np.arange(len(ray))
    touched = ways.rows.take(row, axis=0)
    touched += first.take(ray)[:, None]
    cell = touched.reshape(-1)
    hit = np.flatnonzero(form.take(cell) != 0)
    return ray.take(hit >> ROW_BITS), cell.take(hit)


def _stopped(dark: Dark, start: Ints, end: Ints, cell: Whole) -> Whole:
    """Which rays [3, R] are stopped by a cell each [R]: numbers, some more than once.

    The boxes of a cell are asked one by one only where the ray touches the least box round them all.
    """
    solids, form = dark.solids, dark.form.reshape(-1).take(cell)
    corner = np.array(np.unravel_index(cell, dark.form.shape), dtype=np.int32)
    corner -= 1
    corner *= EIGHTHS
    low, high = solids.hull.take(form, axis=2) + corner
    near = np.flatnonzero(meets(start, end, low, high))
    box, boxes = solids.boxes(form[near].astype(np.intp))
    ray = near.repeat(boxes)
    start, end, corner = (a.take(ray, axis=1) for a in (start, end, corner))
    low, high = solids.low.take(box, axis=1) + corner, solids.high.take(box, axis=1) + corner
    return ray[meets(start, end, low, high)]
