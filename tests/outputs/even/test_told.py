"""What a guide says of even work, done as it says by a reader from outside."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from genhouse.core.draw import Draw
from genhouse.core.errors import GenhouseError
from genhouse.house import House, make
from genhouse.model.brief import Brief, Ground, Recipe
from genhouse.outputs.document.document import document
from genhouse.outputs.even.told import even
from genhouse.outputs.setting_out import heights
from genhouse.outputs.steps.steps import building_steps
from genhouse.outputs.steps.table import steps_csv
from genhouse.traditions.shelf import names
from tests.outlines import corners
from tests.outside.repeats import Astray, astray
from tests.outside.steps import pieces
from tests.replay import as_said

SEED = 40123
SPOILT = (
    (", and repeat it for ", ", and repeat it for A to B, "),
    (" bays between ", " bays between A and "),
    ("the four bays", "the five bays"),
    (": row ", ": row 9"),
    (" lay ", " lay A1 to B1; "),
    (
        ", from the eaves up: row ",
        ", from the eaves up: row 1 from A to C, rush mat in layer 1; row ",
    ),
    ("; other pieces at ", "; other pieces at A1, "),
    (" higher", " lower"),
    ("Six cells high", "Five cells high"),
    (" at ", " at A, "),
)
"""What stands in some sentence, and what makes it untrue: a place too far, an exception that is none,
a course that is not as told, a height."""


@pytest.mark.parametrize("tradition", names())
def test_what_repeats_is_the_same_and_what_is_excepted_differs(
    tradition: str, tmp_path: Path
) -> None:
    house = make(Recipe(seed=SEED, brief=Brief(tradition=tradition)))
    steps = building_steps(house.plan, house.voxels)
    assert as_said(house, steps, tmp_path) == ()
    said = even(house.plan, house.voxels, steps, heights(house.plan).ground)
    told = {step.stage for step, lines in zip(steps.steps, said, strict=True) if lines}
    assert {"frame", "walls", "roof"} <= told
    assert ("mats" in told) == any(step.stage == "mats" for step in steps.steps)


@pytest.mark.parametrize("seed", [SEED, SEED + 1])
def test_so_it_is_on_ground_of_any_outline_and_where_it_falls(seed: int, tmp_path: Path) -> None:
    outline = Brief(outline=corners(Draw(seed).at("outline")))
    falls = Brief(ground=Ground(northwest=2, northeast=2))
    made = 0
    for brief in (outline, falls):
        try:
            house = make(Recipe(seed=seed, brief=brief))
        except GenhouseError:
            continue
        made += 1
        assert as_said(house, building_steps(house.plan, house.voxels), tmp_path) == ()
    assert made


def test_a_reader_is_told_where_a_sentence_is_wrong(tmp_path: Path) -> None:
    """A place too far, a bay left out, an exception that is none, a course that is not as told."""
    house = make(Recipe(seed=SEED))
    steps = building_steps(house.plan, house.voxels)
    said = even(house.plan, house.voxels, steps, heights(house.plan).ground)
    told = [(s.number, line) for s, lines in zip(steps.steps, said, strict=True) for line in lines]
    for within, new in SPOILT:
        number, line = next((n, line) for n, line in told if within in line)
        wrong = line.replace(within, new, 1)
        assert _wrong(house, [(number, wrong)], tmp_path), wrong
        assert not _wrong(house, [one for one in told if one[0] == number], tmp_path)


def test_materials_bear_the_builders_own_names() -> None:
    house = make(Recipe(seed=SEED))
    steps, ground = building_steps(house.plan, house.voxels), heights(house.plan).ground
    plain = even(house.plan, house.voxels, steps, ground)
    own = even(house.plan, house.voxels, steps, ground, lambda material, _: f"<{material}>")
    assert [len(lines) for lines in own] == [len(lines) for lines in plain]
    names = {entry.name for entry in house.voxels.about.materials[1:]}
    told = " ".join(line for lines in own for line in lines)
    assert "<" in told
    assert not any(f" {name} " in told for name in names)


def _wrong(house: House, told: list[tuple[int, str]], folder: Path) -> list[Astray]:
    path = folder / "steps.csv"
    path.write_bytes(steps_csv(building_steps(house.plan, house.voxels)))
    return list(astray(told, pieces(path), json.loads(document(house.plan, house.voxels, ()))))
