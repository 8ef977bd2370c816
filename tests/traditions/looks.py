"""What one sees of a house from outside, in a few numbers: colours, roofs, openings.

    python -m tests.traditions.looks 0:40      how many houses are told apart, and which for which

As simple as can be on purpose: whoever tells traditions apart by this needs no eye for them.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable, Sequence

import numpy as np
import numpy.typing as npt

from genhouse.core.errors import GenhouseError
from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe
from genhouse.traditions.shelf import names

Numbers = npt.NDArray[np.float64]
STEPS = 4
"""Steps of each of red, green and blue."""
LEAST = 0.05
"""Of a spread: what all houses of a few have alike tells less than it seems to."""
FACES = ((0, 1), (0, -1), (1, 1), (1, -1))
"""Axis and direction in which one looks at a side."""


def look(house: House) -> Numbers:
    """Colours seen from above and from the sides, shape of the roof, and forms that stand in openings."""
    return np.concatenate([_colours(house), _roof(house), _openings(house)])


def _seen(house: House, axis: int, way: int) -> tuple[Numbers, ...]:
    """Indices of the first solid cell along each line of sight that meets the house itself."""
    solid = (house.voxels.form > 0) & house_cells(house)
    line = np.flip(solid, axis) if way < 0 else solid
    hit = line.any(axis=axis)
    first = np.argmax(line, axis=axis)
    if way < 0:
        first = solid.shape[axis] - 1 - first
    where = [*np.nonzero(hit)]
    where.insert(axis, first[hit])
    return tuple(where)


def house_cells(house: House) -> npt.NDArray[np.bool_]:
    """Cells of frame, walls, screens and roof: not the ground, nor what grows."""
    stages = house.voxels.about.stages
    kept = [n for n, name in enumerate(stages) if name in ("frame", "walls", "screens", "roof")]
    return np.isin(house.voxels.stage, kept)


def _colours(house: House) -> Numbers:
    """float64 [2 * STEPS ** 3]: roots of the shares of colours seen from above, then from all sides: these
    lie as far apart as E. Hellinger measures it (J. reine angew. Math. 136, 1909)."""
    table = np.array(
        [[int(m.colour[k : k + 2], 16) for k in (1, 3, 5)] for m in house.voxels.about.materials]
    )
    number = (table * STEPS // 256) @ (STEPS * STEPS, STEPS, 1)
    found = []
    for views in (((2, -1),), FACES):
        seen = np.concatenate(
            [number[house.voxels.material[_seen(house, axis, way)]] for axis, way in views]
        )
        found.append(np.sqrt(np.bincount(seen, minlength=STEPS**3) / max(1, seen.size)))
    return np.concatenate(found)


def _roof(house: House) -> Numbers:
    """How far the roof rises over its foot by its breadth, how much of it is level, how wide it reaches."""
    stage = house.voxels.about.stages.index("roof")
    roof = (house.voxels.stage == stage) & (house.voxels.form > 0)
    high = roof.shape[2] - 1 - np.argmax(roof[:, :, ::-1], axis=2)
    top = np.where(roof.any(axis=2), high, -1)
    over = top[top >= 0]
    if not over.size:
        return np.zeros(3)
    pairs = [(top[1:], top[:-1]), (top[:, 1:], top[:, :-1])]
    steps = [(a - b)[(a >= 0) & (b >= 0)] for a, b in pairs]
    level = np.concatenate([step == 0 for step in steps]).mean()
    wide = min(min(w.width, w.depth) for w in house.plan.wings)
    return np.array([(over.max() - over.min()) / wide / 2, level, over.size / top.size])


def _openings(house: House) -> Numbers:
    """Of walls seen from outside: how much lets light through, how much is a leaf, how much is open."""
    about = house.voxels.about
    clear = np.array([bool(m.clear) for m in about.materials])
    leaf = np.array([bool(m.passable) for m in about.materials])
    seen = np.concatenate([house.voxels.material[_seen(house, a, w)] for a, w in FACES])
    walls = [s for s in house.plan.segments if s.boundary in ("outer", "court")]
    ways = Counter(s.opening for s in walls)
    total = max(1, len(walls))
    return np.array(
        [
            clear[seen].mean(),
            leaf[seen].mean(),
            *(ways[kind] / total for kind in ("window", "screens", "passage", "")),
        ]
    )


class Nearest:
    """The nearest house that one knows, each number by how it spreads within the kinds.

    T. M. Cover and P. E. Hart, Nearest neighbor pattern classification (IEEE Trans. Inf. Theory 13, 1967).
    """

    def __init__(self, looks: Sequence[Numbers], kinds: Sequence[str]) -> None:
        self.kinds, self.table = list(kinds), np.array(looks)
        labels = np.array(kinds)
        spread = [self.table[labels == kind].var(axis=0) for kind in sorted(set(kinds))]
        self.scale = np.sqrt(np.mean(spread, axis=0)) + LEAST

    def tell(self, one: Numbers) -> str:
        off = (((one - self.table) / self.scale) ** 2).sum(axis=1)
        return self.kinds[int(off.argmin())]


def houses(name: str, seeds: Iterable[int]) -> list[House]:
    found = []
    for seed in seeds:
        try:
            found.append(make(Recipe(seed=seed, brief=Brief(tradition=name))))
        except GenhouseError:
            continue
    return found


def told(seeds: Sequence[int]) -> Counter[tuple[str, str]]:
    """Which tradition is taken for which: the first half of the seeds to learn from, the others to tell."""
    half = len(seeds) // 2
    known = [(look(h), name) for name in names() for h in houses(name, seeds[:half])]
    nearest = Nearest([one for one, _ in known], [name for _, name in known])
    return Counter(
        (name, nearest.tell(look(h))) for name in names() for h in houses(name, seeds[half:])
    )


if __name__ == "__main__":
    first, end = map(int, sys.argv[1].split(":"))
    result = told(range(first, end))
    right = sum(n for (one, other), n in result.items() if one == other)
    print(f"{right} of {result.total()} told")
    for (one, other), count in sorted(result.items()):
        print(f"{one:>10} taken for {other:<10} {count}")
