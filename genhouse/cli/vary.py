"""``genhouse vary``: variants of a saved house."""

from __future__ import annotations

from pathlib import Path

import click

from genhouse.cli.words import PATH, force
from genhouse.core.errors import BriefError


@click.command()
@click.argument("folder", type=PATH)
@click.option(
    "--keep",
    default="",
    help="Stages that stay as they are, with all before them, commas between: rooms,roof.",
)
@click.option("-n", "count", type=int, default=12, show_default=True, help="How many variants.")
@click.option("--out", type=PATH, help="Folder to write; FOLDER-variants if not given.")
@force
def vary(folder: Path, keep: str, count: int, out: Path | None, force: int) -> None:
    """Make variants of the house in FOLDER.

    A stage that is kept, and every stage before it, stays the same to the byte; the others are drawn
    from new seeds. They are shown in the picture in which they differ, and there none is nearer to
    another, or to the first, than a distance that is told. Beside the houses stand a contact sheet
    (sheet.png), a page (variants.html) and the list with the digests (variants.json).
    """
    from genhouse.many.variants import MOST_VARIANTS, kept_stages, variants

    kept = kept_stages([name.strip() for name in keep.split(",") if name.strip()])
    if not 1 <= count <= MOST_VARIANTS:
        raise BriefError(f"n: {count} is not a number of variants from 1 to {MOST_VARIANTS}")
    from genhouse.outputs.document.reading import read_recipe, read_saved
    from genhouse.outputs.files import VARIANTS, check_target, write_folder

    first, saved = read_recipe(folder), read_saved(folder).digests.stages
    target = out or folder.with_name(f"{folder.resolve().name}-variants")
    check_target(target, force=force, marker=VARIANTS)
    from genhouse.many.apart import NEAREST
    from genhouse.many.variants_folder import SEEN, variants_files

    chosen = variants(first, saved, kept, count)
    write_folder(target, variants_files(first, kept, chosen), force=force, marker=VARIANTS)
    few = f", all that differ of {count} asked for" if len(chosen.found) < count else ""
    click.echo(
        f"{target}: {len(chosen.found)} variants{few}; kept {', '.join(kept) or 'nothing'}; "
        f"{SEEN[chosen.view]} the two most alike are {chosen.least:.2f} apart, and none nearer than "
        f"{float(NEAREST):.2f}"
    )
