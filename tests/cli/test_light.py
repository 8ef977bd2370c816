"""``genhouse light``: a row for each room, and the two files anew."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from genhouse.cli.main import main
from genhouse.house import design


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


HUNG = ("dining", "kitchen", "stairhall", "workshop")
"""Kinds of this house that are lit from above only; a lamp by a bed stands on the floor."""


def test_a_level_above_the_floor_is_brighter_under_a_hung_lamp(tmp_path: Path) -> None:
    design(2, {"plot": [17, 19]}).save(tmp_path / "house")
    most: list[dict[str, float]] = []
    for level in ("0", "3"):
        run = CliRunner().invoke(main, ["light", str(tmp_path / "house"), "--floor-level", level])
        rows = [line.split() for line in run.output.splitlines() if line[:4].strip().isdigit()]
        most.append({row[1]: float(row[5]) for row in rows if row[1] in HUNG})
    assert set(most[0]) == set(HUNG)
    assert all(most[0][kind] < most[1][kind] for kind in HUNG)
