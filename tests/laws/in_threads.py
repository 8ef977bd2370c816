"""Design seeds in threads of one cold process, and tell what came of each.

    python -m tests.laws.in_threads THREADS FIRST LAST shared
    python -m tests.laws.in_threads THREADS FIRST LAST each

shared: every seed is designed by one thread, whichever is free.  each: every thread designs them all at
the same time, inspects them and draws them.  Prints a line a house: its seed, and SHA-256 of it.
"""

from __future__ import annotations

import hashlib
import sys
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import genhouse

OFTEN = 1e-5
"""Seconds after which another thread goes on: far fewer than is usual."""


def told(seed: int, *, drawn: bool) -> str:
    """A house's digest; of what is found in it and of its picture too."""
    house = genhouse.design(seed)
    found = hashlib.sha256()
    for array in (house.voxels.material, house.voxels.form, house.voxels.stage, house.voxels.room):
        found.update(repr(array.shape).encode() + array.tobytes())
    if drawn:
        found.update(repr(house.inspect()).encode() + house.picture("inside").tobytes())
    return f"{seed} {found.hexdigest()}"


def lines(threads: int, seeds: range, way: str) -> list[str]:
    """A line for every house that is designed."""
    if way == "shared":
        with ThreadPoolExecutor(threads) as pool:
            return list(pool.map(lambda seed: told(seed, drawn=False), seeds))
    ready = Barrier(threads)

    def all_of_them(_: int) -> list[str]:
        ready.wait()
        return [told(seed, drawn=True) for seed in seeds]

    with ThreadPoolExecutor(threads) as pool:
        return [line for found in pool.map(all_of_them, range(threads)) for line in found]


if __name__ == "__main__":
    sys.setswitchinterval(OFTEN)
    threads, first, last = map(int, sys.argv[1:4])
    print("\n".join(lines(threads, range(first, last), sys.argv[4])))
