"""The inspection of a whole village: harm is found in its files, and whatever the pieces, the same."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import zarr
from click.testing import CliRunner

from genhouse.cli.main import main
from genhouse.core.forms import NUMBER
from genhouse.village.cells import Cells
from genhouse.village.inspected import inspect_village
from genhouse.village.judge import Whole
from genhouse.village.patch import House, Tables, patch
from tests.village.made import folder
from tests.village.test_folder import Harm, _cut_loose, _dug, _flooded, _walled, rows_of

STUFF = ({"name": "air"}, {"name": "stone"}, {"name": "water", "liquid": True})
STAGES = ("air", "land", "water", "lane", "terrace", "planting")


def test_a_village_is_inspected_as_it_is_written() -> None:
    told = json.loads((folder(1) / "village.json").read_text("utf-8"))["checks"]
    assert all(verdict["kept"] for verdict in told)
    assert {verdict["check"] for verdict in told} == {
        "cells", "standing", "walk", "rooms", "ground", "rain", "bill",
    }  # fmt: skip
    assert inspect_village(folder(1), processes=1).plain() == tuple(
        {**verdict, "findings": list(verdict["findings"])} for verdict in told
    )


def _moved_in(group: zarr.Group, rows: list[dict[str, str]]) -> None:
    """A chest of stone in every doorway of a house but its gate."""
    entry = group.attrs["houses"][0]  # type: ignore[index, call-overload]
    (x, y, z), (w, d, h) = entry["origin"], entry["size"]
    part = np.s_[x : x + w, y : y + d, z : z + h]
    passable = [n for n, m in enumerate(group.attrs["materials"]) if m.get("passable")]  # type: ignore[arg-type, union-attr]
    stuff = np.asarray(group["material"][part])
    shut = np.isin(stuff, passable)
    gx, gy = int(rows[0]["gate_x"]) - x, int(rows[0]["gate_y"]) - y
    shut[max(0, gx - 2) : gx + 3, max(0, gy - 2) : gy + 3] = False
    stuff[shut] = 1
    group["material"][part] = stuff


@pytest.mark.parametrize(
    ("harm", "checks"),
    [
        (_flooded, {"walk", "ground", "bill", "rooms"}),
        (_dug, {"rain", "bill"}),
        (_cut_loose, {"standing", "bill"}),
        (_walled, {"walk", "ground", "rain", "bill"}),
        (_moved_in, {"rooms", "bill"}),
    ],
)
def test_harm_is_found(harm: Harm, checks: set[str], tmp_path: Path) -> None:
    place = tmp_path / "village"
    shutil.copytree(folder(1), place)
    harm(zarr.open_group(place / "village.zarr", mode="r+"), rows_of(place))
    report = inspect_village(place, processes=1)
    assert {verdict.check for verdict in report.verdicts if not verdict.kept} == checks


def test_a_bill_that_tells_another_number_is_found(tmp_path: Path) -> None:
    place = tmp_path / "village"
    shutil.copytree(folder(1), place)
    lines = (place / "materials.csv").read_text("utf-8").splitlines()
    stage, material, piece, count = lines[1].split(",")
    lines[1] = ",".join((stage, material, piece, str(int(count) + 3)))
    (place / "materials.csv").write_text("\r\n".join(lines), "utf-8")
    told = inspect_village(place, processes=1).verdicts
    [found] = [finding for verdict in told for finding in verdict.findings]
    assert found.check == "bill"
    assert f"{int(count) + 3} are told, {count} are there" in found.sentence


def test_the_command_says_what_is_broken_and_what_cannot_be_read(tmp_path: Path) -> None:
    place = tmp_path / "village"
    shutil.copytree(folder(1), place)
    said = CliRunner().invoke(main, ["inspect", str(place)])
    assert said.exit_code == 0
    assert said.output.count("kept") == 7
    _cut_loose(zarr.open_group(place / "village.zarr", mode="r+"), rows_of(place))
    said = CliRunner().invoke(main, ["inspect", str(place)])
    assert said.exit_code == 1
    assert (
        "BROKEN standing: all but water\n       a piece hangs in the air at (5, 5, " in said.output
    )
    shutil.rmtree(place / "village.zarr")
    said = CliRunner().invoke(main, ["inspect", str(place)])
    assert (said.exit_code, said.output.count("\n")) == (2, 1)
    assert "village.zarr is missing; give --store" in said.output
    (place / "village.zarr").mkdir()
    said = CliRunner().invoke(main, ["inspect", str(place)])
    assert (said.exit_code, said.output.count("\n")) == (2, 1)
    assert "not as the file contract has them" in said.output


def _random(seed: int, size: tuple[int, int, int]) -> Cells:
    """Ground of a cell or two, and pieces of many forms thrown about."""
    chance = np.random.default_rng(seed)
    forms = [NUMBER[name] for name in ("whole", "half course", "post", "culvert x")]
    form = chance.choice([0, *forms], size, p=[0.7, 0.18, 0.08, 0.03, 0.01]).astype(np.uint16)
    form[:, :, 0] = NUMBER["whole"]
    stage = np.where(form > 0, 5, 0).astype(np.uint8)
    stage[:, :, 0] = 1
    none = np.zeros(size, dtype=np.uint16)
    return Cells(
        material=(form > 0).astype(np.uint8), form=form, stage=stage, house=none, room=none
    )


def _judged(tables: Tables, found: Cells, step: int) -> tuple[Whole, dict[str, Any]]:
    whole = Whole.of(tables)
    wide, deep, _ = tables.size
    for x in range(0, wide, step):
        for y in range(0, deep, step):
            box = (x, y, min(wide, x + step), min(deep, y + step))
            part = np.s_[box[0] : box[2], box[1] : box[3]]
            names = ("material", "form", "stage", "house", "room")
            whole.add(patch(tables, box, Cells(**{n: getattr(found, n)[part] for n in names})))
    verdicts = {verdict.check: verdict for verdict in whole.report(()).verdicts}
    return whole, verdicts


@pytest.mark.parametrize("seed", range(6))
def test_whatever_the_pieces_the_same_is_found(seed: int) -> None:
    size = (24, 20, 7)
    found = _random(seed, size)
    houses = tuple(
        House(number=n, origin=(x, y, 0), size=(1, 1, 1), gate=(x, y, up), pieces=0, rooms=())
        for n, (x, y, up) in enumerate(
            [(x, y, up) for x in range(1, 23, 3) for y in range(1, 19, 3) for up in (4, 6, 8)], 1
        )
    )
    tables = Tables(size=size, materials=STUFF, stages=STAGES, houses=houses)
    one, verdicts = _judged(tables, found, 24)
    loose = sum(many for _, _, many in one.loose)
    assert loose > 0
    said = {f.sentence for f in verdicts["walk"].findings}
    assert any("cut off" in sentence for sentence in said)
    assert len(said) < 5 * len(houses)
    for step in (12, 7, 5):
        whole, others = _judged(tables, found, step)
        hanging = [m for n, _, m in whole.loose if whole.bodies.root(n) != 1]
        assert sum(hanging) == loose
        assert others["walk"] == verdicts["walk"]
        assert others["ground"] == verdicts["ground"]
        assert (whole.high == one.high).all()


def test_what_hangs_by_a_neighbouring_piece_alone_does_not_hang() -> None:
    """An arm out over the next piece; cut off, it hangs."""
    size = (8, 4, 5)
    form = np.zeros(size, dtype=np.uint16)
    form[:, :, 0] = form[1, 1, :4] = form[1:7, 1, 3] = NUMBER["whole"]
    stage = (form > 0).astype(np.uint8)
    none = np.zeros(size, dtype=np.uint16)
    tables = Tables(size=size, materials=STUFF, stages=STAGES, houses=())
    for cut, kept in ((False, True), (True, False)):
        form[3, 1, 3] = 0 if cut else NUMBER["whole"]
        stuff = (form > 0).astype(np.uint8)
        found = Cells(material=stuff, form=form, stage=stage * stuff, house=none, room=none)
        for step in (8, 4, 2):
            assert _judged(tables, found, step)[1]["standing"].kept == kept
