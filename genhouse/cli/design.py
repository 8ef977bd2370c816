"""``genhouse design``: one house, whole."""

from __future__ import annotations

from pathlib import Path

import click

from genhouse.cli.words import PLOT, SEED, SETTING
from genhouse.core.axes import SIDES
from genhouse.generate.briefs import read_brief, with_options
from genhouse.model.brief import Brief, Recipe
from genhouse.traditions.shelf import check_recipe


@click.command()
@click.argument("seed", type=SEED)
@click.option(
    "--out", type=click.Path(path_type=Path), help="Folder to write; house-SEED if not given."
)
@click.option(
    "--brief", "brief_file", type=click.Path(path_type=Path), help="What the client wants, as TOML."
)
@click.option("--plot", type=PLOT, help="Width and depth in cells, such as 23x32.")
@click.option("--gate", type=click.Choice(SIDES), help="Side from which a visitor comes.")
@click.option(
    "--mirror", is_flag=True, default=None, help="Mirror the house in the axis of its gate."
)
@click.option("--tradition", help="Way of building.")
@click.option("--palette", help="Materials of the tradition.")
@click.option(
    "--garden", help="Kind of court garden: pond, gravel, moss, grove, well, tree or quartered."
)
@click.option(
    "--set", "settings", type=SETTING, multiple=True, help="Seed of one stage, such as fittings=3."
)
@click.option("--force", is_flag=True, help="Replace a folder that genhouse wrote before.")
def design(
    seed: int,
    out: Path | None,
    brief_file: Path | None,
    settings: tuple[tuple[str, int], ...],
    force: bool,
    **options: object,
) -> None:
    """Design a house from SEED and write its folder: arrays, pictures, plans, bill and guide."""
    brief = with_options(read_brief(brief_file) if brief_file else Brief(), **options)
    recipe = Recipe(seed=seed, brief=brief, stage_seeds=tuple(sorted(dict(settings).items())))
    check_recipe(recipe)
    target = out or Path(f"house-{seed}")
    from genhouse.outputs.files import check_target

    check_target(target, force=force)
    from genhouse.house import make

    house = make(recipe)
    house.save(target, force=force)
    plan = house.plan
    rooms = sum(room.indoor for room in plan.rooms)
    click.echo(
        f"{target}: a house on {plot_text(plan.plot)}, gate to the {plan.gate_side}, "
        f"{rooms} rooms, {sum(line.count for line in house.bill())} pieces"
    )


def plot_text(plot: tuple[int, int]) -> str:
    return f"{plot[0]} x {plot[1]} cells"
