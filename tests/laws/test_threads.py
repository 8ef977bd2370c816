"""Threads: a cold process that designs in many at once makes the houses that one thread makes.

One in three cold processes of four threads made two different houses of one recipe, and some crashed, when
stances were told apart by which they were and a tradition was read by several threads at once.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
THIS = (sys.executable,)
SEEDS = 200
COLD = 12
"""Processes that begin with nothing known, each with a seed of its own."""
NEEDED = (
    "import click, cc3d, msgspec, networkx, noise, numpy, PIL, sys; sys.exit(sys._is_gil_enabled())"
)


def lines(python: Sequence[str], *words: object) -> list[str]:
    """What ``in_threads`` prints, in order of seeds."""
    command = [*python, "-m", "tests.laws.in_threads", *map(str, words)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, f"{done.returncode}: {done.stderr[-2000:]}"
    return sorted(done.stdout.splitlines())


@cache
def by_one_thread() -> list[str]:
    return lines(THIS, 1, 0, SEEDS, "shared")


@cache
def without_a_lock() -> tuple[str, ...]:
    """An interpreter that runs threads truly at once and has all that genhouse needs; nothing if none."""
    for name in ("python3.14t", "python3.13t"):
        if path := shutil.which(name):
            command = (path, "-X", "gil=0")
            if subprocess.run([*command, "-c", NEEDED], capture_output=True).returncode == 0:
                return command
    return ()


@pytest.fixture(params=["this interpreter", "a free-threaded one"])
def python(request: pytest.FixtureRequest) -> tuple[str, ...]:
    found = THIS if request.param == "this interpreter" else without_a_lock()
    if not found:
        pytest.skip("no free-threaded Python with genhouse's packages is installed")
    return found


def test_eight_threads_make_the_houses_that_one_makes(python: tuple[str, ...]) -> None:
    with ThreadPoolExecutor(2) as pool:
        one, eight = pool.submit(by_one_thread), pool.submit(lines, python, 8, 0, SEEDS, "shared")
    assert len(one.result()) == SEEDS
    assert eight.result() == one.result()


def test_threads_that_start_at_once_make_inspect_and_draw_one_house(
    python: tuple[str, ...],
) -> None:
    """Four threads, the same seed, nothing known yet: what is kept is filled while others ask for it."""
    with ThreadPoolExecutor(2) as pool:
        found = pool.map(lambda n: lines(python, 4, n, n + 1, "each"), range(COLD))
    for seed, told in enumerate(found):
        assert len(told) == 4
        assert len(set(told)) == 1, f"two houses of seed {seed}"
