"""``genhouse show``: the figures of a saved house."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from genhouse.cli.words import force

if TYPE_CHECKING:
    from genhouse.outputs.document.document import Saved


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the figures as JSON.")
@click.option(
    "--drawing",
    type=click.Path(path_type=Path),
    help="File to write the room graph beside the plan to, as SVG.",
)
@force
def show(folder: Path, as_json: bool, drawing: Path | None, force: int) -> None:
    """Show the figures of the house in FOLDER, as they were measured when it was saved."""
    from genhouse.outputs.document.document import read_recipe, read_saved

    saved = read_saved(folder)
    if drawing:
        _draw(folder, drawing, force)
    if as_json:
        import msgspec

        text = msgspec.json.encode(saved.metrics, order="deterministic")
        click.echo(msgspec.json.format(text, indent=2))
        return
    _tables(read_recipe(folder).seed, saved)


def _draw(folder: Path, drawing: Path, force: int) -> None:
    from genhouse.house import load
    from genhouse.outputs.files import write_drawing
    from genhouse.outputs.plans.room_diagram import room_diagram

    house = load(folder)
    svg = room_diagram(house.plan, house.figures()).encode()
    write_drawing(drawing, svg, kind="rooms.svg", force=force)


def _tables(seed: int, saved: Saved) -> None:
    from rich.console import Console

    from genhouse.cli.tables import courts_table, house_table, rooms_table

    console = Console(highlight=False)
    width, depth = saved.plot
    client = saved.recipe.brief.client
    console.print(f"\n[bold]House {seed}[/bold]{f', {client}' if client else ''}", soft_wrap=True)
    console.print(
        f"{width} x {depth} cells, gate to the {saved.gate_side}, {saved.recipe.tradition}, "
        f"{saved.recipe.palette}\n",
        style="dim",
    )
    for table in (house_table, courts_table, rooms_table):
        console.print(table(saved.metrics))
        console.print()
    for note in saved.metrics.notes:
        console.print(f"note: {note}", style="dim")
