"""Surveys: the same rows whatever the engine and whatever ends it, none lost and none twice."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from genhouse.core.errors import WriteError
from genhouse.survey import run
from genhouse.survey.store import FILE
from tests.repo.imports import ROOT
from tests.survey.small import asked, made, rows

POSIX = pytest.mark.skipif(os.name != "posix", reason="ends a process by signal")
BEGUN = """
import sys
from pathlib import Path
from genhouse.survey import run
from tests.survey.small import made
run.BATCH = 3
made(Path(sys.argv[1]), sys.argv[2], 24)
"""


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> list[object]:
    """The rows of a survey that nothing disturbed."""
    return made(tmp_path_factory.mktemp("whole") / "survey", "here", 24)


def test_rows_stand_in_the_order_of_the_recipes(whole: list[tuple[object, ...]]) -> None:
    assert [row[0] for row in whole] == list(range(24))
    assert [row[1] for row in whole] == [str(seed) for seed in range(40, 64)]


def test_a_pool_makes_the_same_rows(whole: list[object], tmp_path: Path) -> None:
    assert made(tmp_path / "survey", "pool", 24) == whole


def begun(folder: Path, words: str) -> subprocess.Popen[bytes]:
    return subprocess.Popen([sys.executable, "-c", BEGUN, str(folder), words], cwd=ROOT)


def count(folder: Path) -> int:
    try:
        with sqlite3.connect(f"file:{folder / FILE}?mode=ro", uri=True) as table:
            return int(table.execute("SELECT count(*) FROM rows").fetchone()[0])
    except sqlite3.Error:
        return 0


@POSIX
@pytest.mark.parametrize("words", ["here", "pool"])
def test_what_was_killed_goes_on_with_nothing_lost_or_done_twice(
    words: str, whole: list[object], tmp_path: Path
) -> None:
    """Killed as soon as some rows stand, twice; what stood then stands as it was."""
    folder, before = tmp_path / "survey", 0
    for least in (3, 9):
        with begun(folder, words) as killed:
            while count(folder) < least and killed.poll() is None:
                time.sleep(0.02)
            killed.kill()
        assert least <= count(folder) < 24
        assert count(folder) >= before
        before = count(folder)
        assert rows(folder) == whole[:before]
    stood = (folder / FILE).stat().st_size
    assert stood > 0
    assert made(folder, "here", 24) == whole


@POSIX
def test_a_cluster_that_loses_a_worker_makes_the_same_rows(
    whole: list[object], tmp_path: Path
) -> None:
    pytest.importorskip("distributed")
    command = [sys.executable, "-m", "tests.survey.on_cluster", str(tmp_path)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "lost a worker" in done.stdout
    assert rows(tmp_path / "survey") == whole


@POSIX
def test_a_full_disk_is_said_and_what_stands_goes_on(whole: list[object], tmp_path: Path) -> None:
    folder = tmp_path / "survey"
    made(tmp_path / "other", "here", 1)
    most = (tmp_path / "other" / FILE).stat().st_size + 3000
    limit = f"import resource; resource.setrlimit(resource.RLIMIT_FSIZE, ({most}, {most}))\n"
    ignore = "import signal; signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
    code = ignore + limit + BEGUN
    done = subprocess.run(
        [sys.executable, "-c", code, str(folder), "here"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    said = done.stderr.strip().splitlines()[-1]
    assert said.startswith("genhouse.core.errors.WriteError: ")
    assert f"its {count(folder)} rows stand, and the same command goes on after them" in said
    assert 0 < count(folder) < 24
    assert made(folder, "here", 24) == whole


def test_another_survey_there_is_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "survey"
    made(folder, "here", 1)
    with pytest.raises(WriteError, match="a survey of others stands there"):
        run.begin(asked(2), folder)
    document = folder / "survey.json"
    document.write_text(document.read_text("utf-8").replace(run.build(), "0.0.9+1"), "utf-8")
    with pytest.raises(WriteError, match=r"rows are of genhouse 0\.0\.9\+1, and this is"):
        run.begin(asked(1), folder)
    (tmp_path / "house").mkdir()
    (tmp_path / "house" / "mine.txt").touch()
    with pytest.raises(WriteError, match="what stands there is no survey"):
        run.begin(asked(1), tmp_path / "house")
    with pytest.raises(WriteError, match="does not exist"):
        run.begin(asked(1), tmp_path / "nowhere" / "survey")


@POSIX
def test_two_runs_in_one_folder_are_refused(tmp_path: Path) -> None:
    from genhouse.outputs.leftovers import held

    folder = tmp_path / "survey"
    made(folder, "here", 1)
    with held(folder) as mine:
        assert mine
        with pytest.raises(WriteError, match="another run surveys there"):
            made(folder, "here", 1)
