"""What light of the sky reaches the rooms above by day, over many houses.

    python -m tests.benchmarks.count_daylight 0:150

By kind of room of the upper storeys: its average daylight factor in percent, papers drawn to, on the mean,
of the tenth of them that have least, and of the least; its sky component beside it; and how many reach the
aim that BS 8206-2:2008 sets: 1 % where one sleeps, 1.5 % where one lives or studies (``light.toml``).
Last, of all rooms on a court, how many have what EN 17037:2018 calls the minimum, by straight light alone.
"""

from __future__ import annotations

from collections.abc import Iterator

import click
import numpy as np
from msgspec import Struct

from genhouse.core.axes import ALONG, STEP
from genhouse.core.sky import _open, sky_component
from genhouse.core.solids import EIGHTHS, SUB, Bool, Ints
from genhouse.house import walked
from genhouse.model.brief import Recipe
from genhouse.model.design import Design
from genhouse.model.elements import Wall
from genhouse.model.lighting import floors, opaque
from genhouse.model.room import Room
from genhouse.model.voxels import Voxels
from genhouse.outputs.plans.light_field import daylight, house_light, provided
from genhouse.sound import sound
from genhouse.traditions.loader import load_tradition
from tests.benchmarks.counting import counted_over, seeds_of
from tests.reference import published

RAYS = 160
LIGHT = published("light")
TASK = LIGHT["dwelling"]["study_lux"][0]
AIMS = LIGHT["average"]
SLEEPING, STUDYING = AIMS["bedroom_percent"], AIMS["study_percent"]


class Skied(Struct, frozen=True):
    """An upper room.  average, sky: percent, on the mean of its floor.  aim: percent, or 0."""

    kind: str
    average: float
    sky: float
    aim: float


def counted(seed: int) -> tuple[list[Skied], list[bool]]:
    """The upper rooms of a seed's house; and of each room on a court whether it has its daylight."""
    house = sound(Recipe(seed=seed))
    return list(skied(house.plan, house.voxels)), list(on_court(house.plan, house.voxels))


def on_court(design: Design, voxels: Voxels) -> Iterator[bool]:
    """Of each room with an opening to a court or veranda, whether its floor has the minimum of EN 17037."""
    outdoors = {room.id for room in design.rooms if not room.indoor}
    beside = {
        number
        for wall in design.segments
        if wall.opening != "none" and {wall.low, wall.high} & outdoors
        for number in (wall.low, wall.high)
    }
    rooms = house_light(voxels, walked(voxels))
    for room, sky in zip(rooms, daylight(voxels, rooms), strict=True):
        if room.indoor and room.room in beside and len(sky):
            yield provided(sky)


def skied(design: Design, voxels: Voxels) -> Iterator[Skied]:
    """The upper rooms of a house."""
    kinds = dict(load_tradition(design.recipe.brief.tradition).kinds)
    _, points, number = floors(voxels, walked(voxels))
    stops = opaque(voxels)
    for room in design.rooms:
        here = points[number == room.id]
        if room.indoor and room.level > 1 and len(here):
            sky = 100 * float(sky_component(stops, here, sky="overcast", rays=RAYS).mean())
            kind = kinds[room.kind]
            aim = SLEEPING if kind.sleeps[0] else STUDYING if kind.light[0] >= TASK else 0.0
            yield Skied(room.kind, average(design, voxels, stops, room), sky, aim)


def average(design: Design, voxels: Voxels, stops: Bool, room: Room) -> float:
    """The average daylight factor of a room in percent: T M W theta / A (1 - R R), over its openings.

    W: their clear area; theta: degrees of sky that each sees square on, from the inner face of its wall;
    A: all that bounds the room, R: what that throws back on the mean, by the colours of its materials.
    """
    area, back = _bounds(voxels, room)
    walls = [s for s in design.segments if s.exposed and room.id in (s.low, s.high)]
    through = sum(_through(s, room, voxels, stops) for s in walls)
    return float(through * AIMS["clean"] / (area * (1 - back * back)))


