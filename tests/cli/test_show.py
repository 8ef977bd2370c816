"""``genhouse show``: what house.json says, to be read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from genhouse.cli.main import main
from genhouse.outputs.arrays import voxels_bytes
from genhouse.outputs.bill import bill, csv_bytes
from genhouse.outputs.document.document import document
from genhouse.outputs.figures.named_figures import NAMED
from tests.outputs.houses import built, designed


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "house.json").write_bytes(document(designed(7), built(7), ()))
    (tmp_path / "house.npz").write_bytes(voxels_bytes(built(7)))
    (tmp_path / "materials.csv").write_bytes(csv_bytes(bill(built(7))))
    return tmp_path


def run(*words: object) -> Result:
    return CliRunner().invoke(main, ["show", *map(str, words)])


def test_every_figure_and_every_room_is_shown(folder: Path) -> None:
    result = run(folder)
    assert result.exit_code == 0, result.output
    for figure in NAMED:
        assert figure.title in result.output
    rows = [line.split() for line in result.output.splitlines()]
    for room in designed(7).rooms:
        assert any(str(room.id) in row and str(room.area) in row for row in rows)
    assert all(len(line) <= 80 for line in result.output.splitlines())


def test_json_is_what_the_document_holds(folder: Path) -> None:
    said = json.loads(run(folder, "--json").output)
    assert said == json.loads((folder / "house.json").read_bytes())["metrics"]


def test_the_room_graph_is_drawn_beside_the_plan(folder: Path) -> None:
    assert run(folder, "--drawing", folder / "rooms.svg").exit_code == 0
    assert "Room graph" in (folder / "rooms.svg").read_text("utf-8")


@pytest.mark.parametrize("contents", [None, b"{}", b"no JSON", b'{"format": "genhouse-house"}'])
def test_what_is_no_house_is_refused(tmp_path: Path, contents: bytes | None) -> None:
    if contents is not None:
        (tmp_path / "house.json").write_bytes(contents)
    result = run(tmp_path)
    assert result.exit_code == 2
    assert result.output.count("\n") == 1


def test_a_drawing_that_cannot_be_written_is_said(folder: Path) -> None:
    result = run(folder, "--drawing", folder / "nowhere" / "rooms.svg")
    assert result.exit_code == 2
    assert "was not written" in result.output


def aged(folder: Path, version: int, **metrics: object) -> None:
    """As a genhouse of another version might have saved it: less said, and something else."""
    value = json.loads((folder / "house.json").read_bytes())
    kept = {name: item for name, item in value["metrics"].items() if name not in metrics}
    del value["covers"], value["drawn"]
    text = json.dumps(value | {"version": version, "metrics": kept | {"new": 1}})
    (folder / "house.json").write_text(text)


@pytest.mark.parametrize("version", [1, 99])
def test_a_house_of_another_version_says_so_and_shows_what_it_can(
    folder: Path, version: int
) -> None:
    aged(folder, version, lived=..., courts=...)
    result = run(folder)
    assert result.exit_code == 0, result.output
    said = [line for line in result.stderr.splitlines() if line]
    assert len(said) == 1
    assert f"version {version}" in said[0]
    assert "House 7" in result.stdout
    assert "Clear floor" in result.stdout
    assert "Strung rooms" not in result.stdout
    assert json.loads(run(folder, "--json").stdout)["new"] == 1
    drawing = run(folder, "--drawing", folder / "rooms.svg")
    assert drawing.exit_code == 2
    assert drawing.output.count("\n") == 1


def test_cells_of_another_version_leave_figures_and_drawing(folder: Path) -> None:
    (folder / "house.npz").write_bytes(b"cells of times to come")
    assert run(folder).exit_code == 0
    assert run(folder, "--drawing", folder / "graph.svg").exit_code == 0
    result = CliRunner().invoke(main, ["rooms", str(folder)])
    assert (result.exit_code, result.output.count("\n")) == (2, 1)


def test_other_commands_do_what_the_cells_alone_allow(folder: Path) -> None:
    aged(folder, 99)
    for words, code in ((["inspect"], 0), (["light"], 0), (["rooms"], 2), (["vary"], 2)):
        result = CliRunner().invoke(main, [*words, str(folder)])
        assert result.exit_code == code, (words, result.output)
        assert result.stderr.count("version 99") == 1, words
    assert sorted(p.name for p in folder.iterdir()) == [
        "house.json",
        "house.npz",
        "materials.csv",
        "night.png",
    ]
