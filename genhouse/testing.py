"""An exam for a way of building: whatever it promises, of every house that one asks of it.

>>> from genhouse.testing import exam
>>> exam("timber", seeds=[7])
()
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import numpy as np

from genhouse.core.axes import opposite
from genhouse.core.errors import InfeasibleError
from genhouse.generate.taken import recipe_of
from genhouse.house import House
from genhouse.model.bounds import LARGEST_PLOT, SMALLEST_PLOT
from genhouse.outputs.pictures.picture import LOOKS
from genhouse.sound import Sound, sound
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.shelf import lend

PLOTS = (SMALLEST_PLOT, (24, 31), (31, 24), LARGEST_PLOT)
Brief = Mapping[str, Any]


def exam(
    tradition: str | Mapping[str, Any],
    seeds: Iterable[int] = range(4),
    plots: Iterable[tuple[int, int]] = PLOTS,
) -> tuple[str, ...]:
    """A sentence for each fault of a tradition; none where it passes.

    tradition: a name on the shelf, or the tables of one that is on none.  seeds: of houses of each
    number of storeys, on plots that they draw.  plots: one house on each.  Each is inspected, turned
    and mirrored; the first is drawn and written.  Raises TraditionError where its tables are refused.
    """
    name = tradition if isinstance(tradition, str) else lend(tradition)
    load_tradition(name)
    briefs: list[tuple[int, Brief]] = [
        (seed, {"storeys": storeys}) for seed in seeds for storeys in (1, 2)
    ]
    briefs += [(n, {"plot": plot}) for n, plot in enumerate(plots)]
    found: list[str] = []
    for n, (seed, brief) in enumerate(briefs):
        said = f"seed {seed}, " + ", ".join(f"{key} {value}" for key, value in brief.items())
        faults = _faults(seed, {"tradition": name, **brief}, whole=n == 0)
        found += [f"{said}: {fault}" for fault in faults]
    return tuple(found)


def _faults(seed: int, brief: Brief, *, whole: bool) -> Iterator[str]:
    made = _made(seed, brief)
    if isinstance(made, str):
        if "no sound house" in made:
            yield made
        elif _made(seed, {**brief, "mirror": True}) != made:
            yield f"the same mirrored is not refused as this is: {made}"
        return
    yield from (f"drawn anew: {fault}" for fault in made.faults)
    yield from _like(seed, brief, made)
    if whole:
        yield from _shown(House(made.plan, made.voxels, _report=made.report))


def _made(seed: int, brief: Brief) -> Sound | str:
    """The house, or why there is none."""
    try:
        return sound(recipe_of(seed, brief, {}))
    except InfeasibleError as error:
        return str(error)


def _like(seed: int, brief: Brief, made: Sound) -> Iterator[str]:
    """What differs in the house when it is asked for mirrored, and turned by a half."""
    there = {"plot": made.plan.plot, "gate": opposite(made.plan.gate_side)}
    asked: tuple[tuple[str, Brief], ...] = (("mirrored", {"mirror": True}), ("turned", there))
    for word, change in asked:
        other = _made(seed, {**brief, **change})
        if isinstance(other, str):
            yield f"{word}, it is refused: {other}"
        elif _made_of(other) != _made_of(made):
            yield f"{word}, it is made of other pieces"


def _made_of(made: Sound) -> Counter[tuple[str, str]]:
    """Cells by stage and material: what lies near in one house lies far in another."""
    cells: Counter[tuple[str, str]] = Counter()
    for line in House(made.plan, made.voxels).bill():
        cells[line.stage, line.material] += line.count
    return cells


def _shown(house: House) -> Iterator[str]:
    """What is amiss in its pictures, its bill and its files."""
    for kind in LOOKS:
        if len(np.unique(np.asarray(house.picture(kind).convert("L")))) < 16:
            yield f"its picture {kind} shows next to nothing"
    if sum(line.count for line in house.bill()) != int((house.voxels.form > 0).sum()):
        yield "its bill is not of all its cells"
    for name, data in house.files().items():
        if not data:
            yield f"its file {name} is empty"
