"""Light: the hut with a lamp, without one, and with its lamp behind a chest."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from genhouse.core.forms import NUMBER
from genhouse.house import make
from genhouse.inspection.access import walk
from genhouse.inspection.light import light
from genhouse.inspection.subcells import subcells
from genhouse.inspection.verdict import Verdict
from genhouse.model.brief import Recipe
from genhouse.model.voxels import MaterialEntry, Voxels
from tests.inspection.blocks import FLOOR, Hut

LUMENS = 1000
LAMP = MaterialEntry(name="flame", colour="#ffcc66", clear=True, lumens=LUMENS)


def with_lamp(hut: Hut, *cells: tuple[int, int, int], form: str = "hanging lamp") -> Voxels:
    """The hut with lamps in some cells."""
    v = hut.voxels()
    material, shape, stage = v.material.copy(), v.form.copy(), v.stage.copy()
    for cell in cells:
        material[cell], shape[cell] = len(v.about.materials), NUMBER[form]
        stage[cell] = v.about.stages.index("fittings")
    about = replace(v.about, materials=(*v.about.materials, LAMP))
    return replace(v, material=material, form=shape, stage=stage, about=about)


def judged(voxels: Voxels, least: int) -> Verdict:
    return light(voxels, walk(voxels, subcells(voxels)), least)


def test_a_hut_without_a_lamp_is_dark() -> None:
    verdict = judged(Hut().voxels(), 1)
    assert not verdict.kept
    (finding,) = verdict.findings
    assert finding.check == "light"
    assert finding.count == 9
    assert all(z == FLOOR for _, _, z in finding.where)
    assert "0.0 lux" in finding.sentence


def test_the_darkest_corner_decides() -> None:
    """By hand: I = 1000 / 4 pi = 79.58 cd, from (3.5, 3.5, 3.625) to (2.5, 2.5, 1): h 2.625,
    d^2 8.890625, E = 79.58 * 2.625 / 26.510 = 7.88 lux."""
    v = with_lamp(Hut(), (3, 3, 3))
    assert "the darkest with 7.9 lux" in judged(v, 7).evidence
    assert judged(v, 7).kept
    dark = judged(v, 8)
    assert [f.count for f in dark.findings] == [4]
    assert set(dark.findings[0].where) == {(x, y, FLOOR) for x in (2, 4) for y in (2, 4)}


def test_a_chest_throws_a_shadow() -> None:
    """A chest two high in the middle, a lamp in the corner: three cells lie behind it.

    Straight behind, and the two whose rays cut half of it, at 2.3 over the ground of its 3.
    """
    hut = Hut()
    hut.set(np.s_[3, 3, FLOOR : FLOOR + 2], stage="fittings")
    verdict = judged(with_lamp(hut, (2, 2, 3)), 1)
    assert [f.where for f in verdict.findings] == [((3, 4, FLOOR), (4, 3, FLOOR), (4, 4, FLOOR))]


def test_what_nobody_reaches_may_be_dark() -> None:
    hut = Hut()
    hut.set(np.s_[3, 1, 1:3], "plaster", stage="walls")
    assert judged(hut.voxels(), 1).kept


def test_outdoors_may_be_dark() -> None:
    hut = Hut()
    hut.hall(indoor=False)
    assert judged(hut.voxels(), 1).kept


def test_light_comes_through_what_is_clear_from_beside() -> None:
    """A lamp outside lights the floor where the wall is clear, and not where it is not."""
    hut = Hut()
    hut.set(np.s_[1, 2:5, 1:4], "water", stage="walls")
    v = with_lamp(hut, (0, 3, 3))
    shut = judged(v, 1)
    materials = tuple(replace(m, clear=m.name == "water") for m in v.about.materials[:-1])
    clear = judged(replace(v, about=replace(v.about, materials=(*materials, LAMP))), 1)
    assert sum(f.count for f in clear.findings) < sum(f.count for f in shut.findings) == 9


@pytest.mark.parametrize("seed", range(3))
def test_a_house_goes_dark_when_its_lamps_go(seed: int) -> None:
    """Each room that has no fire of its own is named."""
    v = make(Recipe(seed=seed)).voxels
    out = tuple(replace(m, lumens=0) for m in v.about.materials)
    verdict = judged(replace(v, about=replace(v.about, materials=out)), 1)
    rooms = [r for r in v.about.rooms if r.indoor and r.walkable]
    assert len(verdict.findings) == len(rooms)
