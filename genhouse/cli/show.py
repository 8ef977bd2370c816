"""``genhouse show``: the figures of a saved house."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Any

import click

from genhouse.cli.words import PATH, force
from genhouse.core.sentences import plain

HEADING = {
    "seed": "recipe.seed",
    "client": "recipe.brief.client",
    "plot": "plot",
    "outline": "outline",
    "gate": "gate_side",
    "tradition": "recipe.tradition",
    "palette": "recipe.palette",
}
"""Where a document has what stands above its tables."""


@click.command()
@click.argument("folder", type=PATH)
@click.option("--json", "as_json", is_flag=True, help="Print the figures as JSON.")
@click.option(
    "--drawing",
    type=PATH,
    help="File to write the room graph beside the plan to, as SVG.",
)
@force
def show(folder: Path, as_json: bool, drawing: Path | None, force: int) -> None:
    """Show the figures of the house in FOLDER, as they were measured when it was saved."""
    from genhouse.outputs.document.reading import read_told

    saved, note = read_told(folder)
    if drawing:
        _draw(folder, drawing, force)
    if note:
        click.echo(f"genhouse: {note}", err=True)
    if as_json:
        import msgspec

        text = msgspec.json.encode(saved.metrics, order="deterministic", enc_hook=vars)
        click.echo(msgspec.json.format(text, indent=2))
        return
    _tables(saved)


def _draw(folder: Path, drawing: Path, force: int) -> None:
    from genhouse.outputs.document.reading import read_design, read_saved
    from genhouse.outputs.files import write_drawing
    from genhouse.outputs.plans.room_diagram import room_diagram

    svg = room_diagram(read_design(folder), read_saved(folder).metrics)
    write_drawing(drawing, svg.encode(), kind="rooms.svg", force=force)


def _tables(saved: Any) -> None:
    from rich.console import Console
    from rich.text import Text

    from genhouse.cli.tables import UnmeasuredError, courts_table, house_table, rooms_table

    console = Console(highlight=False, markup=False, emoji=False)
    told = {name: _told(saved, path) for name, path in HEADING.items()}
    client = told["client"]
    name = (f"House {told['seed']}", "bold")
    console.print(Text.assemble("\n", name, f", {plain(client)}" if client else ""), soft_wrap=True)
    console.print(
        f"{' x '.join(map(str, told['plot'] or '?'))} cells{_corners(told['outline'])}, "
        f"gate to the {told['gate']}, {told['tradition']}, {told['palette']}\n",
        style="dim",
    )
    for table in (house_table, courts_table, rooms_table):
        with contextlib.suppress(UnmeasuredError):
            console.print(table(saved.metrics))
            console.print()
    for note in getattr(saved.metrics, "notes", ()):
        console.print(f"note: {note}", style="dim")


def _corners(outline: Any) -> str:
    return f" within {len(outline)} corners" if outline else ""


def _told(saved: Any, path: str) -> Any:
    """What stands there; None in a document of another version that has no such place."""
    for name in path.split("."):
        saved = getattr(saved, name, None)
    return saved
