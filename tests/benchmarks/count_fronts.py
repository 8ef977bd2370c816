"""What a picky builder counts along the fronts, over many houses.

    python -m tests.benchmarks.count_fronts 0:400

Bays like their pair across the middle, lonely windows, sills in line, blank bays, unlike bays of a house;
how often the bays to the lane show more unlike pieces than those behind; and how well one guesses from a
bay what kind of
room lies behind it, by the commonest kind behind bays that look alike.
"""

from __future__ import annotations

from collections import Counter
from statistics import fmean

import click
from msgspec import Struct

from genhouse.core.axes import Side, opposite
from genhouse.generate.recipe import design_shell
from genhouse.model.brief import Recipe
from genhouse.model.raster import raster
from genhouse.outputs.figures import _fronts
from genhouse.outputs.figures._tables import FrontFigures
from tests.benchmarks.counting import counted_over, seeds_of


class Counted(Struct, frozen=True):
    """One house.  bays: what stands behind each and what it looks like, materials by name.

    lane, back: unlike pieces in a bay there, on the mean.
    """

    figures: FrontFigures
    bays: list[tuple[str, str]]
    lane: float
    back: float


def counted(seed: int) -> Counted:
    """The counts of a seed's house."""
    design = design_shell(Recipe(seed=seed))
    voxels = raster(design)
    stuff = [m.name for m in voxels.about.materials]
    bays: list[tuple[str, str]] = []
    shown: dict[Side, list[int]] = {}
    for row in _fronts.rows(design, voxels):
        for bay in row:
            motif = min(bay.motif, bay.motif[::-1])
            told = str([[[(stuff[m], p) for m, p in c] for c in both] for both in motif])
            bays.append((design.room(bay.wall.low or bay.wall.high).kind, told))
            pieces = {one for both in motif for column in both for one in column}
            shown.setdefault(bay.wall.outward, []).append(len(pieces))
    return Counted(
        figures=_fronts.fronts(design, voxels),
        bays=bays,
        lane=fmean(shown.get(design.gate_side, [0])),
        back=fmean(shown.get(opposite(design.gate_side), [0])),
    )


@click.command()
@click.argument("seeds", default="0:400")
@click.option("--jobs", default=2, help="Processes.")
def main(seeds: str, jobs: int) -> None:
    """Count and print."""
    houses = counted_over(seeds_of(seeds), counted, jobs)
    for name in ("symmetry", "lonely", "level", "blank", "motifs"):
        values = [getattr(house.figures, name) for house in houses]
        click.echo(f"{name:9} mean {sum(values) / len(values):6.2f}")
    richer = sum(house.lane > house.back for house in houses)
    click.echo(f"the lane shows more than the back in {richer} of {len(houses)}")
    bays = [bay for house in houses for bay in house.bays]
    kinds: dict[str, Counter[str]] = {}
    for kind, motif in bays:
        kinds.setdefault(motif, Counter())[kind] += 1
    guessed = sum(each.most_common(1)[0][1] for each in kinds.values())
    alone = Counter(kind for kind, _ in bays).most_common(1)[0][1]
    click.echo(
        f"kinds guessed from outside {guessed} of {len(bays)}, blindly {alone}; {len(kinds)} motifs"
    )


if __name__ == "__main__":
    main()
