"""Like pieces that lie side by side, together in boxes."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Box


def laid_in_boxes(kinds: npt.NDArray[np.uint16]) -> Iterator[tuple[int, Box]]:
    """Cover what is laid by boxes of one kind: runs along x, then equal runs stacked along y.

    kinds: [X, Y, Z], 0 where nothing lies.  Yields each kind in order and its boxes, lowest first,
    as ``core.box.runs`` would give them for the cells of that kind.
    """
    done: dict[tuple[int, ...], list[int]] = {}
    growing: dict[tuple[int, ...], list[int]] = {}
    for kind, z, y, x0, x1 in _rows(kinds):
        below = growing.pop((kind, z, y, x0, x1), None)
        if below is None:
            below = done[kind, z, y, x0] = [x1, y]
        below[1] = y + 1
        growing[kind, z, y + 1, x0, x1] = below
    for (kind, z, y0, x0), (x1, y1) in done.items():
        yield kind, Box(x0, y0, z, x1, y1, z + 1)


def _rows(kinds: npt.NDArray[np.uint16]) -> Iterator[tuple[int, int, int, int, int]]:
    """(kind, z, y, first x, last x + 1) of each run along x, in order of kind, then z, y, x."""
    flat = np.zeros((kinds.shape[2], kinds.shape[1], kinds.shape[0] + 1), dtype=np.uint16)
    flat[..., :-1] = kinds.T
    line = flat.ravel()
    turns = np.flatnonzero(line[1:] != line[:-1]) + 1
    if line[0]:
        turns = np.concatenate(([0], turns))
    kind = line[turns]
    starts = np.flatnonzero(kind)
    starts = starts[np.argsort(kind[starts], kind="stable")]
    places = np.unravel_index(turns[starts], flat.shape)
    lengths = turns[starts + 1] - turns[starts]
    z, y, x = (n.tolist() for n in places)
    ends = (places[2] + lengths).tolist()
    yield from zip(kind[starts].tolist(), z, y, x, ends, strict=True)
