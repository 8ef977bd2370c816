"""What of a map hangs together, face to face: within a piece of it, and then from piece to piece."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from genhouse.core.forms import SUB, shapes

FALLEN = 1
"""The body of all that stands on the ground."""
Ints = npt.NDArray[np.int32]
Masks = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Parts:
    """Numbers that are found to be one, as pieces come in (union by the lower number)."""

    above: list[int] = field(default_factory=list)

    def more(self, count: int) -> int:
        """So many new ones; the first of them."""
        first = len(self.above)
        self.above.extend(range(first, first + count))
        return first

    def root(self, n: int) -> int:
        while self.above[n] != n:
            self.above[n] = n = self.above[self.above[n]]
        return n

    def join(self, pairs: Iterable[tuple[int, int]]) -> None:
        for a, b in pairs:
            low, high = sorted((self.root(a), self.root(b)))
            self.above[high] = low


def faces() -> tuple[npt.NDArray[np.int32], npt.NDArray[np.int32]]:
    """int32 [3, F]: which of a form's sixteen sub-cells on its low and on its high face are filled."""
    bits = 1 << np.arange(SUB * SUB, dtype=np.int32)
    low, high = (
        np.stack(
            [shapes().take(at, axis=axis + 1).reshape(-1, SUB * SUB) @ bits for axis in range(3)]
        )
        for at in (0, SUB - 1)
    )
    return low.astype(np.int32), high.astype(np.int32)


def bodies_of(
    form: npt.NDArray[np.uint16],
) -> tuple[Ints, int, list[tuple[int, npt.NDArray[np.int64], int]]]:
    """What hangs together, face to face: FALLEN what stands on the lowest layer, 0 where nothing is."""
    low, high = faces()
    touch = np.ones(form.shape, dtype=bool)
    touch[:, :, 0] = form[:, :, 0] > 0
    touch[:, :, 1:] = (high[2][form[:, :, :-1]] & low[2][form[:, :, 1:]]) > 0
    upright = np.logical_and.accumulate(touch, axis=2)
    at = where((form > 0) & ~upright)
    body = upright.astype(np.int32)
    body[tuple(at.T)] = np.arange(FALLEN + 1, FALLEN + 1 + len(at))
    pairs = []
    for axis in range(3):
        for sign, own, its in ((1, high, low), (-1, low, high)):
            to = at.copy()
            to[:, axis] += sign
            inside = (to[:, axis] >= 0) & (to[:, axis] < form.shape[axis])
            a, b = tuple(at[inside].T), tuple(to[inside].T)
            meets = (own[axis][form[a]] & its[axis][form[b]]) > 0
            pairs.append((body[a][meets], body[b][meets]))
    part, count = joined(pairs, FALLEN + 1 + len(at))
    body = np.where(form > 0, part[body], 0).astype(np.int32)
    own_body = body[tuple(at.T)]
    numbers, first, many = np.unique(own_body, return_index=True, return_counts=True)
    loose = [
        (n, at[k], m)
        for n, k, m in zip(numbers.tolist(), first.tolist(), many.tolist(), strict=True)
        if n != FALLEN
    ]
    return body, count, loose


def joined(pairs: Sequence[tuple[Ints, Ints]], count: int) -> tuple[Ints, int]:
    """Each number's part: 0 stays 0 and 1 stays 1.  And how many there are."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    a, b = (np.concatenate(ends).astype(np.int32) for ends in zip(*pairs, strict=True))
    graph = coo_array((np.ones(len(a), dtype=bool), (a, b)), shape=(count, count))
    many, part = connected_components(graph, directed=False)
    order = np.full(many, -1, dtype=np.int32)
    order[part[0]], order[part[1]] = 0, 1
    rest = np.flatnonzero(order < 0)
    order[rest] = np.arange(2, 2 + len(rest))
    return order[part], 2 + len(rest)


def where(chosen: Masks) -> npt.NDArray[np.int64]:
    """``argwhere``, sooner."""
    return np.stack(np.unravel_index(np.flatnonzero(chosen), chosen.shape), axis=1)
