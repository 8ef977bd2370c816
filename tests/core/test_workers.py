"""Workers: results in order whoever makes them, no worker of a worker, none that outlives its parent."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from genhouse.core import workers
from genhouse.core.errors import StoppedError
from genhouse.core.workers import cores, helped, spread_out

TASKS = (-5, 3, -1, 0)


def test_results_keep_the_order_of_their_tasks() -> None:
    assert spread_out(abs, TASKS, 2) == spread_out(abs, TASKS, 1) == [5, 3, 1, 0]


def test_helpers_and_this_process_share_the_tasks() -> None:
    with helped(partial(pow, 2), TASKS[1::2], 1) as finish:
        pass
    assert finish() == [8, 1]


def test_beside_other_threads_nothing_is_forked() -> None:
    """A fork copies a lock that another thread holds, and nobody ever opens it."""
    done = threading.Event()
    other = threading.Thread(target=done.wait)
    other.start()
    try:
        with helped(lambda task: (task, os.getpid()), TASKS, 2) as finish:
            assert finish() == [(task, os.getpid()) for task in TASKS]
        assert spread_out(abs, TASKS, 2) == [5, 3, 1, 0]
    finally:
        done.set()
        other.join()


def inner(task: int) -> tuple[int, set[int]]:
    """Where a worker's own tasks are done."""
    with helped(pid, range(4), 2) as finish:
        return os.getpid(), {*spread_out(pid, range(4), 4), *finish()}


def pid(_task: int) -> int:
    return os.getpid()


def test_a_worker_starts_no_workers() -> None:
    for worker, inside in spread_out(inner, range(3), 2):
        assert worker != os.getpid()
        assert inside == {worker}


def fails(task: int) -> int:
    raise KeyError(task)


def test_what_the_work_raises_comes_through() -> None:
    with pytest.raises(KeyError):
        spread_out(fails, TASKS, 2)


def ends(_task: int) -> int:
    os.kill(os.getpid(), signal.SIGKILL)
    return 0


@pytest.mark.skipif(os.name != "posix", reason="ends a process by signal")
def test_a_worker_that_is_ended_from_outside_is_said() -> None:
    with pytest.raises(StoppedError, match="ended from outside") as caught:
        spread_out(ends, TASKS, 2)
    assert caught.value.exit_code == 70


FAILING = """
import time
from genhouse.core.workers import helped
with helped(time.sleep, [30.0, 30.0], 2):
    raise KeyError
"""


def test_an_error_beside_the_helpers_waits_for_none_of_them() -> None:
    """In a process without threads, so that helpers are processes."""
    begun = time.monotonic()
    ended = subprocess.run([sys.executable, "-c", FAILING], capture_output=True, text=True)
    assert ended.stderr.strip().endswith("KeyError")
    assert time.monotonic() - begun < 10


def test_the_machine_has_a_core() -> None:
    assert cores() >= 1


SLEEPERS = """
import os, sys, time
from genhouse.core import system, workers
if sys.argv[1] == "watched":
    system._signalled_at_death = lambda: False
if sys.argv[2] == "spawned":
    workers._can_fork = lambda: False
def sleep(task):
    os.write(1, b"%d" % os.getpid() + bytes([10]))  # in one piece: two of them write
    time.sleep(60)
if __name__ == "__main__":
    workers.spread_out(sleep, range(2), 2)
"""


def gone(number: int) -> bool:
    """Whether a process has ended; one that waits to be buried has."""
    try:
        state = Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return True
    return state == "Z"


def waited_for(happened: Callable[[], bool]) -> bool:
    for _ in range(200):
        if happened():
            return True
        time.sleep(0.02)
    return False


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="looks into /proc")
@pytest.mark.parametrize("start", ["forked", "spawned"])
@pytest.mark.parametrize("way", ["signalled", "watched"])
def test_workers_end_with_the_process_that_started_them(
    tmp_path: Path, way: str, start: str
) -> None:
    """Killed so that it can do nothing more; by the system's own signal, and by the pipe alone."""
    script = tmp_path / "sleepers.py"
    script.write_text(SLEEPERS, "utf-8")
    command = [sys.executable, str(script), way, start]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout is not None
        numbers = [int(run.stdout.readline()) for _ in range(2)]
        assert not any(map(gone, numbers))
        run.kill()
    assert waited_for(lambda: all(map(gone, numbers)))


def test_this_process_is_no_worker() -> None:
    assert not workers._task
