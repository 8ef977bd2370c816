"""The tables of ``genhouse show``."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from rich import box
from rich.table import Table

from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.figures.named_figures import NAMED


def _table(*columns: str, right: int) -> Table:
    """Hairline rules; the last so many columns are numbers, set right."""
    table = Table(box=box.SIMPLE_HEAD, header_style="dim", border_style="dim", padding=(0, 1))
    for n, column in enumerate(columns):
        number = n >= len(columns) - right
        table.add_column(column, justify="right" if number else "left", no_wrap=number)
    return table


class UnmeasuredError(Exception):
    """A table of figures that a house of another version was not measured for."""


def _needs(table: Callable[[Any], Table]) -> Callable[[Any], Table]:
    def checked(figures: Any) -> Table:
        try:
            return table(figures)
        except (AttributeError, TypeError, ValueError) as error:
            if isinstance(figures, Figures):
                raise
            raise UnmeasuredError(str(error)) from error

    return checked


@_needs
def house_table(figures: Figures) -> Table:
    """The named figures of the whole house, as far as it was measured for them."""
    table = Table(box=box.SIMPLE_HEAD, header_style="dim", border_style="dim", padding=(0, 1))
    table.add_column("The house")
    table.add_column("", justify="right", no_wrap=True)
    table.add_column("")
    table.add_column("what it says", style="dim")
    table.add_column("better", style="dim", no_wrap=True)
    for figure in NAMED:
        try:
            value = figure.text(figure.read(figures))
        except AttributeError:
            continue
        better = "more" if figure.more else "less"
        table.add_row(figure.title, value, figure.unit, figure.meaning, better)
    return table


@_needs
def courts_table(figures: Figures) -> Table:
    table = _table("Court", "clear", "walls", "width to height", "sky", right=4)
    for n, court in enumerate(figures.courts, 1):
        table.add_row(
            str(n),
            f"{court.width} x {court.depth}",
            str(court.height),
            f"{court.width_to_height:.2f}",
            f"{100 * court.sky:.0f} %",
        )
    return table


@_needs
def rooms_table(figures: Figures) -> Table:
    """Storey by storey, in the order in which one comes to them."""
    table = _table(
        "Room", "no.", "storey", "cells", "depth", "integration", "control", "walk", right=7
    )
    order = sorted(figures.rooms, key=lambda r: (r.level, r.depth, r.walk or 0, r.id))
    for before, room in zip((*order[:1], *order), order, strict=False):
        if room.level != before.level:
            table.add_section()
        table.add_row(*map(_text, _row(room)))
    return table


def _row(room: Any) -> tuple[object, ...]:
    near = "-" if room.integration is None else f"{room.integration:.2f}"
    walk = "-" if room.walk is None else room.walk
    control = f"{room.control:.2f}"
    return room.kind, room.id, room.level, room.area, room.depth, near, control, walk


def _text(value: object) -> str:
    return str(value)
