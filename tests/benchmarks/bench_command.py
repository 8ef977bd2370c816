"""The command against the start of its own libraries: whole processes, cold.

    python -m tests.benchmarks.bench_command

Every command is run in turn with a bare interpreter that imports numpy and Pillow; of each the least
and the median are printed, by the clock and by the processor (user and system, all its processes),
and how many bare starts its least comes to.  Minima hold steady under a busy neighbour.  ``design``
may take 1.5 s by the clock on a quiet machine with two cores.  Asserts nothing about time.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import NamedTuple

ROUNDS = 7
RUN = "from genhouse.cli.main import main; main()"
DESIGN = "design 7 --plot 23x32"
ASKED = 1.5
"""Seconds by the clock that ``design`` may take."""
ROOT = Path(__file__).parents[2]


class Spent(NamedTuple):
    """Seconds of one process and those it started."""

    clock: float
    processor: float


def commands(folder: Path) -> dict[str, tuple[list[str], int]]:
    """Arguments of the interpreter, and the exit code that is right, by name."""
    design = [
        "-c",
        RUN,
        "design",
        "7",
        "--plot",
        "23x32",
        "--force",
        "--out",
        str(folder / "house"),
    ]
    return {
        "bare start": (["-c", "import numpy, PIL.Image"], 0),
        "--help": (["-c", RUN, "--help"], 0),
        "refused plot": ([*design, "--plot", "3x3"], 2),
        DESIGN: (design, 0),
    }


def run(arguments: list[str], code: int, compiled: Path) -> Spent:
    """compiled: where modules are kept, compiled, from one run to the next, as they are once installed."""
    kept = {"PYTHONPYCACHEPREFIX": str(compiled), "PYTHONDONTWRITEBYTECODE": ""}
    before, start = os.times(), perf_counter()
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=ROOT,
        env=os.environ | kept,
        capture_output=True,
        check=False,
    )
    clock, after = perf_counter() - start, os.times()
    if done.returncode != code:
        raise RuntimeError(done.stderr.decode())
    user, system = (
        getattr(after, n) - getattr(before, n) for n in ("children_user", "children_system")
    )
    return Spent(clock, user + system)


def rounds(count: int) -> dict[str, list[Spent]]:
    """What each command took, all of them in turn; a first round, which compiles, is left out."""
    with tempfile.TemporaryDirectory() as folder:
        wanted = commands(Path(folder))
        spent: dict[str, list[Spent]] = {name: [] for name in wanted}
        for n in range(count + 1):
            for name, (arguments, code) in wanted.items():
                took = run(arguments, code, Path(folder) / "compiled")
                if n:
                    spent[name].append(took)
    return spent


def test_the_benchmark_runs() -> None:
    assert all(took[0].clock > 0 for took in rounds(1).values())


def main() -> None:
    spent = rounds(ROUNDS)
    bare = Spent(*map(min, zip(*spent["bare start"], strict=True)))
    for name, took in spent.items():
        words = []
        for way, times, unit in zip(Spent._fields, zip(*took, strict=True), bare, strict=True):
            least = min(times)
            words.append(
                f"{way} {least:.2f} s (median {median(times):.2f}), {least / unit:.1f} bare starts"
            )
        print(f"{name:>12}: {'; '.join(words)}")


if __name__ == "__main__":
    main()
