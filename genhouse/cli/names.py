"""``genhouse names``: a table of the materials of a saved house, for a builder's own names."""

from __future__ import annotations

from pathlib import Path

import click

from genhouse.cli.words import PATH, force, say_notes


@click.command()
@click.argument("folder", type=PATH)
@force
def names(folder: Path, force: int) -> None:
    """Write names.csv into FOLDER: fill in what you call each material, and give it to design --names.

    A line more with a form in place of * names the pieces of that form apart.
    """
    from genhouse.house import load
    from genhouse.outputs.files import add_files
    from genhouse.outputs.names import starter

    house = load(folder)
    say_notes(house)
    table = starter(house.voxels)
    add_files(folder, {"names.csv": table}, force=force)
    click.echo(f"{folder / 'names.csv'}: {len(table.splitlines()) - 1} materials")