def _bounds(voxels: Voxels, room: Room) -> tuple[int, float]:
    """How many faces of cells bound a room, and what part of light they throw back on the mean."""
    inside = np.pad(voxels.room == room.id, 1)
    material, form = np.pad(voxels.material, 1), np.pad(voxels.form, 1)
    throws = np.array([luminance(m.colour) for m in voxels.about.materials])
    throws[voxels.flag("clear")] = AIMS["paper_back"]
    found = []
    for axis in range(3):
        for way in (1, -1):
            beyond = np.roll(inside, way, axis)
            face = beyond & ~inside
            found.append(np.where(form[face] > 0, throws[material[face]], 0))
    every = np.concatenate(found)
    return len(every), float(every.mean())


def luminance(colour: str) -> float:
    """The relative luminance of a colour (IEC 61966-2-1)."""
    parts = np.array([int(colour[n : n + 2], 16) for n in (1, 3, 5)]) / 255
    line = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return float(line @ (0.2126, 0.7152, 0.0722))


def _through(wall: Wall, room: Room, voxels: Voxels, stops: Bool) -> float:
    """Of one wall: the area of its openings by the degrees of sky and what paper lets through."""
    dx, dy = STEP[wall.outward]
    clear, along = voxels.flag("clear"), ALONG[wall.axis]
    points, areas = [], []
    for x, y in wall.cells.cells():
        for z in range(room.floor, wall.z1):
            shut = clear[voxels.material[x, y, z]]
            free = ~voxels.shapes[0 if shut else voxels.form[x, y, z]].any(axis=1 - along)
            if free.any():
                at = EIGHTHS * np.array((x, y, z), dtype=np.int32) + _middle(free, along)
                at[1 - along] += EIGHTHS + 1 if dx + dy < 0 else -1
                points.append(at)
                areas.append(free.sum() / SUB**2 * (AIMS["paper"] if shut else 1))
    angles = np.radians(np.arange(90) + 0.5)
    ways = np.stack((dx * np.cos(angles), dy * np.cos(angles), np.sin(angles)), axis=1)
    return float(_open(stops, np.array(points), ways).sum(axis=1) @ areas) if points else 0.0


def _middle(free: Bool, along: int) -> Ints:
    """The free sub-cell of a wall's cell nearest to their middle, in eighths: along the wall, and up."""
    spots = np.argwhere(free)
    a, up = spots[np.abs(spots - spots.mean(axis=0)).sum(axis=1).argmin()]
    at = np.zeros(3, dtype=np.int32)
    at[along], at[2] = 2 * a + 1, 2 * up + 1
    return at


@click.command()
@click.argument("seeds", default="0:150")
@click.option("--jobs", default=2, help="Processes.")
def main(seeds: str, jobs: int) -> None:
    """Count and print."""
    found = list(counted_over(seeds_of(seeds), counted, jobs))
    rooms = [room for some, _ in found for room in some]
    court = [one for _, some in found for one in some]
    for kind in sorted({room.kind for room in rooms}):
        mine = [room for room in rooms if room.kind == kind]
        mean = np.array([room.average for room in mine])
        click.echo(
            f"{kind:12} {len(mine):5} rooms, mean {mean.mean():5.2f},"
            f" tenth {np.percentile(mean, 10):5.2f}, least {mean.min():5.2f},"
            f" sky {np.mean([room.sky for room in mine]):5.2f}"
            + f", {mine[0].aim:g} % in {sum(mean >= mine[0].aim)}"
            * bool(mine[0].aim)
        )
    asked = [room for room in rooms if room.aim]
    reach = sum(room.average >= room.aim for room in asked)
    open_to = sum(room.sky >= room.aim for room in asked)
    click.echo(
        f"rooms above to sleep or work in with the aim, papers drawn to {reach} of {len(asked)}"
    )
    click.echo(f"by straight light of the sky alone, papers open {open_to} of {len(asked)}")
    click.echo(f"rooms on a court with the minimum of EN 17037 {sum(court)} of {len(court)}")


if __name__ == "__main__":
    main()
