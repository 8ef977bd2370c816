"""``genhouse design``: one house, whole."""

from __future__ import annotations

from pathlib import Path

import click

from genhouse.cli.options import Wanted, house_options
from genhouse.cli.words import PATH, SEED, force


@click.command()
@click.argument("seed", type=SEED)
@click.option("--out", type=PATH, help="Folder to write; house-SEED if not given.")
@click.option("--names", type=PATH, help="Your own names, as CSV: material, form or *, name.")
@click.option(
    "--bundle",
    type=click.IntRange(1, 10_000),
    default=64,
    show_default=True,
    help="Pieces that you fetch together.",
)
@house_options
@force
def design(
    seed: int,
    out: Path | None,
    names: Path | None,
    bundle: int,
    force: int,
    wanted: Wanted,
) -> None:
    """Design a house from SEED and write its folder: arrays, pictures, plans, bill and guide."""
    recipe = wanted.recipe(seed)
    target = out or Path(f"house-{seed}")
    from genhouse.outputs.files import check_target

    check_target(target, force=force)
    from genhouse.house import make
    from genhouse.outputs.names import remarks

    house = make(recipe)
    house.save(target, force=force, names=names, bundle=bundle)
    if names:
        for remark in remarks(house.voxels, house.names(names)):
            click.echo(f"genhouse: {remark}", err=True)
    plan = house.plan
    rooms = sum(room.indoor for room in plan.rooms)
    click.echo(
        f"{target}: a house on {plot_text(plan.plot)}, gate to the {plan.gate_side}, "
        f"{rooms} rooms, {sum(line.count for line in house.bill())} pieces"
    )


def plot_text(plot: tuple[int, int]) -> str:
    return f"{plot[0]} x {plot[1]} cells"
