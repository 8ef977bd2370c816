"""How unlike houses look from outside, over many seeds.

    python -m tests.benchmarks.count_outside 0:60

Shares of full rectangles, how far each house is from the one most like it, ridges, storeys, courts, and
what looks wrong: each with the seeds where it is so.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable

import click
import numpy as np
import numpy.typing as npt
from msgspec import Struct
from scipy.ndimage import binary_fill_holes, label

from genhouse.core.box import Rect
from genhouse.core.errors import GenhouseError
from genhouse.generate.recipe import design_shell
from genhouse.many.outside import Look, look, outside
from genhouse.model.brief import Recipe
from genhouse.model.design import Design
from genhouse.model.raster import raster
from tests.benchmarks.counting import counted_over, seeds_of

Mask = npt.NDArray[np.bool_]
MOST_COMPARED = 200
"""Houses that are compared, each with every other."""


class Seen(Struct, frozen=True):
    """One house.  plain: whether its wings and walled courts fill one rectangle; roofed: whether what is
    under a roof does, courts filled.  storeys: of each wing.  wrong: what of it looks wrong."""

    seed: int
    look: Look
    plain: bool
    roofed: bool
    storeys: tuple[int, ...]
    courts: int
    wrong: tuple[str, ...]


def seen(seed: int) -> Seen | str:
    """A seed's house as one sees it who walks round it, or why there is none."""
    try:
        design = design_shell(Recipe(seed=seed))
        voxels = raster(design)
    except (GenhouseError, ValueError) as error:
        return f"{seed}: {error}"
    about = look(design, voxels)
    return Seen(
        seed=seed,
        look=about,
        plain=full(over(design, *design.wings, *(court.grown(1) for court in design.courts))),
        roofed=full(over(design, *design.wings)),
        storeys=tuple(sorted(cover.storeys for cover in design.covers)),
        courts=len(design.courts),
        wrong=tuple(name for name, found in WRONG.items() if found(design, about)),
    )


def ground(about: Look) -> Mask:
    """What is built on."""
    return np.array([list(row) for row in about.heights]) > 0


def full(covered: Mask) -> bool:
    """Whether some ground, with what it encloses, is one rectangle."""
    x, y = np.nonzero(covered)
    bounds = covered[x.min() : x.max() + 1, y.min() : y.max() + 1]
    return bool(binary_fill_holes(bounds).all())


def over(design: Design, *rects: Rect) -> Mask:
    """The ground that some rectangles cover."""
    covered = np.zeros(design.plot, dtype=bool)
    for x0, y0, x1, y1 in rects:
        covered[x0:x1, y0:y1] = True
    return covered


def well(design: Design) -> bool:
    """Whether a court is narrower than what stands on both sides of it is high."""
    return any(
        across.width < min(_eaves(design, side) for side in sides)
        for court in design.courts
        for axis in ("x", "y")
        for across in [court.lie(axis)]
        for sides in [[r.lie(axis) for r in beside(across)]]
    )


def beside(court: Rect) -> tuple[Rect, Rect]:
    """The wall lines at both ends of a court that lies along x."""
    x0, y0, x1, y1 = court
    return Rect(x0 - 1, y0, x0, y1), Rect(x1, y0, x1 + 1, y1)


def _eaves(design: Design, line: Rect) -> int:
    """How high above the ground the highest eaves are of what stands on a wall line; 0 of none."""
    ground = design.gate[2] // 4
    here = (cover for cover in design.covers if cover.rect.meets(line))
    return max((cover.base // 2 - ground for cover in here), default=0)


WRONG: dict[str, Callable[[Design, Look], bool]] = {
    "a court narrower than it is high": lambda design, _: well(design),
    "a front to the gate without a window": lambda _, about: blind(about.fronts[0]),
    "a front without any opening": lambda _, about: any(
        front and set(front) == {"none"} for front in about.fronts
    ),
    "several buildings": lambda _, about: label(ground(about))[1] > 1,
}


def blind(front: Iterable[str]) -> bool:
    """Whether nobody looks out of it."""
    return set(front) <= {"none", "entrance", "door"}


def nearest(looks: list[Look]) -> list[float]:
    """How far each is from the one most like it, by its heights."""
    apart = np.full((len(looks), len(looks)), np.inf)
    for m, one in enumerate(looks):
        for n, other in enumerate(looks[:m]):
            apart[m, n] = apart[n, m] = float(outside(one.heights, other.heights))
    return [float(row.min()) for row in apart]


def shares(what: str, found: Iterable[object]) -> str:
    """A line: how many of each, the commonest first."""
    return f"{what:24}" + ", ".join(f"{one}: {n}" for one, n in Counter(found).most_common(12))


@click.command()
@click.argument("seeds", default="0:60")
@click.option("--jobs", default=1, help="Processes.")
def main(seeds: str, jobs: int) -> None:
    """Count and print."""
    wanted = seeds_of(seeds)
    found = counted_over(wanted, seen, jobs)
    houses = [one for one in found if isinstance(one, Seen)]
    looks = [house.look for house in houses]
    ridges = [max(map(max, one.heights)) for one in looks]
    print(f"houses                  {len(houses)} of {len(wanted)} seeds")
    print(
        f"full rectangles         {np.mean([h.plain for h in houses]):.0%} in plan,",
        end=" ",
    )
    print(f"{np.mean([h.roofed for h in houses]):.0%} under roofs; at most 40 % wanted")
    if len(houses) <= MOST_COMPARED:
        tenth, half = np.percentile(nearest(looks), [10, 50])
        print(
            f"nearest neighbour       {half:.3f} at the median, {tenth:.3f} at the tenth percentile;"
        )
        print("                        0.14 and 0.08 wanted")
    print(f"heights of ridge        {len(set(ridges))}, of which eight wanted")
    print(shares("  cells above ground", ridges))
    print(shares("storeys of wings", (house.storeys for house in houses)))
    print(shares("wings", (len(house.storeys) for house in houses)))
    print(shares("courts", (house.courts for house in houses)))
    print(shares("colours", ((one.roof, one.walls) for one in looks)))
    for one in found:
        if isinstance(one, str):
            print(f"no house for seed {one}")
    for name in WRONG:
        wrong = [house.seed for house in houses if name in house.wrong]
        print(f"{name:36} {len(wrong)} of {len(houses)}: {wrong[:12]}")


if __name__ == "__main__":
    main()
