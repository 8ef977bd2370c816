"""What the yards of many houses are for, whether one gets there, and whether their boundary has gaps.

python -m tests.benchmarks.count_yards 0:200
"""

from __future__ import annotations

from collections import Counter
from itertools import product

import click
import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.errors import GenhouseError
from genhouse.generate.recipe import design_house
from genhouse.inspection.access import walk
from genhouse.inspection.report import inspect
from genhouse.inspection.subcells import subcells
from genhouse.model.brief import Recipe
from genhouse.model.design import Design
from genhouse.model.raster import raster
from tests.benchmarks.counting import counted_over, seeds_of

Mask = npt.NDArray[np.bool_]
WIDE = 3
"""Cells of open ground, both ways, that should have a use."""


class Seen(Struct, frozen=True):
    """One house.  unused: cells of wide open ground without a use.  closed: yards that one cannot get to.
    gaps: cells at the edge of the plot to which one gets from a yard though every gate is shut.
    bare: yards in which nothing stands.  faults: what the inspection finds."""

    seed: int
    uses: tuple[str, ...]
    served: int
    gates: int
    area: int
    unused: int
    closed: int
    gaps: int
    bare: tuple[str, ...]
    faults: tuple[str, ...]


def seen(seed: int) -> Seen | str:
    """The yards of a seed's house, or why there is none."""
    try:
        design = design_house(Recipe(seed=seed))
    except GenhouseError as error:
        return f"{seed}: {error}"
    voxels = raster(design)
    reached = walk(voxels, subcells(voxels)).reached.any(axis=2)
    return Seen(
        seed=seed,
        uses=tuple(yard.use for yard in design.yards),
        served=sum(yard.room > 0 for yard in design.yards),
        gates=sum(yard.gate is not None for yard in design.yards),
        area=sum(yard.area for yard in design.yards),
        unused=unused(design),
        closed=sum(
            not any(reached[c] for r in yard.rects for c in r.cells()) for yard in design.yards
        ),
        gaps=gaps(design),
        bare=tuple(yard.use for yard in design.yards if is_bare(design, yard.rects)),
        faults=tuple(str(finding) for finding in inspect(voxels).findings),
    )


def covered(design: Design, low: int, high: int) -> Mask:
    """The cells over which something stands between two layers, a gate too."""
    found = np.zeros(design.plot, dtype=bool)
    for part in design.parts:
        if part.box.z0 < high and low < part.box.z1:
            x0, y0, x1, y1 = part.box.rect
            found[x0:x1, y0:y1] = True
    return found


def _ground(design: Design) -> int:
    return design.gate[2] // 4


def unused(design: Design) -> int:
    """Cells of squares of open ground, two cells clear of the house and one of the edge, in no yard."""
    width, depth = design.plot
    free = np.zeros(design.plot, dtype=bool)
    free[1 : width - 1, 1 : depth - 1] = True
    for x0, y0, x1, y1 in (*design.wings, *(court.grown(1) for court in design.courts)):
        free[max(x0 - 2, 0) : x1 + 2, max(y0 - 2, 0) : y1 + 2] = False
    for yard in design.yards:
        for x0, y0, x1, y1 in yard.rects:
            free[x0:x1, y0:y1] = False
    left = np.zeros_like(free)
    for x, y in product(range(width - WIDE + 1), range(depth - WIDE + 1)):
        if free[x : x + WIDE, y : y + WIDE].all():
            left[x : x + WIDE, y : y + WIDE] = True
    return int(left.sum())


def gaps(design: Design) -> int:
    """Cells of the plot's edge that are reached from yards when all that opens is shut."""
    z = _ground(design)
    shut = covered(design, z, z + 1)
    for rect in (*design.wings, *design.courts):
        shut[rect.x0 : rect.x1, rect.y0 : rect.y1] = True
    width, depth = design.plot
    edge = [c for yard in design.yards for r in yard.rects for c in r.cells() if not shut[c]]
    found = set(edge)
    while edge:
        x, y = edge.pop()
        for i, j in ((x + 1, y), (x - 1, y), (x, y + 1), (x, y - 1)):
            if 0 <= i < width and 0 <= j < depth and not shut[i, j] and (i, j) not in found:
                found.add((i, j))
                edge.append((i, j))
    return sum(x in (0, width - 1) or y in (0, depth - 1) for x, y in found)


def is_bare(design: Design, rects: tuple[tuple[int, int, int, int], ...]) -> bool:
    """Whether nothing stands on the widest part of a yard."""
    z = _ground(design)
    x0, y0, x1, y1 = rects[0]
    return not covered(design, z, z + 1)[x0:x1, y0:y1].any()


@click.command()
@click.argument("seeds", default="0:200")
@click.option("--jobs", default=1, help="Processes.")
def main(seeds: str, jobs: int) -> None:
    """Count and print."""
    found = counted_over(seeds_of(seeds), seen, jobs)
    houses = [one for one in found if isinstance(one, Seen)]
    yards = [use for house in houses for use in house.uses]
    print(f"houses      {len(houses)} of {len(found)} seeds, {len(yards)} yards")
    print(f"with yards  {sum(bool(house.uses) for house in houses)}; of several uses", end=" ")
    print(sum(len(set(house.uses)) > 1 for house in houses))
    print(f"cells       {sum(house.area for house in houses)}")
    print(f"serve rooms {sum(house.served for house in houses)}; gates", end=" ")
    print(sum(house.gates for house in houses))
    print("uses        " + ", ".join(f"{use}: {n}" for use, n in Counter(yards).most_common()))
    for what in ("unused", "closed", "gaps", "bare", "faults"):
        wrong = [house for house in houses if getattr(house, what)]
        some = [(house.seed, getattr(house, what)) for house in wrong[:12]]
        print(f"{what:11} {len(wrong)} houses: {some}")
    for one in found:
        if isinstance(one, str):
            print(f"no house for seed {one}")


if __name__ == "__main__":
    main()
