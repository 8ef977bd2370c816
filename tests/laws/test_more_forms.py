"""A table of forms may grow: the numbers of forms change, and nothing else does."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from genhouse.outputs.arrays import read_voxels
from tests.houses import anyhow
from tests.outside.checker import check_folder

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("more") / "house"
    command = [sys.executable, "-m", "tests.laws.more_forms", "7", str(made)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return made


def test_a_house_with_forms_past_a_byte_is_the_same_house(folder: Path) -> None:
    ours, theirs = anyhow(7).voxels, read_voxels(folder / "house.npz")
    assert len(theirs.about.forms) == len(ours.about.forms) + 300
    assert int(theirs.form.max()) > 300
    for name in ("material", "stage", "room"):
        np.testing.assert_array_equal(getattr(ours, name), getattr(theirs, name))
    named = [np.array([form.name for form in v.about.forms])[v.form] for v in (ours, theirs)]
    np.testing.assert_array_equal(*named)


def test_its_files_are_the_same_but_for_the_arrays(folder: Path) -> None:
    """Pictures, plans, mesh, bill and guide show pieces, not numbers; digests are of the numbers."""
    apart = {"house.npz", "house.json"}
    files = {name: data for name, data in anyhow(7).files().items() if name not in apart}
    for name, data in files.items():
        assert (folder / name).read_bytes() == data, name
    ours = json.loads(anyhow(7).files()["house.json"])
    theirs = json.loads((folder / "house.json").read_text())
    for name in ours.keys() - {"digests", "files"}:
        assert ours[name] == theirs[name], name


def test_an_outside_program_finds_nothing_in_it(folder: Path) -> None:
    assert check_folder(folder) == []
