"""What a house of some floor costs to design and inspect, in encodings of one frozen picture.

    python -m tests.benchmarks.bench_floor                  this version
    python -m tests.benchmarks.bench_floor --against DIR    and the one whose package lies in DIR, in turn

Each version works in a process of its own, round by round in turn with the other, and encodes the same
picture between its houses; the least of each house's times is taken, since a busy neighbour can but add.
Versions draw houses of other sizes from a seed, so a straight line through times and floors says what one
of FLOOR cells costs each.
"""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from pathlib import Path
from time import process_time

import click
import numpy as np
from PIL import Image

from genhouse.house import make
from genhouse.model.brief import Recipe

ROUNDS, FLOOR = 4, 400
SIZE = (450, 500, 3)
Times = dict[str, tuple[int, float, float]]
"""By seed: cells of floor; seconds to design and inspect, and to encode the picture."""


def frozen() -> Image.Image:
    """A picture of flat tones and fine grain that no version draws."""
    grain = np.random.default_rng(1).integers(0, 12, SIZE)
    fields = np.add.outer(np.arange(SIZE[0]) // 45 % 2, np.arange(SIZE[1]) // 50 % 2)
    return Image.fromarray((120 + 40 * fields[:, :, None] + grain).astype(np.uint8))


def timed(seeds: range) -> Times:
    """One round over some seeds, in this process."""
    picture, found = frozen(), {}
    for seed in seeds:
        start = process_time()
        house = make(Recipe(seed=seed))
        house.inspect()
        middle = process_time()
        picture.save(io.BytesIO(), "PNG")
        floor = sum(room.area for room in house.plan.rooms if room.indoor)
        found[str(seed)] = floor, middle - start, process_time() - middle
    return found


def rounds(folders: list[Path], seeds: str) -> list[Times]:
    """The least of each time of the version in each folder, in turn."""
    best: list[Times] = [{} for _ in folders]
    for _ in range(ROUNDS):
        for least, folder in zip(best, folders, strict=True):
            for seed, (floor, work, encoding) in _elsewhere(folder, seeds).items():
                _, a, b = least.get(seed, (0, work, encoding))
                least[seed] = floor, min(a, work), min(b, encoding)
    return best


def _elsewhere(folder: Path, seeds: str) -> Times:
    words = [sys.executable, __file__, seeds, "--once"]
    here = {**os.environ, "PYTHONPATH": str(folder)}
    answer = subprocess.run(words, env=here, check=True, stdout=subprocess.PIPE)
    told: Times = json.loads(answer.stdout)
    return told


def cost(times: Times) -> float:
    """Encodings that a house of FLOOR cells costs."""
    floors, work, encodings = map(np.array, zip(*times.values(), strict=True))
    slope, least = np.polyfit(floors, work, 1)
    return float((least + FLOOR * slope) / encodings.mean())


def test_the_benchmark_runs() -> None:
    assert cost(timed(range(3))) > 0


@click.command()
@click.argument("seeds", default="0:40")
@click.option("--against", type=click.Path(path_type=Path, exists=True), help="Another checkout.")
@click.option("--once", is_flag=True, hidden=True)
def main(seeds: str, against: Path | None, once: bool) -> None:
    """Time and print."""
    if once:
        first, _, last = seeds.partition(":")
        timed(range(3))  # what is worked out once and kept
        print(json.dumps(timed(range(int(first), int(last)))))
        return
    folders = [Path(__file__).parents[2], *([against] if against else [])]
    for folder, times in zip(folders, rounds(folders, seeds), strict=True):
        floor, work, encoding = np.mean(list(times.values()), axis=0)
        print(
            f"{folder.name:12} {len(times)} houses of {floor:.0f} cells on the mean: {1000 * work:.0f} ms,"
            f" an encoding {1000 * encoding:.0f} ms; of {FLOOR} cells {cost(times):.2f} encodings"
        )


if __name__ == "__main__":
    main()
