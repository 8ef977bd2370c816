"""An exam for a way of building: whatever it promises, of every house that one asks of it.

>>> import genhouse
>>> from genhouse.testing import exam
>>> exam(genhouse.Brief().tradition, seeds=[7], plots=[], claims=False)
()
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import numpy as np

from genhouse.core.axes import opposite
from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.core.forms import FORMS, NUMBER, SUB
from genhouse.generate.taken import recipe_of
from genhouse.house import House
from genhouse.model.bounds import LARGEST_PLOT, SMALLEST_PLOT
from genhouse.model.roof import RIDGED
from genhouse.outputs.pictures.picture import LOOKS
from genhouse.sound import Sound, sound
from genhouse.traditions.lent import take_in
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.plan import PlanRule
from genhouse.traditions.shelf import file_of, lend
from genhouse.traditions.tradition import Fitting, Tradition

PLOTS = (SMALLEST_PLOT, (24, 31), (31, 24), LARGEST_PLOT)
TRIES = 8
"""Seeds of which one has to have a house with what a tradition claims."""
UNSOUND = "no sound house"
"""What is said where a house was designed, and never as it should be."""
Brief = Mapping[str, Any]


def exam(
    tradition: str | Path | Mapping[str, Any],
    seeds: Iterable[int] = range(4),
    plots: Iterable[tuple[int, int]] = PLOTS,
    *,
    claims: bool = True,
    trust: bool = False,
) -> tuple[str, ...]:
    """A sentence for each fault of a tradition, with its file and key; none where it passes.

    tradition: a name on the shelf, a folder, or the tables of one that is in none.  seeds: of houses of
    each number of storeys, on plots that they draw.  plots: one house on each.  Each is inspected, turned
    and mirrored; the first in each palette is drawn, written, and built step by step.  claims: whether
    there has to be a house with all that its tables name, too.  trust: whether its own trades may run.
    Raises BriefError and TraditionError where its tables are refused.
    """
    known = load_tradition(_named(tradition, trust))
    asked: list[tuple[int, Brief]] = [
        (seed, {"storeys": n}) for seed in seeds for n in _drawn(known.plan.storeys)
    ]
    asked += [(n, {"plot": plot}) for n, plot in enumerate(plots)]
    found = [*_of_fittings(known)]
    for n, (seed, brief) in enumerate(asked):
        said = f"seed {seed}, " + ", ".join(f"{key} {value}" for key, value in brief.items())
        faults = _faults(seed, {"tradition": known.name, **brief}, whole=n == 0)
        found += [f"{said}: {fault}" for fault in faults]
    found += _unmet(known) if claims else ()
    return tuple(found)


def _named(tradition: str | Path | Mapping[str, Any], trust: bool) -> str:
    """The name under which it is on the shelf from now on."""
    if isinstance(tradition, Mapping):
        return lend(tradition)
    return take_in(tradition, trust=trust) if isinstance(tradition, Path) else tradition


def _drawn(weights: tuple[int, ...]) -> tuple[int, ...]:
    """What of one, two, three is ever drawn; of two sooner than of one."""
    return tuple(n for n, weight in enumerate(weights, 1) if weight)[:2]


def _of_fittings(tradition: Tradition) -> Iterator[str]:
    """What falls to pieces as it is drawn, and what no room could ever have."""
    for name, fitting in tradition.fittings:
        if not _stands(fitting):
            yield _at(tradition, f"fitting.{name}.layers", "its pieces do not hang together")
    for name, kind in tradition.kinds:
        if not (kind.fittings or kind.sets):
            yield _at(tradition, f"kind.{name}.fittings", "it has none, so that no two tell apart")


def _stands(fitting: Fitting) -> bool:
    """Whether all its pieces hang together with the floor, face to face."""
    import cc3d

    width, depth = fitting.size
    solid = np.zeros((SUB * width, SUB * depth, 1 + SUB * fitting.height), dtype=np.uint8)
    solid[:, :, 0] = 1
    for x, y, z, _, form in fitting.pieces:
        at = np.s_[
            SUB * x : SUB * (x + 1), SUB * y : SUB * (y + 1), 1 + SUB * z : 1 + SUB * (z + 1)
        ]
        solid[at] = FORMS[NUMBER[form]].shape
    return int(cc3d.connected_components(solid, connectivity=6).max()) == 1


def _at(tradition: Tradition, key: str, words: str) -> str:
    """A fault by its file and its key."""
    return f"{file_of(tradition.name, key)}: {key}: {words}"


def _unmet(tradition: Tradition) -> Iterator[str]:
    """What it claims, and no house has."""
    for key, brief in _claims(tradition):
        refusals = []
        for seed in range(TRIES):
            try:
                made = _made(seed, {"tradition": tradition.name, **brief})
            except BriefError as error:
                made = str(error)
            if isinstance(made, Sound):
                break
            refusals.append(made)
            if UNSOUND in made:
                yield _at(tradition, key, made)
                break
        else:
            yield _at(tradition, key, f"no house of {TRIES} seeds has it; the first: {refusals[0]}")


def _claims(tradition: Tradition) -> Iterator[tuple[str, Brief]]:
    """Each thing that its tables name, and the brief that asks for it."""
    yield from _of_plan(tradition.plan)
    for name, _ in tradition.colours:
        yield f"palette.{name}", {"palette": name}
    ridged = {form for form, _ in tradition.roof.forms} & {*RIDGED}
    for profile in tradition.roof.profiles if ridged else ():
        yield "roof.profiles", {"roof": {"profile": profile.name}}
    for form, _ in tradition.roof.forms:
        yield "roof.forms", {"roof": {"form": form}}
    for name, _ in tradition.trades:
        yield f"trade.{name}", {"trade": name}
    if tradition.household.sleep:
        yield "household.sleep", {"people": 3}
    most = len(tradition.plan.storeys)
    for name, kind in tradition.kinds:
        if kind.level <= most and (most > 1 or not kind.climbs):
            yield f"kind.{name}", {"rooms": [{"kind": name}]}


def _of_plan(plan: PlanRule) -> Iterator[tuple[str, Brief]]:
    for key in ("storeys", "courts"):
        yield from ((f"plan.{key}", {key: n}) for n in range(1, len(getattr(plan, key)) + 1))
    for key, table in (("arrangement", plan.arrangements), ("garden", plan.gardens)):
        yield from ((f"plan.{key}s.{name}", {key: name}) for name, _ in table)
    yield from ((f"plan.gates.{side}", {"gate": side}) for side, _ in plan.gates)
    yield from (("plan.outlines", {"outline": name}) for name in plan.outlines)
    if plan.neighbours:
        yield "plan.neighbours", {"sides": {"west": "party"}}
    if plan.gallery[0]:
        yield "plan.gallery", {"gallery": True}
    if plan.service[0] and len(plan.courts) > 1:
        yield "plan.service", {"service": True}


def _faults(seed: int, brief: Brief, *, whole: bool) -> Iterator[str]:
    made = _made(seed, brief)
    if isinstance(made, str):
        if UNSOUND in made:
            yield made
        elif _made(seed, {**brief, "mirror": True}) != made:
            yield f"the same mirrored is not refused as this is: {made}"
        return
    yield from (f"drawn anew: {fault}" for fault in made.faults)
    yield from _like(seed, brief, made)
    if whole:
        for palette, _ in load_tradition(brief["tradition"]).colours:
            other = _made(seed, {**brief, "palette": palette})
            if isinstance(other, Sound):
                yield from (f"palette {palette}: {fault}" for fault in _shown(_house(other)))
        yield from _written(_house(made))


def _house(made: Sound) -> House:
    return House(made.plan, made.voxels, _report=made.report)


def _made(seed: int, brief: Brief) -> Sound | str:
    """The house, or why there is none."""
    try:
        return sound(recipe_of(seed, brief, {}))
    except InfeasibleError as error:
        return str(error)


def _like(seed: int, brief: Brief, made: Sound) -> Iterator[str]:
    """What differs in the house when it is asked for mirrored, and on its own plot turned by a half."""
    plot, gate = made.plan.plot, made.plan.gate_side
    there = _made(seed, {**brief, "plot": plot, "gate": gate})
    turned = {**brief, "plot": plot, "gate": opposite(gate)}
    asked = (("mirrored", made, {**brief, "mirror": True}), ("turned", there, turned))
    for word, one, change in asked:
        other = _made(seed, change)
        if isinstance(one, str) or isinstance(other, str):
            if one != other:
                yield f"{word}, it is refused: {other if isinstance(other, str) else one}"
        elif _made_of(other) != _made_of(one):
            yield f"{word}, it is made of other pieces"


def _made_of(made: Sound) -> Counter[tuple[str, str]]:
    """Cells by stage and material: what lies near in one house lies far in another."""
    cells: Counter[tuple[str, str]] = Counter()
    for line in House(made.plan, made.voxels).bill():
        cells[line.stage, line.material] += line.count
    return cells


def _shown(house: House) -> Iterator[str]:
    """What is amiss in its pictures and its bill."""
    for kind in LOOKS:
        if len(np.unique(np.asarray(house.picture(kind).convert("L")))) < 16:
            yield f"its picture {kind} shows next to nothing"
    if sum(line.count for line in house.bill()) != int((house.voxels.form > 0).sum()):
        yield "its bill is not of all its cells"


def _written(house: House) -> Iterator[str]:
    """What is amiss in its files: none empty, and in its steps each cell that stands set once."""
    files = house.files()
    yield from (f"its file {name} is empty" for name, data in files.items() if not data)
    rows = csv.DictReader(io.StringIO(files["steps.csv"].decode()))
    laid = sum(int(row["run"]) for row in rows if not row["support"])
    if laid != int((house.voxels.form > 0).sum()):
        yield "its steps do not set all its cells"
