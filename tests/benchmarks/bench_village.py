"""What a village costs, beside writing arrays as large with zarr alone, in one run.

    python -m tests.benchmarks.bench_village 512:40 1024:160

Processor seconds of all processes, for what runs beside it hardly changes those; the most memory of this
process, in a process of its own for each map.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import zarr

from genhouse.village.folder import write_village
from genhouse.village.public import site
from genhouse.village.store import ARRAYS, CHUNK, SHARD


def spent() -> float:
    """Processor seconds of this process and of those it waited for."""
    return sum(os.times()[:4])


def measured(size: int, houses: int, place: Path) -> tuple[float, float, int]:
    """Seconds of the village; of its arrays written again by zarr alone; megabytes of memory."""
    start = spent()
    write_village(site(1, (size, size), houses), place / "village")
    own, memory = spent() - start, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    made = zarr.open_group(place / "village" / "village.zarr", mode="r")
    cells = {name: np.asarray(made[name][:]) for name in ARRAYS}  # type: ignore[index]
    start = spent()
    group = zarr.create_group(place / "again.zarr", zarr_format=3)
    for name, array in cells.items():
        deep = array.shape[2]
        group.create_array(
            name, data=array, chunks=(CHUNK, CHUNK, deep), shards=(SHARD, SHARD, deep)
        )
    return own, spent() - start, memory


def main(words: list[str]) -> None:
    if words[:1] == ["--one"]:
        with tempfile.TemporaryDirectory() as place:
            print(*measured(int(words[1]), int(words[2]), Path(place)))
        return
    for size, houses in (word.split(":") for word in words or ["256:12", "512:40"]):
        command = [sys.executable, "-m", "tests.benchmarks.bench_village", "--one", size, houses]
        told = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
        own, peer, memory = map(float, told)
        print(
            f"{size} x {size}, {houses} houses: {own:.1f} s, {own / peer:.1f} times zarr alone, "
            f"{memory:.0f} MB"
        )


if __name__ == "__main__":
    main(sys.argv[1:])
