"""``genhouse design``: what is refused, how it is said, and that nothing half-written stays."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import Result

from genhouse.core.errors import WriteError
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from tests.cli.conftest import Run
from tests.outside.checker import check_folder

FILES = {
    "house.json",
    "house.npz",
    "house.glb",
    "outside.png",
    "inside.png",
    "court.png",
    "plan-1.svg",
    "rooms.png",
    "rooms.svg",
    "materials.csv",
    "members.csv",
    "steps.csv",
    "guide.html",
}
"""The file contract: what a house folder holds, a further plan for each further storey apart."""


def refused(result: Result, *words: str, folder: Path | None = None) -> None:
    """Exit code 2, one sentence to stderr that holds these words, no traceback, nothing written."""
    assert result.exit_code == 2
    assert result.stdout == ""
    said = result.stderr.strip()
    assert "Traceback" not in said
    for word in words:
        assert word in said
    assert isinstance(result.exception, SystemExit)
    if said.startswith("genhouse: "):
        assert said.count("\n") == 0
    if folder is not None:
        assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    "seed", ["x", "-1", "1.5", str(1 << 64), "", "+7", "７", "1e3", "0x7", " 7", "9" * 5000]
)
def test_a_bad_seed_is_refused(run: Run, tmp_path: Path, seed: str) -> None:
    refused(run("design", "--", seed), "seed", "whole number", folder=tmp_path)


@pytest.mark.parametrize(
    ("plot", "offer"),
    [
        ("5x5", "17 x 19"),
        ("16x30", "17 x 30"),
        ("30x18", "30 x 19"),
        ("100x30", "45 x 30"),
        ("999999x999999", "45 x 61"),
    ],
)
def test_a_plot_that_does_not_do_is_answered_with_one_that_does(
    run: Run, tmp_path: Path, plot: str, offer: str
) -> None:
    refused(
        run("design", "7", "--plot", plot),
        plot.replace("x", " x "),
        offer,
        "would work",
        folder=tmp_path,
    )


@pytest.mark.parametrize(
    "plot", ["wide", "23", "23x", "x32", "23*32", "-23x32", "23x32x9", "2.5x30", ""]
)
def test_a_malformed_plot_is_refused(run: Run, tmp_path: Path, plot: str) -> None:
    refused(run("design", "7", f"--plot={plot}"), "plot", "such as 23x32", folder=tmp_path)


@pytest.mark.parametrize(
    ("option", "value", "hints"),
    [
        ("--tradition", "timbre", ["tradition 'timbre'", "did you mean 'timber'"]),
        ("--tradition", "glass", ["no tradition 'glass'", "timber"]),
        ("--palette", "smok", ["palette 'smok'", "did you mean 'smoke'"]),
        ("--palette", "purple", ["no palette 'purple'", "try ", "smoke"]),
        ("--garden", "pound", ["garden 'pound'", "did you mean 'pond'"]),
        ("--garden", "lawn", ["no garden 'lawn'", "try pond, gravel, moss, grove"]),
        ("--set", "fitings=3", ["stage 'fitings'", "did you mean 'fittings'"]),
        ("--set", "attic=3", ["no stage 'attic'", "try site, bays"]),
        ("--set", "fittings", ["set: 'fittings'", "such as fittings=3"]),
        ("--set", "fittings=x", ["fittings: 'x'", "whole number"]),
        ("--set", "=3", ["stage ''"]),
        ("--gate", "up", ["east", "north", "west", "south"]),
    ],
)
def test_an_unknown_name_gets_a_hint(
    run: Run, tmp_path: Path, option: str, value: str, hints: list[str]
) -> None:
    refused(run("design", "7", option, value), *hints, folder=tmp_path)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("plot = [23", ["is not TOML"]),
        ("plto = [23, 32]", ["brief.toml", "key 'plto'", "did you mean 'plot'"]),
        ("windows = 3", ["brief.toml", "no key 'windows'", "try "]),
        ('plot = "23x32"', ["brief.toml", "plot"]),
        ("plot = [23]", ["brief.toml", "plot"]),
        ('plot = [23, "x"]', ["brief.toml", "plot"]),
        ("plot = [23.5, 32]", ["brief.toml", "plot"]),
        ("mirror = 1", ["brief.toml", "mirror"]),
        ('gate = "up"', ["brief.toml", "gate"]),
        ("palette = 3", ["brief.toml", "palette"]),
        ('palette = "ash"', ["brief.toml", "palette 'ash'"]),
        ('garden = "lawn"', ["garden 'lawn'"]),
        ("client = 7", ["brief.toml", "client"]),
        ("tradition = []", ["brief.toml", "tradition"]),
    ],
)
def test_a_bad_brief_is_refused_by_its_key(
    run: Run, tmp_path: Path, text: str, words: list[str]
) -> None:
    (tmp_path / "brief.toml").write_text(text, "utf-8")
    refused(run("design", "7", "--brief", "brief.toml"), *words)
    assert [p.name for p in tmp_path.iterdir()] == ["brief.toml"]


def test_a_plot_in_a_brief_is_refused_as_one_on_the_line_is(run: Run, tmp_path: Path) -> None:
    (tmp_path / "brief.toml").write_text("plot = [5, 5]", "utf-8")
    refused(run("design", "7", "--brief", "brief.toml"), "5 x 5", "17 x 19 would work")


def test_a_brief_that_is_not_there_or_not_text_is_refused(run: Run, tmp_path: Path) -> None:
    refused(
        run("design", "7", "--brief", "nowhere.toml"),
        "nowhere.toml",
        "cannot be read",
        folder=tmp_path,
    )
    refused(run("design", "7", "--brief", "."), "cannot be read", folder=tmp_path)
    (tmp_path / "brief.toml").write_bytes(b"\xff\xfe\x00plot")
    refused(run("design", "7", "--brief", "brief.toml"), "byte 0 is not of a text in UTF-8")


def test_misuse_is_said_by_the_command(run: Run, tmp_path: Path) -> None:
    for words in (["design"], ["build", "7"], ["design", "7", "8"], ["design", "7", "--colour"]):
        refused(run(*words), folder=tmp_path)
    assert run("--help").exit_code == run("design", "-h").exit_code == 0
    assert "not construction documents" in run("design", "--help").output.replace("\n", " ")


# Where it is written.


def whole(folder: Path) -> None:
    """The files of the contract stand there, and a plan of each storey, no more."""
    names = {p.name for p in folder.iterdir()}
    rooms = json.loads((folder / "house.json").read_text("utf-8"))["rooms"]
    assert names >= FILES
    storeys = {f"plan-{level}.svg" for level in range(1, max(r["level"] for r in rooms) + 1)}
    assert {name for name in names if name.startswith("plan-")} == storeys


@pytest.mark.parametrize("storeys", [1, 2, 3])
def test_a_plan_is_written_of_each_storey(tmp_path: Path, storeys: int) -> None:
    make(Recipe(seed=9, brief=Brief(storeys=storeys))).save(tmp_path / "house")
    whole(tmp_path / "house")
    assert (tmp_path / "house" / f"plan-{storeys}.svg").exists()


def test_a_folder_is_written_whole(written: Path) -> None:
    """The files of the contract, an outside program content, and nothing beside them."""
    whole(written)
    assert [p.name for p in written.parent.iterdir()] == [written.name]
    assert check_folder(written) == []
    recipe = json.loads((written / "house.json").read_text("utf-8"))["recipe"]
    assert (recipe["seed"], recipe["brief"]["plot"]) == (9, [20, 24])


def test_a_house_is_replaced_only_by_force(run: Run, house: Path) -> None:
    before = {p.name: p.read_bytes() for p in house.rglob("*.*")}
    words = ("design", "9", "--plot", "20x24", "--gate", "south", "--out", house)
    refused(run(*words), str(house), "force")
    assert {p.name: p.read_bytes() for p in house.rglob("*.*")} == before
    (house / "guide.html").unlink()
    result = run(*words, "--force")
    assert result.exit_code == 0
    assert {p.name: p.read_bytes() for p in house.rglob("*.*")} == before


@pytest.mark.parametrize("force", [[], ["--force"]])
def test_what_is_not_ours_is_never_replaced(run: Run, tmp_path: Path, force: list[str]) -> None:
    other = tmp_path / "papers"
    other.mkdir()
    (other / "will.txt").write_text("mine", "utf-8")
    (tmp_path / "note").write_text("mine", "utf-8")
    (other / "house.json").write_text('{"format": "something else"}', "utf-8")
    refused(run("design", "7", "--out", other, *force), "no house stands there")
    refused(run("design", "7", "--out", tmp_path / "note", *force), "in the way")
    refused(run("design", "7", "--out", tmp_path / "no" / "where", *force), "does not exist")
    refused(run("design", "7", "--out", "..", *force), "was not written")
    assert {p.name for p in tmp_path.iterdir()} == {"papers", "note"}
    assert {p.name for p in other.iterdir()} == {"will.txt", "house.json"}


def test_an_empty_folder_may_be_filled(run: Run, tmp_path: Path) -> None:
    (tmp_path / "new").mkdir()
    result = run("design", "9", "--plot", "20x24", "--gate", "south", "--out", "new")
    assert result.exit_code == 0
    whole(tmp_path / "new")
    assert result.stdout.startswith("new: a house on 20 x 24 cells, gate to the south")


def test_a_disk_that_fails_leaves_nothing_behind(
    run: Run, tmp_path: Path, house: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Half-way through the files the disk is full: no new folder, and the old house as it was."""
    from genhouse.outputs import files

    kept = {p.name: p.read_bytes() for p in house.rglob("*.*")}
    count = 0

    def fails(path: Path, contents: bytes) -> None:
        nonlocal count
        count += 1
        if count > 4:
            raise OSError(28, "No space left on device")
        path.write_bytes(contents)

    monkeypatch.setattr(files, "write_file", fails)
    for out, more in (("new", []), (house, ["--force"])):
        count = 0
        result = run("design", "9", "--plot", "20x24", "--out", out, *more)
        refused(result, "was not written", "no space left")
    assert [p.name for p in tmp_path.iterdir()] == [house.name]
    assert {p.name: p.read_bytes() for p in house.rglob("*.*")} == kept
    assert issubclass(WriteError, OSError)


def test_the_command_itself_refuses_in_one_sentence(tmp_path: Path) -> None:
    """In a process of its own, as a user would see it."""
    words = [sys.executable, "-c", "from genhouse.cli.main import main; main()", "design", "x"]
    done = subprocess.run(words, capture_output=True, text=True, cwd=tmp_path, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert (
        done.stderr == "genhouse: seed: 'x' is not a whole number from 0 to 2**64 - 1, such as 7\n"
    )
    assert list(tmp_path.iterdir()) == []
