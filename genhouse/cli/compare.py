"""``genhouse compare``: what became of the same recipes."""

from __future__ import annotations

from pathlib import Path

import click

from genhouse.cli.words import PATH, SEEDS
from genhouse.core.sentences import plain


@click.command()
@click.argument("old", type=PATH)
@click.argument("new", type=PATH)
@click.option("--out", type=PATH, help="A page of what changed, before, after and difference.")
@click.option(
    "--seeds",
    type=SEEDS,
    default="0:100",
    show_default=True,
    help="What is surveyed where OLD or NEW is an interpreter.",
)
@click.option(
    "--fail-on",
    default="",
    help="Exit code 1 where this changed, commas between: any, outcome, fault (a new one), tables, "
    "findings, rooms, or a building stage.",
)
def compare(old: Path, new: Path, out: Path | None, seeds: range, fail_on: str) -> None:
    """Say which houses changed from OLD to NEW, and at which stage first.

    Each is the folder of a survey, the folder of a house, or a Python with genhouse installed.
    """
    from genhouse.survey.compare import compare as compared
    from genhouse.survey.compare import fail_words

    failing = fail_words(fail_on)
    from tempfile import TemporaryDirectory

    from genhouse.survey.changes import figures_said, headline, page
    from genhouse.survey.sides import sides

    with TemporaryDirectory() as place:
        (before, makes_old), (after, makes_new) = sides(old, new, seeds, Path(place))
        found = compared(before, after)
        words = (
            f"{len(found.changes)} of {found.both} recipes make another house; "
            f"{found.gone} are gone, {found.come} have come"
        )
        if out is not None:
            from genhouse.outputs.files import put_file

            title = f"From {plain(old.name)} to {plain(new.name)}"
            put_file(out, page(title, found, makes_old, makes_new, f"{words}."))
    click.echo(words)
    for kind in found.kinds:
        click.echo(f"{len(kind.changes):6} {headline(kind)}")
        if kind.means:
            click.echo(f"       {figures_said(kind)}")
        click.echo(f"       {kind.changes[0].recipe}")
    if found.fails(failing):
        raise SystemExit(1)
