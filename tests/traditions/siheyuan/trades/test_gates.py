"""Gates of the siheyuan: what stands before the door, and under its piers."""

from __future__ import annotations

import pytest

from tests.traditions.siheyuan.houses import SEEDS, house


@pytest.mark.parametrize("seed", SEEDS)
def test_a_drum_stone_stands_on_its_foot_at_either_side_of_the_gate(seed: int) -> None:
    design = house(seed)
    drums = [part.box for part in design.parts if part.form == "barrel" and part.stage == "screens"]
    (gate,) = (w for w in design.segments if w.opening == "entrance" and w.floor == w.z0)
    assert gate.way is not None
    assert gate.way.area == 2, "two leaves"
    ends = {gate.way.x0 - 1, gate.way.x1}
    assert {box.x0 for box in drums} == ends
    feet = {(p.box.x0, p.box.y0, p.box.z1) for p in design.parts if p.role == "drum-stone"}
    assert all((box.x0, box.y0, box.z0) in feet for box in drums)


@pytest.mark.parametrize("seed", SEEDS)
def test_piers_of_brick_stand_on_stone(seed: int) -> None:
    design = house(seed)
    stone = {
        (x, y, part.box.z1)
        for part in design.parts
        if part.role == "plinth"
        for x, y in part.box.rect.cells()
    }
    piers = [part.box for part in design.parts if part.role == "pier" and part.stage == "frame"]
    assert piers
    assert all((box.x0, box.y0, box.z0) in stone for box in piers)
