"""``genhouse light``: a row for each room, and the two files anew."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from genhouse.cli.main import main
from genhouse.house import House, design
from genhouse.outputs.arrays import read_voxels, voxels_bytes


@pytest.mark.parametrize("seed", [2, 3])
def test_light_says_what_each_room_gets(seed: int, tmp_path: Path) -> None:
    house = design(seed, {"plot": [17, 19]})
    house.save(tmp_path / "house")
    run = CliRunner().invoke(main, ["light", str(tmp_path / "house")])
    assert run.exit_code == 0, run.output
    rows = [line.split() for line in run.output.splitlines() if line[:4].strip().isdigit()]
    table = [row for row in rows if row[1] != "lamps;"]
    assert [int(row[0]) for row in table] == [room.id for room in house.plan.rooms]
    indoors = {room.id for room in house.plan.rooms if room.indoor}
    assert all(float(row[3]) >= 10 for row in table if int(row[0]) in indoors)
    assert (tmp_path / "house" / "light.svg").read_text("utf-8").startswith("<svg")
    assert (tmp_path / "house" / "night.png").read_bytes()[:4] == b"\x89PNG"


def test_a_folder_that_is_none_is_refused(tmp_path: Path) -> None:
    run = CliRunner().invoke(main, ["light", str(tmp_path / "none")])
    assert run.exit_code == 2


def test_where_one_can_stand_nowhere_no_floor_is_lit(house: Path) -> None:
    """Filled to the top by hand."""
    v = read_voxels(house / "house.npz")
    whole = [form.name for form in v.about.forms].index("whole")
    full = {name: np.ones_like(getattr(v, name)) for name in ("material", "stage")}
    filled = replace(v, form=np.full_like(v.form, whole), **full)
    (house / "house.npz").write_bytes(voxels_bytes(filled))
    run = CliRunner().invoke(main, ["light", str(house)])
    assert run.exit_code == 2
    assert "one can stand nowhere" in run.stderr


def lit_from_above(house: House) -> set[int]:
    """The rooms all of whose lamps hang; one by a bed stands on the floor."""
    v = house.voxels
    glows = np.array([material.lumens > 0 for material in v.about.materials])[v.material]
    hangs = np.array([form.piece == "hanging lamp" for form in v.about.forms])[v.form]
    every = {int(n) for n in np.unique(v.room[glows])}
    return every - {0} - {int(n) for n in np.unique(v.room[glows & ~hangs])}


def test_a_level_above_the_floor_is_brighter_under_a_hung_lamp(tmp_path: Path) -> None:
    house = design(5, {"plot": [17, 19]})
    house.save(tmp_path / "house")
    hung = lit_from_above(house)
    assert len(hung) > 2
    most: list[dict[int, float]] = []
    for level in ("0", "3"):
        run = CliRunner().invoke(main, ["light", str(tmp_path / "house"), "--floor-level", level])
        rows = [line.split() for line in run.output.splitlines() if line[:4].strip().isdigit()]
        most.append({int(row[0]): float(row[5]) for row in rows if row[1] != "lamps;"})
    assert all(most[0][room] < most[1][room] for room in hung)


def test_a_lamp_taken_away_by_hand_is_missing_and_the_change_is_told(house: Path) -> None:
    before = CliRunner().invoke(main, ["light", str(house)])
    v = read_voxels(house / "house.npz")
    cells = {name: getattr(v, name).copy() for name in ("material", "form", "stage")}
    glows = np.array([material.lumens > 0 for material in v.about.materials])[v.material]
    x, y, z = np.argwhere(glows & (v.stage == v.about.stages.index("lamps")))[0]
    for array in cells.values():
        array[x, y, z] = 0
    (house / "house.npz").write_bytes(voxels_bytes(replace(v, **cells)))
    after = CliRunner().invoke(main, ["light", str(house), "--force"])
    assert after.exit_code == 0, after.output
    assert (before.stderr, after.stderr.count("\n")) == ("", 1)
    assert "in lamps: " in after.stderr
    many, fewer = (
        int(re.findall(r"^(\d+) lamps;", run.stdout, re.M)[0]) for run in (before, after)
    )
    assert fewer == many - 1
