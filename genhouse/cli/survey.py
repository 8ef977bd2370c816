"""``genhouse survey``: very many houses, a row each, and a page that says what they tell."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from genhouse.cli.options import Wanted, house_options
from genhouse.cli.words import MANY_SEEDS, PATH, PROCESSES
from genhouse.core.engines import ENGINES, POOL, check_engine
from genhouse.core.errors import BriefError
from genhouse.model.brief import Brief
from genhouse.traditions.shelf import ALL, names

RANGE = "court-light,privacy"


@click.command()
@click.argument("seeds", type=MANY_SEEDS)
@house_options
@click.option("--out", type=PATH, help="Folder to write; survey-A-B if not given.")
@click.option(
    "--sample",
    type=click.IntRange(1, 1_000_000),
    help="So many mixed briefs, by a rule that survey.json names; the seeds have them in turn.",
)
@click.option(
    "--range",
    "range_",
    default=RANGE,
    show_default=True,
    help="Two figures for the expressive range; genhouse choices figures lists them.",
)
@click.option(
    "--engine",
    default=POOL,
    show_default=True,
    help=f"Where houses are made: {', '.join(ENGINES)}, or a Dask scheduler's tcp://host:port.",
)
@click.option("--processes", type=PROCESSES, help="How many; as many as cores if not given.")
def survey(
    seeds: range,
    out: Path | None,
    sample: int | None,
    range_: str,
    engine: str,
    processes: int | None,
    wanted: Wanted,
) -> None:
    """Design, inspect and measure a house for each of SEEDS, such as 0:100000.

    The folder has a row a house (rows.sqlite) and a page of what they tell (survey.html). The same
    command goes on with a survey that was stopped, however it was. --plot takes a range, such as
    20x24:45x61, and --tradition takes all. Exit code 1: some house is at fault.
    """
    check_engine(engine)
    asked = _request(seeds, sample, wanted)
    across, up = _figures(range_)
    target = out or Path(f"survey-{seeds.start}-{seeds.stop}")
    from genhouse.core.engines import opened
    from genhouse.outputs.files import put_file
    from genhouse.survey.page import counts, page
    from genhouse.survey.run import begin, surveyed

    begin(asked, target)
    with opened(engine, processes) as where, surveyed(asked, target, where) as store:
        put_file(target / "survey.html", page(asked, store, across, up, where))
        found = counts(store)
    click.echo(
        f"{target}: {found.all} houses, {found.refused} refused, {found.failed} at fault; "
        f"{found.seconds / max(1, found.all):.2f} s of a processor each"
    )
    if found.failed:
        raise SystemExit(1)


def _request(seeds: range, sample: int | None, wanted: Wanted) -> Any:
    from genhouse.survey.request import request

    brief, traditions = wanted.brief, tuple[str, ...]()
    if brief.tradition == ALL:
        traditions = names()
        brief = replace(brief, tradition=traditions[0])
    if sample and brief != Brief(tradition=brief.tradition):
        raise BriefError("sample: its briefs are drawn, so --brief and its like say nothing there")
    return request(
        first=seeds.start,
        end=seeds.stop,
        brief=brief,
        stage_seeds=wanted.settings,
        traditions=traditions,
        sample=sample or 0,
    )


def _figures(words: str) -> tuple[Any, Any]:
    from genhouse.outputs.figures.named_figures import named_figures

    found = named_figures([word.strip() for word in words.split(",") if word.strip()])
    if len(found) != 2:
        raise BriefError(f"range: it wants two figures, such as {RANGE}")
    return found[0], found[1]
