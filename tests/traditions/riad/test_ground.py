"""Riads between neighbours, and on plots with stepped edges."""

from __future__ import annotations

from functools import lru_cache

import pytest

from genhouse.core.axes import STEP
from genhouse.core.draw import Draw
from genhouse.core.region import bounded
from genhouse.model.brief import Brief, Recipe, Sides
from genhouse.sound import Sound, sound
from tests.outlines import corners

BETWEEN = Sides(east="party", west="party")
CLOSED = Sides(east="party", north="party", west="party")
NARROW = (21, 36)
"""A plot whose court has walks a single cell deep on two sides."""


@lru_cache(maxsize=8)
def made(seed: int, plot: tuple[int, int], sides: Sides) -> Sound:
    return sound(Recipe(seed=seed, brief=Brief(tradition="riad", plot=plot, sides=sides)))


@pytest.mark.parametrize("sides", [BETWEEN, CLOSED], ids=["two", "three"])
@pytest.mark.parametrize("seed", range(3, 6))
def test_between_neighbours_roofs_stay_flat_and_the_first_draw_is_sound(
    seed: int, sides: Sides
) -> None:
    """Roofs are flat and walled about (field notes 2.5), on the side of a neighbour too: so a terrace is
    reached from the rooms beside it, level with its deck."""
    found = made(seed, (25, 40), sides)
    assert found.faults == ()
    assert {cover.form for cover in found.plan.covers} == {"flat"}


@pytest.mark.parametrize("seed", range(4))
def test_no_two_spouts_meet_over_a_narrow_garden(seed: int) -> None:
    found = made(seed, NARROW, Sides())
    assert found.faults == ()
    lips = {p.box for p in found.plan.parts if p.form.startswith("bar ") and p.stage == "roof"}
    gardens = [room.rect for room in found.plan.rooms if room.kind == "court"]
    for lip in lips:
        garden = next(g for g in gardens if g.meets(lip.rect))
        assert (garden.width if lip.x0 in (garden.x0, garden.x1 - 1) else garden.depth) > 3


@pytest.mark.parametrize("seed", range(8))
def test_one_can_stand_at_the_gate_of_a_plot_with_stepped_edges(seed: int) -> None:
    """The edge of the plot goes on to both sides of the gate: a wall with a gate can stand there."""
    brief = Brief(tradition="riad", outline="stepped" if seed % 2 else _wide(seed))
    found = sound(Recipe(seed=seed, brief=brief))
    assert "nobody can stand at the gate" not in found.faults
    assert not any("claims cell" in fault for fault in found.faults)
    land = bounded(found.plan.outline)
    (x, y, _), (dx, dy) = found.plan.gate, STEP[found.plan.gate_side]
    assert land.has(x, y)
    assert not land.has(x + dx, y + dy)
    assert land.has(x + dy, y + dx)
    assert land.has(x - dy, y - dx)


def _wide(seed: int) -> tuple[tuple[int, int], ...]:
    """A random outline on which such a house stands."""
    some = (corners(Draw(n).at("outline")) for n in range(100 * seed, 100 * seed + 100))
    return next(outline for outline in some if len(bounded(outline).parts) == 2)
