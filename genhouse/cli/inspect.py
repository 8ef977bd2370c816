"""``genhouse inspect``: is a saved house still sound?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from genhouse.cli.words import PATH

if TYPE_CHECKING:
    from genhouse.inspection import Report


@click.command()
@click.argument("folder", type=PATH)
@click.option("--store", help="Address of a village's cells, where they are elsewhere (fsspec).")
def inspect(folder: Path, store: str | None) -> None:
    """Inspect a saved house or village, also one whose arrays were changed by hand.

    Says where each fault is. Exit code 0: sound; 1: findings; 2: unreadable.
    """
    from genhouse.outputs.written import VILLAGE

    if store or (folder / VILLAGE.file).exists():
        from genhouse.village.inspected import inspect_village
        from genhouse.village.public import check_extra

        check_extra()
        report = inspect_village(folder, store)
    else:
        report = _of_house(folder)
    for verdict in report.verdicts:
        click.echo(f"{'kept  ' if verdict.kept else 'BROKEN'} {verdict.check}: {verdict.evidence}")
        for finding in verdict.findings:
            click.echo(f"       {finding.sentence}{_places(finding.where, finding.count)}")
    if not report.clean:
        raise SystemExit(1)


def _of_house(folder: Path) -> Report:
    from genhouse.inspection import inspect as examine
    from genhouse.outputs.arrays import read_voxels
    from genhouse.outputs.bill import read_rows

    voxels, rows = read_voxels(folder / "house.npz"), read_rows(folder / "materials.csv")
    return examine(voxels, rows=rows, **_told(folder))


def _told(folder: Path) -> dict[str, Any]:
    """Lux that the brief asks for, what was recorded, and the outline of the plot; nothing where the
    document is gone or of another version."""
    from genhouse.core.errors import VersionError
    from genhouse.outputs.document.reading import design_of, read_saved, record_of

    try:
        if not (folder / "house.json").exists():
            return {}
        saved = read_saved(folder)
        plan = design_of(folder, saved)
    except VersionError as error:
        click.echo(f"genhouse: {error}", err=True)
        return {}
    return {
        "light": plan.recipe.brief.light,
        "record": record_of(saved, plan),
        "outline": plan.outline,
    }


def _places(where: tuple[tuple[int, int, int], ...], count: int) -> str:
    if not where:
        return ""
    more = f" and {count - len(where)} more" if count > len(where) else ""
    return f" at {', '.join(map(str, where))}{more}"
