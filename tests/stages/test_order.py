"""The stages together: what a stage's own seed moves, and that turned plots give turned houses."""

from __future__ import annotations

import hashlib

import numpy as np
import pytest

from genhouse.core.axes import SIDES, Turn
from genhouse.core.errors import BriefError
from genhouse.house import House, make
from genhouse.model.brief import SETTLED, STAGE_NAMES, Brief, Recipe
from genhouse.model.part import STAGES
from tests.houses import fine

PLAN = {"bays": "frame", "rooms": "frame"}
"""Stages that set no cells: the first whose cells show what they decide."""


def by_stage(house: House) -> dict[str, str]:
    """A digest of the cells of each stage, made here: where they are and what they hold."""
    v = house.voxels
    found = {}
    for number, name in enumerate(v.about.stages):
        here = v.stage == number
        held = np.concatenate(
            [np.argwhere(here), np.stack([v.material[here], v.form[here]], axis=1)], axis=1
        )
        found[name] = hashlib.sha256(held.astype("<u4").tobytes()).hexdigest()
    return {name: found[name] for name in STAGES}


def reseeded(seed: int, stage: str, new: int) -> House:
    return make(Recipe(seed=seed, stage_seeds=((stage, new),)))


@pytest.mark.parametrize("stage", STAGE_NAMES)
@pytest.mark.parametrize("seed", [3, 11])
def test_a_seed_of_its_own_leaves_every_stage_before_as_it_was(seed: int, stage: str) -> None:
    before = by_stage(make(Recipe(seed=seed)))
    after = by_stage(reseeded(seed, stage, seed + 100))
    first = STAGES.index(PLAN.get(stage, stage))
    for name in STAGES[:first]:
        assert after[name] == before[name], f"{stage} moved {name}"


@pytest.mark.parametrize("stage", STAGE_NAMES)
def test_a_seed_of_its_own_is_seen(stage: str) -> None:
    """A name that is taken can change something: there is a house that it changes."""
    name = PLAN.get(stage, stage)
    assert any(
        by_stage(make(Recipe(seed=seed)))[name] != by_stage(reseeded(seed, stage, new))[name]
        for seed in (3, 5, 8)
        for new in range(100, 105)
    )


@pytest.mark.parametrize("stage", sorted(SETTLED))
def test_a_stage_that_draws_nothing_takes_no_seed(stage: str) -> None:
    assert stage in STAGES
    with pytest.raises(BriefError, match=f"{stage} draws nothing of its own.*try rooms"):
        reseeded(3, stage, 100)


def test_what_draws_nothing_follows_from_what_it_is_said_to() -> None:
    """With all seeds up to that stage kept and the rest new, its cells stay to the byte."""
    new = tuple((name, 77) for name in STAGE_NAMES[STAGE_NAMES.index("rooms") + 1 :])
    before, after = by_stage(make(Recipe(seed=3))), by_stage(make(Recipe(seed=3, stage_seeds=new)))
    assert {name: before[name] for name in SETTLED} == {name: after[name] for name in SETTLED}
    assert set(STAGES) == {*SETTLED, *STAGE_NAMES} - set(PLAN)


@pytest.mark.parametrize("stage", ["fittings", "lamps", "court", "mats"])
def test_what_does_not_build_on_a_stage_stays_too(stage: str) -> None:
    """Mats stand apart; boards to sit on are let out over a garden; lamps look at all that stands."""
    before, after = by_stage(make(Recipe(seed=8))), by_stage(reseeded(8, stage, 99))
    moved = {name for name in STAGES if before[name] != after[name]}
    after_it = {"court": {"fittings", "lamps"}, "fittings": {"lamps"}}
    assert moved <= {stage} | after_it.get(stage, set())


def test_the_houses_own_seed_given_to_every_stage_changes_nothing() -> None:
    every = tuple(sorted((name, 6) for name in STAGE_NAMES))
    one, other = make(Recipe(seed=6)), make(Recipe(seed=6, stage_seeds=every))
    assert by_stage(one) == by_stage(other)


@pytest.mark.parametrize("mirror", [False, True], ids=["plain", "mirrored"])
@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize(("seed", "local"), [(7, (23, 32)), (2, (27, 33))])
def test_a_turned_plot_gives_the_turned_house(
    seed: int, local: tuple[int, int], side: str, mirror: bool
) -> None:
    """Cell for cell, and at sub-cells, where numpy turns the forms; the local frame's gate is south."""
    plain = make(Recipe(seed=seed, brief=Brief(plot=local, gate="south")))
    quarters = (SIDES.index(side) - SIDES.index("south")) % 4  # type: ignore[arg-type]
    turn = Turn(*local, quarters, mirror)
    brief = Brief(plot=turn.size, gate=side, mirror=mirror)  # type: ignore[arg-type]
    turned = make(Recipe(seed=seed, brief=brief))
    a, b = plain.voxels, turned.voxels
    for name in ("material", "stage", "room"):
        assert np.array_equal(turn.array(getattr(a, name)), getattr(b, name)), name
    assert np.array_equal(_numpy_turn(fine(a), quarters, mirror), fine(b))
    x, y, z4 = a.about.gate
    assert b.about.gate == (*turn.cell(x, y, 0)[:2], z4)
    assert (a.about.rooms, a.about.eaves) == (b.about.rooms, b.about.eaves)
    assert turned.plan.gate_side == side
    assert tuple(r.turned(turn) for r in plain.plan.rooms) == turned.plan.rooms
    assert tuple(s.turned(turn) for s in plain.plan.segments) == turned.plan.segments


def _numpy_turn(cells: np.ndarray, quarters: int, mirror: bool) -> np.ndarray:
    return np.rot90(cells[::-1] if mirror else cells, quarters, axes=(0, 1))
