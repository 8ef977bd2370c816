"""``genhouse light``: how bright each room of a saved house is, by lamps at night and by the sky."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from genhouse.cli.words import PATH, force, say_notes
from genhouse.core.errors import UnreadableError
from genhouse.core.reading import said

if TYPE_CHECKING:
    from genhouse.core.sky import Floats
    from genhouse.house import House
    from genhouse.outputs.plans.light_field import RoomLight

HEAD = ("room", "kind", "storey", "least lx", "mean lx", "most lx", "sky %", "lamps", "fewest")
FORM = "{:>4}  {:<12} {:>6} {:>9} {:>9} {:>9} {:>7} {:>7} {:>7}"
NOTE = (
    "Straight light on the level of the feet, in the middle of each cell, a cell for a metre; what "
    "walls throw back comes on top. Sky: part of what open ground gets under an overcast sky, whatever "
    "is clear standing open. Fewest: hung or bracketed lamps that no placing goes below; a court's are "
    "counted with those of its verandas and galleries."
)


@click.command()
@click.argument("folder", type=PATH)
@click.option(
    "--floor-level",
    type=click.IntRange(0, 6),
    default=0,
    help="Height of the level measured, in quarter cells above the floor.",
)
@force
def light(folder: Path, floor_level: int, force: int) -> None:
    """Say how bright the rooms of a saved house are, also one whose arrays were changed by hand.

    Writes light.svg, a plan with contours of light, and night.png into the folder; of a house whose
    design is of another version, the picture alone.
    """
    from genhouse.house import load
    from genhouse.outputs.plans.light_field import daylight

    house = load(folder)
    say_notes(house)
    field = house.light()
    if not any(len(room.points) for room in field):
        raise UnreadableError(
            f"{said(folder)}: one can stand nowhere in this house, so no floor is lit"
        )
    rooms = house.light(floor_level) if floor_level else field
    for line in _table(house, rooms, daylight(house.voxels, rooms)):
        click.echo(line)
    click.echo(NOTE)
    _write(house, field, folder, force)


def _table(house: House, rooms: tuple[RoomLight, ...], sky: tuple[Floats, ...]) -> Iterator[str]:
    from genhouse.outputs.plans.light_field import provided

    fewest = dict(house.plan.fewest_lamps) if house.designed else {}
    yield FORM.format(*HEAD)
    for room, part in zip(rooms, sky, strict=True):
        lux = (room.lux.min(), room.lux.mean(), room.lux.max()) if room.lux.size else (0, 0, 0)
        yield FORM.format(
            room.room,
            room.kind,
            room.level,
            *(f"{value:.1f}" for value in lux),
            f"{100 * part.mean() if part.size else 0:.1f}",
            room.lamps,
            fewest.get(room.room, ""),
        )
    lamps = sum(room.lamps for room in rooms)
    asked = f"{house.recipe.brief.light} lux" if house.designed else "light"
    yield f"{lamps} lamps; the brief asks for {asked} on every floor indoors"
    indoor = [part for room, part in zip(rooms, sky, strict=True) if room.indoor]
    yield (
        f"By day {sum(map(provided, indoor))} of {len(indoor)} rooms have what EN 17037 calls the minimum "
        "(for London's sky 2.1 % on half of a floor, 0.7 % on all but a twentieth), straight from the sky"
    )


def _write(house: House, field: tuple[RoomLight, ...], folder: Path, force: int) -> None:
    from genhouse.outputs.files import add_files
    from genhouse.outputs.pictures.picture import png
    from genhouse.outputs.plans.light_plan import light_plan

    night = png(house.picture("court", night=True))
    plan = {"light.svg": light_plan(house.plan, field).encode()} if house.designed else {}
    add_files(folder, {**plan, "night.png": night}, force=force)
