"""What straight light of the sky reaches the rooms above by day, over many houses.

    python -m tests.benchmarks.count_daylight 0:150

By kind of room of the upper storeys: the mean of its sky component on the level of the feet, an overcast
sky, in percent, of all such rooms, of the tenth of them that have least, and of the least; and how many
reach the aim.  The aim is the average daylight factor that BS 8206-2:2008 asks at least: 1 % where one
sleeps, 1.5 % where one lives or studies (read second-hand, in the Code for Sustainable Homes; bedrooms
from memory).  That counts what walls throw back too, and loses a third in glass; here neither does.
"""

from __future__ import annotations

from collections.abc import Iterator

import click
import numpy as np
from msgspec import Struct

from genhouse.core.sky import sky_component
from genhouse.house import walked
from genhouse.model.brief import Recipe
from genhouse.model.lighting import floors, opaque
from genhouse.model.voxels import Voxels
from genhouse.sound import sound
from genhouse.traditions.loader import load_tradition
from tests.benchmarks.counting import counted_over, seeds_of
from tests.reference import published

RAYS = 160
TASK = published("light")["dwelling"]["study_lux"][0]
AIMS = published("light")["average"]
SLEEPING, STUDYING = AIMS["bedroom_percent"], AIMS["study_percent"]


class Skied(Struct, frozen=True):
    """An upper room.  sky: percent, on the mean of its floor.  aim: percent, 0 where there is none."""

    kind: str
    sky: float
    aim: float


def counted(seed: int) -> list[Skied]:
    """The upper rooms of a seed's house."""
    house = sound(Recipe(seed=seed))
    return list(skied(house.voxels))


def skied(voxels: Voxels) -> Iterator[Skied]:
    """The upper rooms of a house."""
    kinds = dict(load_tradition("timber").kinds)
    _, points, number = floors(voxels, walked(voxels))
    for room in voxels.about.rooms:
        here = points[number == room.id]
        if room.indoor and room.level > 1 and len(here):
            sky = sky_component(opaque(voxels), here, sky="overcast", rays=RAYS)
            kind = kinds[room.kind]
            aim = SLEEPING if kind.sleeps[0] else STUDYING if kind.light[0] >= TASK else 0.0
            yield Skied(room.kind, 100 * float(sky.mean()), aim)


@click.command()
@click.argument("seeds", default="0:150")
@click.option("--jobs", default=2, help="Processes.")
def main(seeds: str, jobs: int) -> None:
    """Count and print."""
    rooms = [room for some in counted_over(seeds_of(seeds), counted, jobs) for room in some]
    for kind in sorted({room.kind for room in rooms}):
        mine = [room for room in rooms if room.kind == kind]
        sky = np.array([room.sky for room in mine])
        reach = sum(room.sky >= room.aim for room in mine)
        click.echo(
            f"{kind:12} {len(mine):5} rooms, mean {sky.mean():5.2f}, tenth {np.percentile(sky, 10):5.2f}, "
            f"least {sky.min():5.2f}" + f", {mine[0].aim:g} % in {reach}" * bool(mine[0].aim)
        )
    asked = [room for room in rooms if room.aim]
    reach = sum(room.sky >= room.aim for room in asked)
    click.echo(f"rooms above to sleep or work in with the aim {reach} of {len(asked)}")


if __name__ == "__main__":
    main()
