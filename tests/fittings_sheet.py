"""Sheets on which to try whether one can tell a fitting that bears no caption.

    python -m tests.fittings_sheet OUT --palette cedar --seeds 0:40 --word 3

Each fitting once, as it stands in a room with what is beside it, at the scale of a rooms sheet, in an
order shuffled by the word: sheet-1.png and on, numbered, and key.txt with the names.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import click
from PIL import Image, ImageDraw, ImageFont

from genhouse.core.draw import nth
from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe
from genhouse.model.design import Placed
from genhouse.outputs.pictures import picture, vignettes
from genhouse.outputs.pictures._scene import Scene

ABOUT = 2
"""Cells round a fitting that are shown with it."""
ACROSS, A_SHEET = 6, 30


def alone(house: House, scene: Scene, p: Placed) -> Image.Image:
    """A fitting from before, with its room for two cells round it."""
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
            shown[vignettes._edge(side)] = False
    size = vignettes._size(shown.shape, vignettes.SCALE)
    return picture.draw(part, view=view, size=size, mask=shown)


def every_one(seeds: range, palette: str, only: Sequence[str]) -> Iterator[tuple[str, Image.Image]]:
    """Fittings by name, each from the first house that has it."""
    seen: set[str] = set()
    for seed in seeds:
        house = make(Recipe(seed=seed, brief=Brief(palette=palette)))
        fresh = {p.name: p for p in house.plan.placed if p.name not in seen}
        fresh = {name: p for name, p in fresh.items() if not only or name in only}
        if fresh:
            scene = picture.scene(house.voxels, house.finishes)
            yield from ((name, alone(house, scene, p)) for name, p in fresh.items())
            seen |= set(fresh)


def sheet(pictures: Sequence[tuple[int, Image.Image]]) -> Image.Image:
    """Numbered pictures in rows."""
    wide = max(image.width for _, image in pictures) + 8
    high = max(image.height for _, image in pictures) + 24
    whole = Image.new("RGB", (ACROSS * wide, -(-len(pictures) // ACROSS) * high), "white")
    pen, font = ImageDraw.Draw(whole), ImageFont.load_default(16)
    for n, (number, image) in enumerate(pictures):
        x, y = n % ACROSS * wide, n // ACROSS * high
        whole.paste(image, (x, y))
        pen.text((x + 6, y + image.height + 2), str(number), fill="black", font=font)
    return whole


@click.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--palette", default="smoke")
@click.option("--seeds", default="0:40")
@click.option("--word", default=1, help="Shuffles.")
@click.option("--only", multiple=True, help="Fittings; all where none is named.")
def main(out: Path, palette: str, seeds: str, word: int, only: tuple[str, ...]) -> None:
    """Draw the sheets and write the key."""
    first, _, last = seeds.partition(":")
    found = sorted(every_one(range(int(first), int(last)), palette, only))
    order = sorted(range(len(found)), key=lambda n: nth(word, n))
    out.mkdir(parents=True, exist_ok=True)
    numbered = [(n, *found[k]) for n, k in enumerate(order, 1)]
    for n, start in enumerate(range(0, len(numbered), A_SHEET), 1):
        some = numbered[start : start + A_SHEET]
        sheet([(number, image) for number, _, image in some]).save(out / f"sheet-{n}.png")
    (out / "key.txt").write_text("".join(f"{n} {name}\n" for n, name, _ in numbered))


if __name__ == "__main__":
    main()
