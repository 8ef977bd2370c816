"""A house folder, written once a worker, and a way to run the command."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from genhouse.cli.main import main

Run = Callable[..., Result]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run ``genhouse`` with these words in an empty folder."""
    monkeypatch.chdir(tmp_path)
    return lambda *words: CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A saved house; not to be changed."""
    folder = tmp_path_factory.mktemp("written") / "house-9"
    words = ["design", "9", "--plot", "20x24", "--gate", "south", "--out", str(folder)]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0, result.output
    return folder


@pytest.fixture
def house(written: Path, tmp_path: Path) -> Path:
    """A copy of the saved house, to be changed."""
    return Path(shutil.copytree(written, tmp_path / "house"))
