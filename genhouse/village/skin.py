"""What each column of ground shows on top: one material by its use, its slope and how wet it is."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from genhouse.core.draw import Draw
from genhouse.village.fields import Parcel
from genhouse.village.grids import mottled, scattered
from genhouse.village.matter import Matter
from genhouse.village.spans import lowest, spread_of, within
from genhouse.village.surface import (
    APRON,
    BRIDGE,
    FIELD,
    FORD,
    GREEN,
    GUTTER,
    LANE,
    ORCHARD,
    PATH,
    PLACE,
    PLOT,
    ROAD,
    TRAIL,
    WATER,
    WOOD,
    Surface,
)

Numbers = npt.NDArray[np.uint8]
USED = {
    WATER: "stream gravel", BRIDGE: "stream gravel", FORD: "stream gravel", ROAD: "road gravel",
    LANE: "lane earth", GREEN: "turf", PATH: "path flags", PLOT: "subsoil", APRON: "turf",
    WOOD: "wood floor", ORCHARD: "turf", PLACE: "turf", TRAIL: "lane earth",
    GUTTER: "kerb stone",
}  # fmt: skip
CROP = {
    "barley": ("barley", "barley", "barley", "ploughland"),
    "beans": ("beans", "ploughland"),
    "flax": ("flax", "flax", "ploughland"),
    "kale": ("kale", "ploughland"),
    "stubble": ("stubble", "stubble", "stubble", "ploughland"),
}
"""Rows of a field, over and over."""
WIDENED = 3
"""Cells beside lanes over which a green is worn: there they widen to a market."""
CLIFF = 5
"""Half cells between neighbours from which rock shows."""


def skin(surface: Surface, parcels: Sequence[Parcel], matter: Matter, draw: Draw) -> Numbers:
    """uint8 [X, Y]: the number of each column's topmost material of ground."""
    dry = mottled(surface.shape, 32, 400, draw.at("dry"))
    dry += scattered(surface.shape, 260, draw) - 130
    high = surface.ground
    wet = within(surface.level > 0, 5)
    bank = within(surface.level > 0, 1)

    def own(name: str) -> np.uint8:
        return np.uint8(matter.own(name))

    found = np.where(dry + high * 4 > 260, own("dry meadow"), own("meadow"))
    found[wet & (dry < 120)] = own("damp meadow")
    found[bank] = np.where(dry > -60, own("reed bank"), own("stream gravel"))[bank]
    steep = spread_of(high, 1)
    found[steep >= CLIFF] = own("scree")
    found[steep >= CLIFF + 3] = own("bedrock")
    for use, name in USED.items():
        found[surface.use == use] = own(name)
    lanes = within(np.isin(surface.use, (ROAD, LANE, GUTTER)), WIDENED)
    found[lanes & (surface.use == GREEN)] = own("road gravel")
    for parcel in parcels:
        if parcel.kind != "orchard":
            x0, y0, x1, y1 = parcel.rect
            rows = [own(name) for name in CROP[parcel.crop]]
            across = (
                np.arange(y1 - y0)[None, :] if parcel.rows == "x" else np.arange(x1 - x0)[:, None]
            )
            found[x0:x1, y0:y1] = np.array(rows, dtype=np.uint8)[across % len(rows)]
    walled = np.isin(surface.use, (APRON, FIELD)) & (high - lowest(high, 1) > 2)
    found[walled] = own("terrace wall")
    return found
