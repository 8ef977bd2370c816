"""``genhouse publish``: pictures and a text with which to show a saved house."""

from __future__ import annotations

from pathlib import Path

import click

from genhouse.cli.words import PATH, force, say_notes

MOST = 600


@click.command()
@click.argument("folder", type=PATH)
@click.option(
    "--rate",
    type=click.IntRange(1, MOST),
    help="Pieces that are set in a minute, for the time that the house takes; 15 if not said.",
)
@force
def publish(folder: Path, rate: int | None, force: int) -> None:
    """Make what one shows a saved house with, in its folder.

    cover.png, cutaways.png (as a shell and lived in), turntable.webp (the house turning), contact.png
    (every step), and about.txt: plot, size, pieces by material, steps and the time for placing.
    """
    from genhouse.house import load
    from genhouse.outputs.files import add_files
    from genhouse.outputs.publishing.account import RATE
    from genhouse.outputs.publishing.kit import kit

    house = load(folder)
    plan = house.plan
    say_notes(house)
    files = kit(plan, house.voxels, house.finishes, rate or RATE)
    add_files(folder, files, force=force)
    click.echo(f"{folder}: {', '.join(files)}")
