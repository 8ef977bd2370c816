"""Posts, piers and columns: what stands by itself between bays, told by height."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from itertools import groupby

import numpy as np

from genhouse.core.spoken import listed, some
from genhouse.outputs.even.work import Done
from genhouse.outputs.sheets.letters import letters_of

Cell = tuple[int, int]


def told_columns(done: Done, within: Collection[Cell]) -> Iterator[str]:
    """Sentences that tell of each column once, the commonest kind first; none where no two are alike.

    within: cells that are told of otherwise.
    """
    kinds: dict[bytes, list[Cell]] = {}
    for x, y in np.argwhere(done.kinds.any(axis=2)).tolist():
        if (x, y) not in within:
            kinds.setdefault(done.kinds[x, y].tobytes(), []).append((x, y))
    ranked = sorted(kinds.values(), key=lambda cells: (-len(cells), cells))
    if ranked and len(ranked[0]) > 1:
        for cells in ranked:
            yield f"{_built(done, cells[0])}: {_rows(cells)}{_count(cells)}."


def _count(cells: list[Cell]) -> str:
    return f", {len(cells)} in all" if len(cells) > 2 else ""


def _rows(cells: list[Cell]) -> str:
    """Row by row."""
    rows = groupby(sorted(cells, key=lambda c: (c[1], c[0])), key=lambda c: c[1])
    return "; ".join(
        f"in row {y + 1} at {listed(letters_of(x) for x, _ in row)}" for y, row in rows
    )


def _built(done: Done, cell: Cell) -> str:
    """How high a column is, and of what where it is of more than one kind of piece."""
    (_, low, count), *more = runs = tuple(upward(done.kinds[cell].tolist()))
    if not more:
        return f"{some(count, 'cell').capitalize()} high, from layer {done.layer(low)}"
    return f"From the foot up, {listed(told_upward(done, runs))}"


def upward(column: Iterable[int]) -> Iterator[tuple[int, int, int]]:
    """Equal pieces one upon the other: their kind, z of the lowest and how many they are."""
    z = 0
    for kind, run in groupby(column):
        count = len(list(run))
        if kind:
            yield kind, z, count
        z += count


def told_upward(done: Done, runs: Iterable[tuple[int, int, int]]) -> Iterator[str]:
    before = 0
    for kind, z, count in runs:
        low, high = done.layer(z), done.layer(z + count - 1)
        where = f"layer {low}" if low == high else f"layers {low} to {high}"
        yield f"{done.piece(kind, before)} in {where}"
        before = kind
