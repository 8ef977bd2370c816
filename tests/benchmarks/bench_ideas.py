"""A sheet of the best twelve of sixty houses, for each of the demo briefs.

    python -m tests.benchmarks.bench_ideas

Goal: under 8 s on two cores.  Prints the wall time, and the processor time of all processes; and how
much of the time of a finished house its shell takes, which is all that a house not kept is given.
"""

from __future__ import annotations

from os import times
from pathlib import Path
from time import perf_counter, process_time

from genhouse.generate.briefs import read_brief
from genhouse.many.folder import best_ideas, ideas_files
from genhouse.many.gather import gather
from genhouse.many.rank import aims
from genhouse.model.brief import Brief, Recipe

BRIEFS = sorted((Path(__file__).parents[2] / "shared" / "briefs").glob("*.toml"))
SEEDS, BEST, BY = range(60), 12, "privacy,court-light"


def sheet(brief: Brief) -> dict[str, bytes]:
    wanted = aims(BY)
    choice, refusals = best_ideas(
        [Recipe(seed=seed, brief=brief) for seed in SEEDS], wanted, BEST, processes=2
    )
    return ideas_files(choice, refusals, wanted, SEEDS, "", processes=2)


def processor_time() -> float:
    """Seconds of this process and of all that it started."""
    return sum(times()[:4])


def gathering(brief: Brief, *, whole: bool) -> float:
    """Seconds of processor time for ten houses or their shells."""
    start = process_time()
    gather([Recipe(seed=seed, brief=brief) for seed in range(10)], whole=whole, processes=1)
    return process_time() - start


def main() -> None:
    for path in BRIEFS:
        brief = read_brief(path)
        start, busy = perf_counter(), processor_time()
        sheet(brief)
        wall, busy = perf_counter() - start, processor_time() - busy
        part = gathering(brief, whole=False) / gathering(brief, whole=True)
        print(
            f"{path.stem}: {wall:.1f} s, {busy:.1f} s of processors; "
            f"a shell takes {part:.2f} of its house's time"
        )


if __name__ == "__main__":
    main()
