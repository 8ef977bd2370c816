"""The figures of the documents, drawn while their site is built: none is older than the code it shows.

A hook of mkdocs.  A page names ``figures/NAME.png``; what draws it stands in ``DRAWN``.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import numpy as np
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from PIL import Image

import genhouse
from genhouse.outputs.pictures import picture

HOUSE = 7
PANEL = (520, 430)
GAP = 12
PAPER = "#fdfbf5"
STAGES = (
    ("site", "frame"),
    ("walls", "floors", "mats", "screens"),
    ("roof",),
    ("court", "fittings", "lamps"),
)
"""What each panel of the first figure adds to the one before."""


@cache
def house() -> genhouse.House:
    return genhouse.design(HOUSE)


def in_order() -> Image.Image:
    """One house as far as each group of stages has come."""
    voxels, panels = house().voxels, []
    done = np.zeros(len(voxels.about.stages), dtype=bool)
    for some in STAGES:
        done[[n for n, name in enumerate(voxels.about.stages) if name in some]] = True
        kept = done[voxels.stage]
        cells = {
            name: np.asarray(array * kept, dtype=array.dtype)
            for name, array in (
                ("material", voxels.material),
                ("form", voxels.form),
                ("stage", voxels.stage),
            )
        }
        panels.append(picture.seen(replace(voxels, **cells), "outside", size=PANEL))
    return side_by_side(panels)


def one_draw_anew() -> Image.Image:
    """The same house, and the same with other fittings alone: the roof lifted off both."""
    other = genhouse.design(HOUSE, fittings=3)
    return side_by_side([one.picture("inside", size=PANEL) for one in (house(), other)])


def judged_light() -> Image.Image:
    """By day, and at night with what its lamps bring."""
    return side_by_side(
        [house().picture("court", size=PANEL, night=night) for night in (False, True)]
    )


DRAWN: dict[str, Callable[[], Image.Image]] = {
    "in-order": in_order,
    "one-draw-anew": one_draw_anew,
    "judged-light": judged_light,
}


def side_by_side(panels: list[Image.Image]) -> Image.Image:
    """Two a row."""
    wide, high = PANEL
    rows = -(-len(panels) // 2)
    whole = Image.new("RGB", (2 * wide + GAP, rows * high + (rows - 1) * GAP), PAPER)
    for n, panel in enumerate(panels):
        whole.paste(panel.convert("RGB"), (n % 2 * (wide + GAP), n // 2 * (high + GAP)))
    return whole


def on_files(files: Files, *, config: MkDocsConfig) -> Files:
    """mkdocs asks this once it knows the pages."""
    for name, draw in DRAWN.items():
        data = io.BytesIO()
        draw().save(data, "PNG", optimize=True)
        files.append(File.generated(config, f"figures/{name}.png", content=data.getvalue()))
    return files
