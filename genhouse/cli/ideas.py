"""``genhouse ideas``: a contact sheet of the best and most varied of many houses."""

from __future__ import annotations

from pathlib import Path

import click

from genhouse.cli.options import Wanted, house_options
from genhouse.cli.words import PATH, SEEDS, force
from genhouse.core.errors import BriefError

BY = "privacy,court-light"


@click.command()
@click.argument("seeds", type=SEEDS)
@house_options
@click.option("--best", type=int, default=12, show_default=True, help="How many to show.")
@click.option(
    "--by",
    default=BY,
    show_default=True,
    help="Figures to rank by, commas between; a minus before one turns its order round. "
    "genhouse choices figures lists them, and which way each is better.",
)
@click.option("--out", type=PATH, help="Folder to write; ideas-A-B if not given.")
@force
def ideas(seeds: range, best: int, by: str, out: Path | None, force: int, wanted: Wanted) -> None:
    """Make a house for each of SEEDS, such as 0:60, and show the best, no two of them alike.

    The folder has a contact sheet (sheet.png), a page with all figures, plans and room graphs
    (ideas.html), and the same for programs (ideas.json).
    """
    recipes = [wanted.recipe(seed) for seed in seeds]
    if best < 1:
        raise BriefError(f"best: {best} is not 1 or more")
    from genhouse.many.rank import aims

    aimed = aims(by)
    target = out or Path(f"ideas-{seeds.start}-{seeds.stop}")
    from genhouse.outputs.files import IDEAS, check_target, write_folder

    check_target(target, force=force, marker=IDEAS)
    from genhouse.many.folder import best_ideas, ideas_files

    choice, refusals = best_ideas(recipes, aimed, best)
    files = ideas_files(choice, refusals, aimed, seeds, wanted.words)
    write_folder(target, files, force=force, marker=IDEAS)
    click.echo(
        f"{target}: {len(choice.picks)} houses of {len(seeds)} seeds; {len(refusals)} not feasible, "
        f"{choice.dropped} dropped as near-duplicates; the two most alike are {choice.least:.2f} apart"
    )
