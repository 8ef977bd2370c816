"""``genhouse choices``: every name that a brief, an option or a ranking may use."""

from __future__ import annotations

from collections.abc import Callable

import click

from genhouse.core.axes import SIDES
from genhouse.core.errors import BriefError
from genhouse.model.brief import STAGE_NAMES, Brief
from genhouse.model.roof import ROOF_FORMS, WINGS
from genhouse.traditions.shelf import at_hand, names, tables

Rows = list[tuple[str, str]]
"""A name and what it stands for."""


def _kinds(tradition: str) -> Rows:
    return [
        (
            name,
            f"{'above' if kind['level'] == 2 else 'below'}, "
            f"{kind['area'][0]} to {kind['area'][2]} cells, best {kind['area'][1]}",
        )
        for name, kind in tables(tradition)["kind"].items()
    ]


def _palettes(tradition: str) -> Rows:
    data = tables(tradition)
    return [
        (name, ", ".join((data["role"] | changes)[role] for role in data["words"]["palette"]))
        for name, changes in data["palette"].items()
    ]


def _profiles(tradition: str) -> Rows:
    return [(profile["name"], profile["kind"]) for profile in tables(tradition)["roof"]["profiles"]]


def _drawn(key: str) -> Callable[[str], Rows]:
    """Names of a table of weights, those said of which a house has only where it is asked for them."""
    return lambda tradition: [
        (name, "" if weight else "where it is asked for")
        for name, weight in tables(tradition)["plan"][key].items()
    ]


def _figures(_: str) -> Rows:
    from genhouse.outputs.figures.named_figures import NAMED

    return [
        (f.name, f"{f.title}: {f.meaning}; {'more' if f.more else 'less'} is better") for f in NAMED
    ]


GROUPS: dict[str, Callable[[str], Rows]] = {
    "traditions": lambda _: [(name, str(tables(name)["title"])) for name in names()],
    "kinds": _kinds,
    "palettes": _palettes,
    "trades": lambda tradition: [
        (name, " and ".join(rooms)) for name, rooms in tables(tradition).get("trade", {}).items()
    ],
    "arrangements": _drawn("arrangements"),
    "outlines": lambda tradition: [(name, "") for name in tables(tradition)["plan"]["outlines"]],
    "gardens": _drawn("gardens"),
    "roof-forms": lambda _: [
        *((name, "") for name in ROOF_FORMS),
        ("inward", "a lean-to round the whole court; for roof.form"),
    ],
    "profiles": _profiles,
    "wings": lambda _: [(name, "") for name in WINGS],
    "sides": lambda _: [(name, "") for name in SIDES],
    "stages": lambda _: [(name, "") for name in STAGE_NAMES],
    "figures": _figures,
}


@click.command()
@click.argument("group", required=False)
@click.option(
    "--tradition",
    default=Brief().tradition,
    show_default=True,
    help="Way of building: a name, or the PATH of its folder.",
)
@click.option("--json", "as_json", is_flag=True, help="Print them as JSON.")
def choices(group: str | None, tradition: str, as_json: bool) -> None:
    """List the names that there are to choose from, all or one GROUP of them.

    Groups: traditions, kinds (of room), palettes, trades, arrangements, outlines, gardens, roof-forms,
    profiles, wings, sides, stages, figures.
    """
    if group is not None and group not in GROUPS:
        raise BriefError(f"choices: there is no group {group!r}; try {', '.join(GROUPS)}")
    known = at_hand(tradition)
    found = {name: GROUPS[name](known) for name in ([group] if group else GROUPS)}
    if as_json:
        import json

        click.echo(json.dumps({name: dict(rows) for name, rows in found.items()}, indent=2))
        return
    for name, rows in found.items():
        if group is None:
            click.echo(name)
        width = max(len(word) for word, _ in rows)
        for word, meaning in rows:
            click.echo(f"{'' if group else '  '}{word:<{width}}  {meaning}".rstrip())
