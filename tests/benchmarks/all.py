"""All that is measured of speed and weight, in one table, beside what is measured against.

    python -m tests.benchmarks.all            200 seeds
    python -m tests.benchmarks.all 20 > tests/benchmarks/table.md

A row has what genhouse takes, what its peer takes in the same run, turn by turn (the least of each, so
that a busy neighbour counts little; the median over the seeds), their ratio, and the ratio aimed at.
The frozen picture is a file (``frozen.png``: house 7 of one day, plainly coloured), so that a change
of what pictures look like moves no yardstick.  Every house is asked for as if for the first time: what a
process keeps of a recipe for a while, its seatings and its shell, is forgotten.  A peer that is not
installed (extra ``peers``) is told as such.  Asserts nothing about time.
"""

from __future__ import annotations

import io
import os
import platform
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from importlib.metadata import version
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import NamedTuple

from PIL import Image

from genhouse.core.engines import opened
from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe
from genhouse.model.voxels import Voxels
from genhouse.outputs.glb import glb_bytes
from tests.benchmarks.bench_command import ASKED, DESIGN
from tests.benchmarks.bench_command import rounds as cold_rounds
from tests.benchmarks.bench_mesh import marched
from tests.benchmarks.counting import anew

FROZEN = Path(__file__).with_name("frozen.png")
ROUNDS = 3
SEEDS = 200
LARGEST = Brief(plot=(45, 61))
FEW = 9
"""Seeds on the largest plot."""
PARALLEL = 200
"""Houses that one process and two make: enough that starting these counts little."""
OTHERS = 10_000
"""The first seed of them, of which nothing is known yet."""
Work = Callable[[], object]


class Row(NamedTuple):
    """ours, peer: seconds, or another unit.  aim: the most that the ratio may be; None for no aim.

    more: whether a larger ratio is better, and the aim the least.
    """

    what: str
    ours: float
    beside: str
    peer: float | None
    aim: float | None
    unit: str = "ms"
    more: bool = False

    @property
    def ratio(self) -> float | None:
        if self.peer is None:
            return None
        return self.peer / self.ours if self.more else self.ours / self.peer

    @property
    def met(self) -> bool | None:
        """Whether the aim is met; None where there is none, or nothing to measure by."""
        if self.aim is None or self.ratio is None:
            return None
        return self.ratio >= self.aim if self.more else self.ratio <= self.aim


def least(*works: Work, rounds: int = ROUNDS) -> list[float]:
    """The least seconds of each, taken in turn."""
    found = [float("inf")] * len(works)
    for _ in range(rounds):
        for n, work in enumerate(works):
            start = perf_counter()
            work()
            found[n] = min(found[n], perf_counter() - start)
    return found


def encoding() -> Work:
    """Pillow's default encoding of the frozen picture."""
    picture = Image.open(FROZEN).convert("RGB")
    picture.load()
    return lambda: picture.save(io.BytesIO(), "PNG")


def houses(seeds: int) -> Iterator[Row]:
    """Design with inspection and picture in frozen encodings; the largest plot too."""
    mixed = [Recipe(seed=seed) for seed in range(seeds)]
    largest = [Recipe(seed=seed, brief=LARGEST) for seed in range(min(FEW, seeds))]
    encode, beside = encoding(), "PNG of the frozen picture"
    for recipe in (*mixed, *largest):  # the first houses of a process pay for what is kept for all
        make(recipe)
    designs, pictures, frozen = _medians(mixed, encode)
    yield Row("design with inspection, plots as seeds choose", designs, beside, frozen, 1.0)
    yield Row("picture, 1000 x 900", pictures, beside, frozen, 2.0)
    designs, _, frozen = _medians(largest, encode)
    yield Row("design with inspection, 45 x 61", designs, beside, frozen, 3.0)


def _medians(recipes: Sequence[Recipe], encode: Work) -> Iterator[float]:
    """Over some recipes: design with inspection, picture, frozen encoding."""
    spent = [least(partial(anew, r), make(r).picture, encode) for r in recipes]
    return (median(some) for some in zip(*spent, strict=True))


def pictures(house: House) -> Iterator[Row]:
    """The picture beside those that draw voxels too."""
    for peer, draw in (("pyvista, off screen", by_pyvista), ("matplotlib voxels", by_matplotlib)):
        try:
            other = draw(house.voxels)
        except ImportError:
            yield Row("picture, 1000 x 900", least(house.picture)[0], peer, None, None)
        else:
            other()  # what it needs but once
            ours, theirs = least(house.picture, other, rounds=1)
            yield Row("picture, 1000 x 900", ours, peer, theirs, None)


def by_pyvista(voxels: Voxels) -> Work:
    import pyvista

    def draw() -> object:
        grid = pyvista.ImageData(dimensions=tuple(n + 1 for n in voxels.size))
        grid.cell_data["form"] = voxels.form.ravel(order="F")
        plotter = pyvista.Plotter(off_screen=True, window_size=(1000, 900))
        plotter.add_mesh(grid.threshold(0.5), scalars="form")
        picture = plotter.screenshot()
        plotter.close()
        return picture

    return draw


