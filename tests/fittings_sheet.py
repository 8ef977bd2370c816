"""Sheets on which to try whether one can tell a fitting that bears no caption.

    python -m tests.fittings_sheet OUT --tradition timber --palette cedar --seeds 0:40 --word 3

Each fitting once, as it stands in a room with what is beside it, at the scale of a rooms sheet, where of a
few houses one sees most of it, in an order shuffled by the word: sheet-1.png and on, numbered, and key.txt
with the names.  A tick stands over the one that is meant.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import click
import numpy as np
from PIL import Image, ImageChops, ImageDraw, ImageFont

from genhouse.core.draw import nth
from genhouse.core.errors import InfeasibleError
from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe, Wish
from genhouse.model.design import Placed
from genhouse.outputs.pictures import picture, vignettes
from genhouse.outputs.pictures._scene import Scene
from genhouse.traditions.loader import load_tradition

ABOUT = 2
"""Cells round a fitting that are shown with it."""
SHEET, LINE = (1200, 1000), 8
LOOKS = 4
"""Houses of those that ask for nothing in which each is looked at."""
SOME = 12
"""Seeds that are tried with each kind of room whose fittings no house has yet."""
TICK = (196, 48, 40)
PLAIN = 90
"""How much, of 765, a pixel changes where a fitting is taken away: more than its shadow does."""


def alone(house: House, scene: Scene, p: Placed) -> tuple[int, Image.Image]:
    """How much one sees of a fitting from before, and it with its room for two cells round it."""
    room = house.plan.room(p.room)
    view = next(v for v, sides in vignettes.NEAR.items() if p.facing in sides)
    r = p.cells.grown(ABOUT).meet(room.rect.grown(1))
    part = vignettes.cropped(scene, r.up(room.floor - 1, room.floor + vignettes.HIGH))
    shown = vignettes._standing(part.voxels, room, room.floor - 1)
    for n, side in enumerate(("west", "east", "south", "north")):
        outside = (
            r.x0 < room.rect.x0,
            r.x1 > room.rect.x1,
            r.y0 < room.rect.y0,
            r.y1 > room.rect.y1,
        )
        if side in vignettes.NEAR[view] and outside[n]:
            shown[vignettes.edge(side)] = False
    size = vignettes.size_of(shown.shape, vignettes.SCALE)
    drawn = picture.draw(part, view=view, size=size, mask=shown)
    (x0, y0, x1, y1), z0 = p.cells, room.floor - 1
    its = np.s_[x0 - r.x0 : x1 - r.x0, y0 - r.y0 : y1 - r.y0, p.floor - z0 :]
    shown[its] &= ~part.voxels.set_by("fittings")[its]
    return ticked(drawn, picture.draw(part, view=view, size=size, mask=shown))


def ticked(drawn: Image.Image, without: Image.Image) -> tuple[int, Image.Image]:
    """How many pixels another, of the same without it, lacks, and this one with a tick over them."""
    apart = np.asarray(ImageChops.difference(drawn, without), dtype=np.int32).sum(axis=2)
    rows, columns = np.nonzero(apart > PLAIN)
    if not rows.size:
        return 0, drawn
    x, y = int(np.median(columns)), max(int(np.percentile(rows, 1)) - 3, 9)
    ImageDraw.Draw(drawn).polygon([(x, y), (x - 5, y - 9), (x + 5, y - 9)], fill=TICK)
    return int(rows.size), drawn


def recipes(seeds: range, brief: Brief, lacking: set[str]) -> Iterator[Recipe]:
    """Houses that ask for nothing; then, for what is still lacking, ones with a room that may have it."""
    yield from (Recipe(seed=seed, brief=brief) for seed in seeds)
    for name, kind in load_tradition(brief.tradition).kinds:
        wishes = (Wish(kind=name),)
        for seed in seeds[:SOME]:
            if lacking & set(kind.names):
                yield Recipe(seed=seed, brief=replace(brief, rooms=wishes))


def every_one(seeds: range, brief: Brief, only: Sequence[str]) -> Iterator[tuple[str, Image.Image]]:
    """Fittings by name, each where one sees most of it."""
    lacking = set(only) or {name for name, _ in load_tradition(brief.tradition).fittings}
    found: dict[str, list[tuple[int, Image.Image]]] = {name: [] for name in sorted(lacking)}
    for recipe in recipes(seeds, brief, lacking):
        try:
            house = make(recipe)
        except InfeasibleError:
            continue
        fresh = {
            p.name: p for p in house.plan.placed if p.name in found and len(found[p.name]) < LOOKS
        }
        if fresh:
            scene = picture.scene(house.voxels, house.finishes)
            for name, p in fresh.items():
                found[name].append(alone(house, scene, p))
            lacking -= set(fresh)
    for name, looks in found.items():
        if looks:
            yield name, max(looks, key=lambda look: look[0])[1]


def sheets(pictures: Sequence[tuple[int, Image.Image]]) -> Iterator[Image.Image]:
    """Numbered pictures in rows, as many as go on each sheet."""
    whole, x, y, high = Image.new("RGB", SHEET, "white"), 0, 0, 0
    font = ImageFont.load_default(16)
    for number, image in pictures:
        if x + image.width > SHEET[0]:
            x, y, high = 0, y + high + LINE, 0
        if y + image.height + LINE > SHEET[1]:
            yield whole
            whole, x, y, high = Image.new("RGB", SHEET, "white"), 0, 0, 0
        whole.paste(image, (x, y))
        ImageDraw.Draw(whole).text((x + 6, y + 2), str(number), fill="black", font=font)
        x, high = x + image.width + 8, max(high, image.height)
    yield whole


@click.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--tradition", default="timber")
@click.option("--palette", help="The tradition's first where left out.")
@click.option("--seeds", default="0:40")
@click.option("--word", default=1, help="Shuffles.")
@click.option("--only", multiple=True, help="Fittings; all where none is named.")
def main(
    out: Path, tradition: str, palette: str | None, seeds: str, word: int, only: tuple[str, ...]
) -> None:
    """Draw the sheets and write the key."""
    first, _, last = seeds.partition(":")
    palette = palette or load_tradition(tradition).palettes[0].name
    brief = Brief(tradition=tradition, palette=palette)
    found = sorted(every_one(range(int(first), int(last)), brief, only), key=lambda one: one[0])
    order = sorted(range(len(found)), key=lambda n: nth(word, n))
    out.mkdir(parents=True, exist_ok=True)
    numbered = [(n, *found[k]) for n, k in enumerate(order, 1)]
    for n, drawn in enumerate(sheets([(number, image) for number, _, image in numbered]), 1):
        drawn.save(out / f"sheet-{n}.png")
    (out / "key.txt").write_text("".join(f"{n} {name}\n" for n, name, _ in numbered))


if __name__ == "__main__":
    main()
