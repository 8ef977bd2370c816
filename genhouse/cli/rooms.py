"""``genhouse rooms``: a sheet with a small picture of every room."""

from __future__ import annotations

from pathlib import Path

import click

from genhouse.cli.words import PATH, force, say_notes


@click.command()
@click.argument("folder", type=PATH)
@click.option("--captions/--no-captions", default=True, help="Say below each what room it is.")
@force
def rooms(folder: Path, captions: bool, force: int) -> None:
    """Draw every room of a saved house by itself, cut open: rooms.png in the folder."""
    from genhouse.house import load
    from genhouse.outputs.files import add_files
    from genhouse.outputs.pictures.picture import png, scene
    from genhouse.outputs.pictures.vignettes import rooms_sheet, vignettes

    house = load(folder)
    plan = house.plan
    say_notes(house)
    sheet = rooms_sheet(vignettes(plan, scene(house.voxels, house.finishes)), captions=captions)
    add_files(folder, {"rooms.png": png(sheet)}, force=force)
    click.echo(f"{folder / 'rooms.png'}: {sum(room.indoor for room in plan.rooms)} rooms")