def by_matplotlib(voxels: Voxels) -> Work:
    import matplotlib as mpl

    mpl.use("Agg")
    from matplotlib.figure import Figure

    def draw() -> object:
        figure = Figure(figsize=(10, 9), dpi=100)
        figure.add_subplot(projection="3d").voxels(voxels.form > 0)
        return figure.savefig(io.BytesIO())

    return draw


def meshes(house: House) -> Iterator[Row]:
    ours, theirs = least(lambda: glb_bytes(house.voxels), lambda: marched(house.voxels))
    yield Row("mesh as glb", ours, "trimesh, marching cubes, no file", theirs, None)


def spin(_: object) -> int:
    """Work for a processor that wants no memory."""
    return sum(n * n for n in range(500_000))


def processes() -> Iterator[Row]:
    """Two processes against one, and what two of them gain where nothing is shared."""
    recipes = [Recipe(seed=OTHERS + n) for n in range(PARALLEL)]
    for what, work, tasks in (("houses", make, recipes), ("a bare loop", spin, recipes)):
        took = []
        for words in ("here", "pool"):
            with opened(words, 2) as engine:
                start = perf_counter()
                for _ in engine.map(work, tasks):
                    pass
                took.append(perf_counter() - start)
        aim = 1.85 if work is make else None
        yield Row(f"{PARALLEL} {what}, two processes", took[1], "one", took[0], aim, more=True)


MEMORY = """
from pathlib import Path
from genhouse.house import make
from genhouse.model.brief import Recipe
def most():
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(line.split()[1] for line in lines if line.startswith("VmHWM"))
before = most()
for seed in range({houses}): make(Recipe(seed=seed))
print(before, most())
"""
"""In kB; what getrusage tells of a new process is its parent's, too."""


def memory() -> Iterator[Row]:
    """The most that a process holds, beside one that has only read genhouse."""
    command = [sys.executable, "-c", MEMORY.format(houses=5)]
    run = subprocess.run(command, capture_output=True, text=True, check=True)
    before, after = (int(word) / 1024 for word in run.stdout.split())
    yield Row("memory, five houses", after, "genhouse imported", before, None, unit="MB")


def commands() -> Iterator[Row]:
    spent = cold_rounds(ROUNDS)
    bare = min(took.clock for took in spent.pop("bare start"))
    for name, took in spent.items():
        clock, busy = (min(some) for some in zip(*took, strict=True))
        yield Row(f"cold: {name}", clock, "bare start with numpy and Pillow", bare, None)
        if name == DESIGN:
            yield Row(f"cold: {name}, a whole folder, by the clock", clock, "asked", ASKED, 1.0)
            yield Row("the same, by the processor", busy, "asked by the clock", ASKED, None)


def machine() -> str:
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else 0.0
    libraries = ", ".join(f"{name} {version(name)}" for name in ("numpy", "pillow", "trimesh"))
    return (
        f"{platform.system()} {platform.machine()}, {processor()}, {cores} cores, load {load:.1f} at the "
        f"start, Python {platform.python_version()}, {libraries}"
    )


def processor() -> str:
    """The processor's own name, where the system tells it."""
    told = Path("/proc/cpuinfo")
    lines = told.read_text().splitlines() if told.exists() else []
    names = (line.partition(":")[2].strip() for line in lines if line.startswith("model name"))
    return next(names, platform.processor() or "processor unknown")


def table(seeds: int) -> Iterator[str]:
    """The table, line by line, as Markdown."""
    yield f"{machine()}; {seeds} seeds."
    yield ""
    yield "| what | takes | beside | takes | ratio | aim | met |"
    yield "|---|---|---|---|---|---|---|"
    house = make(Recipe(seed=7))
    for rows in (
        houses(seeds),
        pictures(house),
        meshes(house),
        processes(),
        memory(),
        commands(),
    ):
        for row in rows:
            yield line(row)


def line(row: Row) -> str:
    """A row of the table.

    >>> line(Row("a house", 0.2, "a picture", 0.1, 1.0))
    '| a house | 200 ms | a picture | 100 ms | 2.00 | at most 1.0 | no |'
    """
    scale = 1000 if row.unit == "ms" else 1
    ratio = (
        "" if row.ratio is None else f"{row.ratio:.2f}" if row.ratio > 0.1 else f"{row.ratio:.1g}"
    )
    peer = "not installed" if row.peer is None else f"{row.peer * scale:.0f} {row.unit}"
    aim = "" if row.aim is None else f"at {'least' if row.more else 'most'} {row.aim}"
    met = "" if row.met is None else "yes" if row.met else "no"
    ours = f"{row.ours * scale:.0f} {row.unit}"
    return f"| {row.what} | {ours} | {row.beside} | {peer} | {ratio} | {aim} | {met} |"


def main(words: list[str]) -> None:
    for text in table(int(words[0]) if words else SEEDS):
        print(text, flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
