"""A thousand recipes, of each a few bytes: of every building stage one byte of the digest of its cells.

    python -m tests.golden.corpus          which have changed, and at which stage first
    python -m tests.golden.corpus --renew  the same, and accept it

Seeds alone on small plots, then mixed briefs by number.  A byte that is 00 is of a stage that sets
nothing; a line of one word is of a recipe without a house.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

from genhouse.core.engines import opened
from genhouse.core.errors import GenhouseError
from genhouse.generate.mixed import recipe as mixed
from genhouse.generate.remade import line
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from genhouse.model.digests import named_digests
from genhouse.survey.compare import ORDER

KEPT = Path(__file__).with_name("corpus.txt")
SMALL = Brief(plot_least=(18, 20), plot_most=(24, 28))
PLAIN, MIXED = 800, 200
REFUSED = "refused"
SAMPLE = range(0, PLAIN, 100)
"""Those that the suite looks at each time."""


def recipe(number: int) -> Recipe:
    """One of the thousand."""
    return Recipe(seed=number, brief=SMALL) if number < PLAIN else mixed(number)


def entry(made: Recipe) -> str:
    """Two hexadecimal digits a stage, in the order in which a change is looked for."""
    try:
        found = named_digests(make(made).voxels)
    except GenhouseError:
        return REFUSED
    return "".join(found[stage][:2] if stage in found else "00" for stage in ORDER)


def first_changed(old: str, new: str) -> str:
    """The stage at which two entries part; empty where they do not."""
    if REFUSED in (old, new):
        return "" if old == new else "outcome"
    unlike = (n for n in range(len(ORDER)) if old[2 * n : 2 * n + 2] != new[2 * n : 2 * n + 2])
    return next((ORDER[n] for n in unlike), "")


def kept() -> list[str]:
    """What was accepted, in order."""
    return KEPT.read_text("utf-8").splitlines() if KEPT.exists() else []


def main(words: list[str]) -> int:
    """Print what changed; the exit code says whether anything did."""
    recipes = [recipe(n) for n in range(PLAIN + MIXED)]
    with opened("pool") as engine:
        new = list(engine.map(entry, recipes))
    old = kept() or [""] * len(new)
    moved = [(r, first_changed(a, b)) for r, a, b in zip(recipes, old, new, strict=True)]
    counted = Counter(stage for _, stage in moved if stage)
    for made, stage in moved:
        if stage and counted[stage] <= 5:
            print(f"{stage}: {line(made)}")
    for stage, n in counted.most_common():
        print(f"{n:5} change from {stage} on")
    print(f"{sum(counted.values())} of {len(new)} changed")
    if "--renew" in words:
        KEPT.write_text("\n".join(new) + "\n", "utf-8")
        return 0
    return int(bool(counted))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
