"""Engines: the same results in the same order whoever makes them, few begun ahead, losses made good."""

from __future__ import annotations

import os
import subprocess
import sys
from functools import partial
from itertools import count, islice
from pathlib import Path

import pytest

from genhouse.core.engines import AHEAD, check_engine, opened
from genhouse.core.errors import BriefError, StoppedError
from tests.core.work import cores_here, ends, ends_once, later, noted
from tests.repo.imports import ROOT

TASKS = (-5, 3, -1, 0, 12, -7)
POSIX = pytest.mark.skipif(os.name != "posix", reason="ends a process by signal")


@pytest.mark.parametrize("words", ["here", "pool"])
def test_every_engine_gives_the_same_in_the_order_of_the_tasks(words: str) -> None:
    with opened(words, 2) as engine:
        assert list(engine.map(abs, TASKS)) == [5, 3, 1, 0, 12, 7]
        assert list(engine.map(str, ())) == []
        with pytest.raises(ZeroDivisionError):
            list(engine.map(partial(divmod, 7), [0]))


@pytest.mark.parametrize("words", ["here", "pool"])
def test_tasks_are_taken_as_they_are_needed(words: str) -> None:
    taken: list[int] = []
    with opened(words, 2) as engine:
        assert list(islice(engine.map(abs, noted(count(), taken)), 5)) == [0, 1, 2, 3, 4]
    assert len(taken) <= 2 * AHEAD + 5


def test_the_slow_do_not_change_the_order() -> None:
    with opened("pool", 2) as engine:
        assert list(engine.map(later, [0.3, 0.0, 0.1, 0.0])) == [0.3, 0.0, 0.1, 0.0]


@POSIX
def test_what_a_lost_worker_had_begun_is_begun_again(tmp_path: Path) -> None:
    with opened("pool", 2) as engine:
        found = list(engine.map(partial(ends_once, str(tmp_path)), range(60)))
    assert (tmp_path / "ended").exists()
    assert found == [n * n for n in range(60)]


@POSIX
def test_work_that_ends_every_worker_is_given_up() -> None:
    with opened("pool", 2) as engine, pytest.raises(StoppedError, match="again and again"):
        list(engine.map(ends, [1]))


def test_a_worker_starts_no_workers() -> None:
    with opened("pool", 2) as engine:
        for worker, many in engine.map(cores_here, range(4)):
            assert worker != os.getpid()
            assert many == 1


@POSIX
def test_a_cluster_does_all_that_too(tmp_path: Path) -> None:
    pytest.importorskip("distributed")
    command = [sys.executable, "-m", "tests.core.on_cluster", str(tmp_path)]
    done = subprocess.run(
        command, cwd=ROOT, capture_output=True, text=True, timeout=300, check=False
    )
    assert (done.returncode, done.stdout) == (0, "all held\n"), done.stderr


def test_an_unknown_engine_is_refused_with_those_there_are() -> None:
    with pytest.raises(BriefError, match="'steam' is none; it is here, pool, dask or the address"):
        check_engine("steam")


def test_without_dask_it_is_said_what_brings_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(BriefError, match=r"pip install 'genhouse\[dask\]' brings it"):  # noqa: SIM117
        with opened("dask"):
            pass
