"""Houses side by side, from all four corners, as thumbnails and at full size, to be looked at.

    python -m tests.corners_sheet OUT --seeds 0:40

thumbs-VIEW.png: all of them from one corner.  house-SEED.png: one from its four corners.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click
from PIL import Image, ImageDraw, ImageFont

from genhouse.core.errors import GenhouseError
from genhouse.house import make
from genhouse.model.brief import Recipe
from genhouse.outputs.pictures import picture
from genhouse.outputs.pictures.camera import VIEWS, View

FULL, THUMB = (800, 640), (220, 176)
"""Pixels of one picture at full size, and as a thumbnail."""
ACROSS = 8

Views = dict[View, Image.Image]


def corners(seed: int) -> Views:
    """The house of a seed from each corner; nothing where there is none."""
    try:
        house = make(Recipe(seed=seed))
    except GenhouseError:
        return {}
    scene = picture.scene(house.voxels, house.finishes)
    return {view: picture.draw(scene, view=view, size=FULL) for view in VIEWS}


def sheet(pictures: Sequence[tuple[str, Image.Image]], across: int) -> Image.Image:
    """Pictures of one size in rows, each with its word in a corner."""
    wide, high = pictures[0][1].size
    whole = Image.new("RGB", (across * wide, -(-len(pictures) // across) * high), "white")
    pen, font = ImageDraw.Draw(whole), ImageFont.load_default(14)
    for n, (word, image) in enumerate(pictures):
        x, y = n % across * wide, n // across * high
        whole.paste(image, (x, y))
        pen.text((x + 4, y + 2), word, fill="black", font=font)
    return whole


@click.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--seeds", default="0:40")
def main(out: Path, seeds: str) -> None:
    """Draw and write."""
    first, _, last = seeds.partition(":")
    out.mkdir(parents=True, exist_ok=True)
    small: dict[View, list[tuple[str, Image.Image]]] = {view: [] for view in VIEWS}
    for seed in range(int(first), int(last)):
        views = corners(seed)
        for view, image in views.items():
            small[view].append((str(seed), image.resize(THUMB)))
        if views:
            sheet(list(views.items()), 2).save(out / f"house-{seed}.png")
    for view, pictures in small.items():
        if pictures:
            sheet(pictures, ACROSS).save(out / f"thumbs-{view}.png")


if __name__ == "__main__":
    main()
