"""A project apart that only installs genhouse: what the page on testing shows, run as it stands there."""

from __future__ import annotations

import importlib.metadata
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.repo.imports import ROOT

PAGE = ROOT / "shared" / "docs" / "testing.md"


def installed() -> bool:
    """Whether pytest finds the plug-in by itself, as where genhouse was installed since it has one."""
    found = importlib.metadata.entry_points(group="pytest11")
    return "genhouse.plugin" in {point.value for point in found}


def pytest_in(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    known = () if installed() else ("-p", "genhouse.plugin")
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *known, *words]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)


def written(folder: Path) -> list[str]:
    """The files of the page, by the names in their first lines."""
    names = []
    for block in re.findall(r"```python\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL):
        name = block.splitlines()[0].removeprefix("# ")
        (folder / name).write_text(block, "utf-8")
        names.append(name)
    return names


def test_the_plug_in_is_an_entry_point() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    assert project["entry-points"]["pytest11"] == {"genhouse": "genhouse.plugin"}


def test_the_examples_of_the_page_pass(tmp_path: Path) -> None:
    names = written(tmp_path)
    assert len([name for name in names if name.startswith("test_")]) == 4
    done = pytest_in(tmp_path, "--houses", "2", "--house-seeds", "5:9")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "7 passed" in done.stdout


FAILING = """
def test_house(house):
    assert house.recipe.seed == 4

def test_houses(houses):
    assert [house.recipe.seed for house in houses] == [4, 5]

def test_its_own(house_of):
    assert house_of(4) is house_of(4)
"""


def test_options_say_which_houses(tmp_path: Path) -> None:
    (tmp_path / "test_own.py").write_text(FAILING, "utf-8")
    done = pytest_in(tmp_path, "--houses", "2", "--house-seeds", "4:6", "-rA")
    said = done.stdout
    assert done.returncode == 1, done.stderr
    assert "PASSED test_own.py::test_house[house-4]" in said
    assert "FAILED test_own.py::test_house[house-5]" in said
    assert "PASSED test_own.py::test_houses" in said
    assert "PASSED test_own.py::test_its_own" in said


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--houses", "0"], "--houses: 0 is not 1 or more"),
        (
            ["--house-seeds", "seven"],
            "--house-seeds: seeds: 'seven' is not a first seed and an end",
        ),
        (["--houses", "9", "--house-seeds", "0:2"], "'0:2' holds 2, and --houses is 9"),
    ],
)
def test_bad_options_are_refused_in_a_sentence(tmp_path: Path, words: list[str], said: str) -> None:
    done = pytest_in(tmp_path, *words)
    assert done.returncode == 4
    assert said in done.stderr
    assert "Traceback" not in done.stderr
