"""Remake every picture of the gallery: ``python gallery/make.py``.

The same program gives the same bytes, so a picture that changes shows a house that changed.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import genhouse
from genhouse.outputs.pictures import picture
from genhouse.outputs.plans.plan import plan

if TYPE_CHECKING:
    from PIL.Image import Image

GALLERY = Path(__file__).parent
BRIEFS = GALLERY.parent / "shared" / "briefs"
HERO = 1
SIZE = (800, 720)
THUMB = (400, 360)
STREET = (1, 5, 4, 8, 9, 13, 18, 26, 22, 24, 12, 31)
"""Seeds that show twelve houses of one lane."""


def main() -> None:
    """Draw one house from all sides of the matter, the houses of the example briefs, and a lane."""
    house = genhouse.design(HERO)
    looks = [house.picture(kind, size=SIZE) for kind in ("outside", "inside", "court")]
    save("house", sheet([*looks, house.picture("outside", size=SIZE, night=True)], columns=2))
    for level in sorted({room.level for room in house.plan.rooms}):
        (GALLERY / f"plan-{level}.svg").write_text(plan(house.plan, level), "utf-8")
    for brief in sorted(BRIEFS.glob("*.toml")):
        save(brief.stem, genhouse.design(7, brief).picture("court", size=SIZE))
    save("lane", sheet([genhouse.design(seed).picture("outside", size=THUMB) for seed in STREET]))


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
