"""Remake every picture of the gallery: ``python gallery/make.py``.

The same program gives the same bytes, so a picture that changes shows a house that changed.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import genhouse
from genhouse.outputs.pictures import picture
from genhouse.outputs.pictures.picture import scene
from genhouse.outputs.pictures.vignettes import rooms_sheet, vignettes
from genhouse.outputs.plans.plan import plan

if TYPE_CHECKING:
    from PIL.Image import Image

GALLERY = Path(__file__).parent
BRIEFS = GALLERY.parent / "shared" / "briefs"
HERO = 1
SIZE = (800, 720)
THUMB = (400, 360)
WAYS = {"timber": 1, "siheyuan": 1, "hanok": 1, "domus": 1, "riad": 1, "farm": 1}
"""Every way of building that comes along, with its weight in the village of all of them."""
FOUR = (2, 3, 9, 14)
"""Seeds of the four houses of each."""
VILLAGE, MAP, WIDE = 5, (256, 256), (320, 320)
HOUSES, ALL = 6, 12
"""Houses of a village of one way of building, and of all."""
ACROSS = 1400
"""Picture elements across the picture of a village."""
STREET = (1, 5, 4, 8, 9, 13, 18, 26, 22, 24, 12, 31)
"""Seeds that show twelve houses of one lane."""


def main() -> None:
    """Draw one house from all sides of the matter, the houses of the example briefs, a lane, and what every
    way of building makes of four seeds and of a village.
    """
    house = genhouse.design(HERO)
    looks = [house.picture(kind, size=SIZE) for kind in ("outside", "inside", "court")]
    save("house", sheet([*looks, house.picture("outside", size=SIZE, night=True)], columns=2))
    for level in sorted({room.level for room in house.plan.rooms}):
        (GALLERY / f"plan-{level}.svg").write_text(plan(house.plan, level), "utf-8")
    for brief in sorted(BRIEFS.glob("*.toml")):
        save(brief.stem, genhouse.design(7, brief).picture("court", size=SIZE))
    save("lane", sheet([genhouse.design(seed).picture("outside", size=THUMB) for seed in STREET]))
    for way in WAYS:
        houses = [genhouse.design(seed, {"tradition": way}) for seed in FOUR]
        looks = [
            house.picture(kind, size=THUMB, night=night)
            for kind, night in (("outside", False), ("court", False), ("court", True))
            for house in houses
        ]
        save(way, sheet(looks, columns=len(FOUR)))
        first = scene(houses[0].voxels, houses[0].finishes)
        save(f"{way}-rooms", rooms_sheet(vignettes(houses[0].plan, first)))
        save(f"{way}-village", village(HOUSES, {way: 1}))
    save("village", village(ALL, WAYS, WIDE))


def village(houses: int, ways: dict[str, int], size: tuple[int, int] = MAP) -> Image:
    """The map of a village, made small."""
    map_ = genhouse.village(VILLAGE, size, houses, traditions=ways).picture()
    return map_.resize((ACROSS, ACROSS * map_.height // map_.width))


def sheet(pictures: list[Image], columns: int = 3) -> Image:
    """Pictures of one size, side by side."""
    from PIL.Image import new

    width, height = pictures[0].size
    rows = -(-len(pictures) // columns)
    whole = new("RGB", (columns * width, rows * height))
    for n, one in enumerate(pictures):
        whole.paste(one, (n % columns * width, n // columns * height))
    return whole


def save(name: str, image: Image) -> None:
    (GALLERY / f"{name}.png").write_bytes(picture.png(image))


if __name__ == "__main__":
    main()
