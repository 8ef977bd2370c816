"""``genhouse village``: a map filled with houses that belong there."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import click

from genhouse.cli.words import PATH, SEED, force
from genhouse.core.errors import BriefError
from genhouse.core.sentences import quoted
from genhouse.generate.briefs import read_brief
from genhouse.model.brief import Brief
from genhouse.traditions.shelf import ALL, names, weighed


class Size(click.ParamType):  # type: ignore[type-arg, unused-ignore]
    name = "XxY"

    def convert(self, value: Any, param: Any, ctx: Any) -> tuple[int, int]:  # noqa: ARG002
        if isinstance(value, tuple):
            return (int(value[0]), int(value[1]))
        match = re.fullmatch(r"([0-9]{1,6}) ?[x×] ?([0-9]{1,6})", value, re.ASCII)
        if not match:
            raise BriefError(f"size: {quoted(value)} is not a width and a depth, such as 512x512")
        return int(match[1]), int(match[2])


@click.command()
@click.argument("seed", type=SEED)
@click.option("--size", type=Size(), default="512x512", show_default=True, help="Cells of the map.")
@click.option("--houses", type=int, default=40, show_default=True, help="How many.")
@click.option("--brief", "brief_file", type=PATH, help="What all of them ask for, as TOML.")
@click.option(
    "--tradition",
    "traditions",
    help="Ways of building, by name or PATH, with weights, such as ./barn:3,./hut:1; or all.",
)
@click.option("--terrain", type=PATH, help="Heights of your own, npy or png, one a cell.")
@click.option("--units", type=float, default=1.0, show_default=True, help="Cells to a height of 1.")
@click.option("--keep-out", type=PATH, help="Where nothing is built, npy or png: not 0 there.")
@click.option(
    "--engine", default="pool", show_default=True, help="pool, here, dask or tcp://host:port."
)
@click.option("--store", help="Address of the cells, where they go elsewhere (fsspec): s3://...")
@click.option("--model", is_flag=True, help="Write village.glb too, a node a tile of 64 cells.")
@click.option("--folders", is_flag=True, help="Write each house's own folder too.")
@click.option("--out", type=PATH, help="Folder to write; village-SEED if not given.")
@force
def village(
    seed: int,
    size: tuple[int, int],
    houses: int,
    brief_file: Path | None,
    traditions: str | None,
    terrain: Path | None,
    units: float,
    keep_out: Path | None,
    engine: str,
    store: str | None,
    model: bool,
    folders: bool,
    out: Path | None,
    force: int,
) -> None:
    """Lay out a village from SEED: its cells (Zarr), roster, plans, map and page.

    A run that was stopped goes on where it was when it is given again.  The whole is inspected as it is
    written; exit code 1: findings, which village.json keeps under checks.
    """
    base = read_brief(brief_file) if brief_file else Brief()
    weights = _weights(traditions)
    target = out or Path(f"village-{seed}")
    from genhouse.core.engines import check_engine
    from genhouse.outputs.files import VILLAGE, check_target

    check_engine(engine)
    check_target(target, force=force, marker=VILLAGE)
    from genhouse.village.folder import write_village
    from genhouse.village.public import site

    made = write_village(
        site(seed, size, houses, base, terrain, units, keep_out, weights),
        target,
        force=force,
        folders=folders,
        engine=engine,
        store=store,
        model=model,
    )
    lanes, wanted = sum(lane.length for lane in made.site.lanes.lanes), made.site.wanted
    alike = sum(like.alike for like in made.likeness)
    click.echo(
        f"{target}: {len(made.houses)} houses on {wanted.size[0]} x {wanted.size[1]} cells, "
        f"{lanes} cells of lane, {made.settled.cut // 2} cells cut and {made.settled.fill // 2} filled; "
        + (f"{alike} are like another, tries spent" if alike else "no two are alike")
    )
    if made.report and not made.report.clean:
        for finding in made.report.findings:
            click.echo(f"BROKEN {finding}", err=True)
        raise SystemExit(1)


def _weights(text: str | None) -> tuple[tuple[str, int], ...]:
    """Traditions with their weights.  Raises BriefError and TraditionError."""
    if text == ALL:
        return weighed(dict.fromkeys(names(), 1))
    found: dict[str, object] = {}
    for part in text.split(",") if text else ():
        words, colon, weight = part.strip().partition(":")
        whole = weight.isascii() and weight.isdigit()
        found[words] = int(weight) if whole else weight if colon else 1
    return weighed(found)
