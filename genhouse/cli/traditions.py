"""``genhouse traditions``: ways of building: those at hand, a new one, whether one holds."""

from __future__ import annotations

import re
from pathlib import Path

import click

from genhouse.core.errors import BriefError, WriteError
from genhouse.core.reading import said
from genhouse.core.sentences import quoted
from genhouse.model.brief import Brief
from genhouse.traditions import folders
from genhouse.traditions.shelf import at_hand, check_name, names, tables

START = folders.SHELF / "start.toml"
"""What a new tradition begins with."""


@click.group(invoke_without_command=True)
@click.pass_context
def traditions(ctx: click.Context) -> None:
    """List the ways of building that there are; begin a new one, or check one."""
    if ctx.invoked_subcommand is None:
        width = max(map(len, names()))
        for name in names():
            click.echo(f"{name:<{width}}  {tables(name)['title']}")


@traditions.command()
@click.argument("name")
@click.option("--like", default=Brief().tradition, show_default=True, help="What it rests on.")
def new(name: str, like: str) -> None:
    """Write a folder NAME with a tradition in it: commented, resting on another, and sound already."""
    folder = Path(name)
    if not re.fullmatch(r"[a-z][a-z0-9-]*", folder.name):
        raise BriefError(
            f"name: {quoted(folder.name)} is no name; small letters, digits and hyphens make one"
        )
    check_name("tradition", like, folders.names(), where="like")
    if folder.exists():
        raise WriteError(f"{said(folder)} was not written: it is there already; give another name")
    from genhouse.outputs.files import write_folder

    text = START.read_text("utf-8")
    title = folder.name.replace("-", " ").capitalize()
    for blank, word in (("@NAME@", folder.name), ("@LIKE@", like), ("@TITLE@", title)):
        text = text.replace(blank, word)
    write_folder(folder, {folders.HEAD: text.encode()}, force=0)
    click.echo(f"{folder / folders.HEAD}: try genhouse design 7 --tradition ./{folder}")


@traditions.command()
@click.argument("tradition")
@click.option(
    "--seeds",
    type=click.IntRange(1, 1000),
    default=4,
    show_default=True,
    help="Houses of each number of storeys.",
)
@click.option("--trust", is_flag=True, help="Let the trades run that its own folder brings.")
def check(tradition: str, seeds: int, trust: bool) -> None:
    """Design, inspect, turn, mirror, draw and write houses of a TRADITION, by its name or PATH.

    Whatever it claims is asked for: storeys, courts, arrangements, outlines, gardens, palettes, roofs,
    trades and kinds of room. Exit code 1: something of it does not hold; each fault is named.
    """
    name = at_hand(tradition, trust=trust)
    from genhouse.testing import exam

    faults = exam(name, seeds=range(seeds))
    for fault in faults:
        click.echo(fault)
    if faults:
        raise SystemExit(1)
    click.echo(f"{tradition}: it holds")
