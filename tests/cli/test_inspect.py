"""``genhouse inspect``: 0 where a saved house is sound, 1 where it is not, 2 where it cannot be read."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from genhouse.house import design, load
from genhouse.inspection import CHECKS
from genhouse.outputs.arrays import read_voxels
from tests.cli.conftest import Run
from tests.cli.test_design import refused
from tests.houses import rows
from tests.outside.checker import check_folder


def rewritten(folder: Path, **arrays: Any) -> None:
    """Change arrays of a saved house with numpy alone."""
    with np.load(folder / "house.npz") as file:
        kept = {name: file[name] for name in file.files}
    for name, change in arrays.items():
        kept[name] = change(kept[name].copy())
    np.savez_compressed(folder / "house.npz", **kept)


def cleared(cells: Any) -> dict[str, Any]:
    def clear(array: np.ndarray) -> np.ndarray:
        array[cells] = 0
        return array

    return {"material": clear, "form": clear, "stage": clear}


def stage_of(folder: Path, name: str) -> np.ndarray:
    with np.load(folder / "house.npz") as file:
        import json

        return file["stage"] == json.loads(str(file["about"]))["stages"].index(name)


def test_a_sound_house(run: Run, house: Path) -> None:
    result = run("inspect", house)
    assert (result.exit_code, result.stderr) == (0, "")
    assert [line.split()[1].rstrip(":") for line in result.stdout.splitlines()] == list(CHECKS)
    assert all(line.startswith("kept") for line in result.stdout.splitlines())


def test_looking_writes_nothing(run: Run, house: Path) -> None:
    before = {p.name: p.read_bytes() for p in house.rglob("*.*")}
    run("inspect", house)
    assert {p.name: p.read_bytes() for p in house.rglob("*.*")} == before


def test_an_edited_house_is_named_where_it_is_broken(run: Run, tmp_path: Path) -> None:
    """The roof lifted off rooms that are open to it: weather, walls, what hung from it, its lines, and a
    bill that no longer agrees; the outside checker concurs."""
    brief = {"plot": [20, 24], "gate": "south", "storeys": 2, "arrangement": "ring"}
    house = design(9, brief).save(tmp_path / "edited")
    eaves = read_voxels(house / "house.npz").about.eaves
    roof = stage_of(house, "roof")
    high = roof & (np.arange(roof.shape[2]) > eaves)
    rewritten(house, **cleared(high))
    result = run("inspect", house)
    assert result.exit_code == 1
    broken = [
        line.split()[1].rstrip(":") for line in result.stdout.splitlines() if "BROKEN" in line
    ]
    assert broken == ["weather", "closed", "standing", "carried", "bill", "record"]
    assert "rain falls on an indoor cell at (" in result.stdout
    assert "roof: cells are not as recorded, in or beside room" in result.stdout
    assert {f.check for f in check_folder(house)} >= {"rain", "bill"}


def test_what_moved_is_named_by_stage_room_and_cell(run: Run, house: Path) -> None:
    """A panel of another plaster, in a list made to agree with it: the record alone knows."""
    voxels = read_voxels(house / "house.npz")
    (panel, *_) = [n for n, form in enumerate(voxels.about.forms) if form.piece == "infill"]
    x, y, z = np.argwhere(stage_of(house, "walls") & (voxels.form == panel))[0].tolist()

    def other(array: np.ndarray) -> np.ndarray:
        with np.load(house / "house.npz") as file:
            names = [m["name"] for m in json.loads(str(file["about"]))["materials"]]
        array[x, y, z] = names.index("ochre clay")
        return array

    rewritten(house, material=other)
    table = "\n".join(",".join(map(str, row)) for row in rows(read_voxels(house / "house.npz")))
    (house / "materials.csv").write_text(f"stage,material,piece,count\n{table}\n", "utf-8")
    result = run("inspect", house)
    assert result.exit_code == 1
    broken = [line.split(":")[0] for line in result.stdout.splitlines() if "BROKEN" in line]
    assert broken == ["BROKEN record"]
    assert "walls: cells are not as recorded" in result.stdout
    assert f"at ({x}, {y}, {z})" in result.stdout
    assert [f.check for f in load(house).inspect().findings] == ["record"]


def test_a_wrong_row_of_the_bill(run: Run, house: Path) -> None:
    text = (house / "materials.csv").read_text("utf-8").splitlines()
    *words, count = text[1].split(",")
    text[1] = ",".join([*words, str(int(count) + 1)])
    (house / "materials.csv").write_text("\n".join(text) + "\n", "utf-8")
    result = run("inspect", house)
    assert result.exit_code == 1
    assert next(line for line in result.stdout.splitlines() if "BROKEN" in line).startswith(
        "BROKEN bill"
    )
    assert {f.check for f in check_folder(house)} == {"bill"}


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("house.npz", ["house.npz", "cannot be read"]),
        ("materials.csv", ["materials.csv", "cannot be read"]),
    ],
)
def test_a_missing_file_cannot_be_read(run: Run, house: Path, name: str, words: list[str]) -> None:
    (house / name).unlink()
    refused(run("inspect", house), *words)


def test_a_folder_that_is_not_there(run: Run, tmp_path: Path) -> None:
    refused(run("inspect", tmp_path / "nowhere"), "nowhere", "cannot be read")


@pytest.mark.parametrize(
    "spoil",
    [b"", b"PK\x03\x04", b"not an archive", None],
    ids=["empty", "cut short", "text", "half"],
)
def test_a_spoilt_archive(run: Run, house: Path, spoil: bytes | None) -> None:
    whole = (house / "house.npz").read_bytes()
    (house / "house.npz").write_bytes(whole[: len(whole) // 2] if spoil is None else spoil)
    refused(run("inspect", house), "is no house")


def test_arrays_that_disagree_cannot_be_read(run: Run, house: Path) -> None:
    def wild(array: np.ndarray) -> np.ndarray:
        array[0, 0, 0] = 250
        return array

    rewritten(house, material=wild)
    refused(run("inspect", house), "is no house", "(0, 0, 0)")


def test_a_room_of_no_table_cannot_be_read(run: Run, house: Path) -> None:
    def lost(array: np.ndarray) -> np.ndarray:
        array[0, 0, 5] = 999
        return array

    rewritten(house, room=lost)
    refused(run("inspect", house), "'room' is not in the table of rooms at cell (0, 0, 5)")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "a,b\n",
        "stage,material,piece,count\nwalls,x,full\n",
        "stage,material,piece,count\nwalls,x,full,-1\n",
    ],
)
def test_a_spoilt_bill(run: Run, house: Path, text: str) -> None:
    (house / "materials.csv").write_text(text, "utf-8")
    refused(run("inspect", house), "materials.csv")


def test_further_files_are_let_be(run: Run, house: Path) -> None:
    """The file contract: a reader ignores names that it does not know."""
    (house / "notes.txt").write_text("mine", "utf-8")
    assert run("inspect", house).exit_code == 0
