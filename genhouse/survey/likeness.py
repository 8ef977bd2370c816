"""Likeness of changes: those that move the same things the same way are of one kind.

A change is a point: for each stage whether it differs, and for each figure by how much it moved; what lies
between two moves of figures is the root of its mean square, however many are measured.  Points
are put together by average linkage (R. Sokal and C. Michener, "A statistical method for evaluating
systematic relationships", Univ. Kansas Science Bulletin 38, 1958; here scipy's), up to the distance at
which one of two changes touches a stage that the other does not.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt
from msgspec import Struct

APART = 1.0
"""Farther from each other than this, on the mean, no two groups become one."""
OCTAVES = 8
"""Doublings of a number of cells that weigh as much as a stage."""
MANY = 2000
"""Changes that are put together by all their distances; of more, the rest go to the nearest group."""
Points = npt.NDArray[np.float64]
T = TypeVar("T")


class Change(Struct, frozen=True, kw_only=True):
    """What became of one recipe.  first: the stage where it begins.  stages: all that differ.

    cells: how many more or fewer the stages set, each by itself: as many differ at least.
    figures: name, before, after.  fault: whether it is at fault now and was not before.
    """

    recipe: str
    first: str
    stages: tuple[str, ...]
    cells: int
    figures: tuple[tuple[str, float, float], ...]
    outcome: tuple[str, str]
    fault: bool


def points(changes: Sequence[Change]) -> Points:
    """A row for each change: 1 for a stage that differs; for a figure its move, against the larger of
    both values; cells by doublings."""
    stages = _table([dict.fromkeys(change.stages, 1.0) for change in changes])
    moves = _table([_moves(change) for change in changes])
    return np.hstack((stages, moves / max(moves.shape[1], 1) ** 0.5))


def _table(rows: Sequence[Mapping[str, float]]) -> Points:
    """A column for each name that any row has; 0 where another lacks it."""
    names = sorted({name for row in rows for name in row})
    found = np.array([[row.get(name, 0.0) for name in names] for row in rows])
    return found.reshape(len(rows), len(names))


def _moves(change: Change) -> dict[str, float]:
    return {
        name: _octaves(after - before) / OCTAVES
        if name.startswith("cells_")
        else (after - before) / max(abs(before), abs(after), 1)
        for name, before, after in change.figures
    }


def _octaves(cells: float) -> float:
    return float(np.copysign(np.log2(1 + abs(cells)), cells))


def groups(found: Points) -> list[list[int]]:
    """Rows that are alike, by number: the commonest group first, in each the one in its midst first.

    Raises ImportError where scipy is not installed.

    >>> groups(np.array([[0.0, 0.0], [1.0, 1.0], [0.1, 0.0], [0.0, 0.1]]))
    [[0, 2, 3], [1]]
    """
    from scipy.cluster.hierarchy import fcluster, linkage

    some = found[:MANY]
    if len(some) < 2 or not some.shape[1]:
        return [list(range(len(found)))] if len(found) else []
    number = fcluster(linkage(some, "average"), APART, "distance")
    means = np.array([some[number == n].mean(axis=0) for n in range(1, number.max() + 1)])
    rest = [int(((means - row) ** 2).sum(axis=1).argmin()) + 1 for row in found[MANY:]]
    every = np.concatenate((number, np.array(rest, dtype=number.dtype)))
    alike = [np.flatnonzero(every == n).tolist() for n in range(1, len(means) + 1)]
    return sorted((_midst_first(found, n) for n in alike), key=lambda n: (-len(n), min(n)))


def _midst_first(found: Points, which: list[int]) -> list[int]:
    some = found[which]
    midst = which[int(((some - some.mean(axis=0)) ** 2).sum(axis=1).argmin())]
    return [midst, *(n for n in which if n != midst)]


def alike(changes: Sequence[Change], key: Callable[[Change], Hashable]) -> list[list[Change]]:
    """Changes in groups, none of two keys; without scipy those of one key and the same stages."""
    found = list(_by(changes, key).values())
    try:
        return [[some[n] for n in each] for some in found for each in groups(points(some))]
    except ImportError:
        return [each for some in found for each in _by(some, lambda change: change.stages).values()]


def _by(items: Sequence[T], key: Callable[[T], Any]) -> dict[Any, list[T]]:
    found: dict[Any, list[T]] = {}
    for item in items:
        found.setdefault(key(item), []).append(item)
    return found
