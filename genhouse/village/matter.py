"""What a village is made of: one table of materials for its ground and all its houses."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from genhouse.core.errors import BriefError
from genhouse.model.palette import Material
from genhouse.model.raster import STAGE_TABLE
from genhouse.model.voxels import About, MaterialEntry, Voxels
from genhouse.traditions.loader import load_tradition

MOST = 256
"""Materials in the table of a village, air counted: each number is a byte."""
STAGES = (*STAGE_TABLE, "land", "water", "lane", "terrace", "planting", "fixtures")
"""Of houses, then what the village sets itself."""
_TOLD = tuple(field.name for field in fields(Material) if field.name != "finish")


def _of(name: str, colour: str, finish: str, **more: bool | int) -> Material:
    return Material(name=name, colour=colour, finish=finish, **more)  # type: ignore[arg-type]


OWN: tuple[Material, ...] = (
    _of("meadow", "#93a463", "moss"),
    _of("dry meadow", "#a6aa6b", "moss"),
    _of("damp meadow", "#7f975a", "moss"),
    _of("wood floor", "#75804f", "moss"),
    _of("turf", "#8cab5c", "moss"),
    _of("scree", "#979084", "gravel"),
    _of("bedrock", "#8b8780", "stone"),
    _of("subsoil", "#927a5c", "earth"),
    _of("stream gravel", "#a59b86", "gravel"),
    _of("reed bank", "#8b9a58", "moss"),
    _of("stream water", "#6c98a6", "water", liquid=True, clear=True),
    _of("road gravel", "#d3c29c", "gravel"),
    _of("lane earth", "#c3ad86", "earth"),
    _of("path flags", "#b9b3a4", "stone"),
    _of("kerb stone", "#9b978d", "stone"),
    _of("terrace wall", "#8f8a7e", "stone"),
    _of("bridge plank", "#a3825a", "boards"),
    _of("bridge rail", "#6e523a", "timber"),
    _of("ploughland", "#947757", "earth"),
    _of("barley", "#cdb466", "moss"),
    _of("beans", "#79934e", "moss"),
    _of("flax", "#8f95a8", "moss"),
    _of("kale", "#5f8358", "moss"),
    _of("stubble", "#c2a974", "earth"),
    _of("oak leaf", "#66843f", "leaves"),
    _of("ash leaf", "#7f9c4c", "leaves"),
    _of("lime leaf", "#90a955", "leaves"),
    _of("fir needle", "#4c6d49", "leaves"),
    _of("apple leaf", "#86a358", "leaves"),
    _of("apple", "#b5523c", "plain"),
    _of("willow leaf", "#9dab69", "leaves"),
    _of("hedge leaf", "#5c7a3d", "leaves"),
    _of("trunk", "#67523f", "timber"),
    _of("lane lantern", "#ffd68c", "glow", clear=True, lumens=1400),
    _of("awning", "#b0573f", "cloth"),
    _of("pale awning", "#d9c9a3", "cloth"),
    _of("hay", "#c9af6a", "plain"),
    _of("mill board", "#8a6c4d", "boards"),
    _of("mill shingle", "#776a5b", "tile"),
    _of("mill stone", "#a29c90", "stone"),
    _of("shrine timber", "#7c3b2c", "timber"),
    _of("shrine tile", "#56605f", "tile"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Matter:
    """entries: of the whole village, 0 is air.  finishes: how each is drawn."""

    entries: tuple[MaterialEntry, ...]
    finishes: tuple[str, ...]

    def own(self, name: str) -> int:
        """The number of one of the village's own materials."""
        return 1 + next(n for n, material in enumerate(OWN) if material.name == name)

    def of_house(self, about: About) -> npt.NDArray[np.uint8]:
        """uint8 [M]: for each material number of a house, that of the village; 0 for what no cell is."""
        known = {_key(entry): n for n, entry in enumerate(self.entries)}
        return np.array([known.get(_key(entry), 0) for entry in about.materials], dtype=np.uint8)


def _key(entry: MaterialEntry | Material) -> tuple[object, ...]:
    return tuple(getattr(entry, name) for name in _TOLD)


def matter(traditions: Iterable[str], houses: Iterable[Voxels] = ()) -> Matter:
    """The table of a village whose houses are of some traditions: all that these know, or, where that is
    more than a table holds, what its houses are made of.  Raises BriefError where even this is too much.
    """
    known = [m for name in traditions for _, m in sorted(load_tradition(name).materials)]
    found = _table(known)
    if len(found.entries) > MOST:
        used = {
            _key(cells.about.materials[n])
            for cells in houses
            for n in np.unique(cells.material).tolist()
        }
        found = _table([material for material in known if _key(material) in used])
    if len(found.entries) > MOST:
        raise BriefError(
            f"tradition: these houses are of {len(found.entries)} materials, and a village has {MOST} at "
            "most; name fewer traditions, or one palette"
        )
    return found


def _table(materials: Iterable[Material]) -> Matter:
    air = MaterialEntry(name="air", colour="#ffffff")
    entries, finishes = [air], [""]
    seen = {_key(air)}
    for material in (*OWN, *materials):
        entry = MaterialEntry(**{name: getattr(material, name) for name in _TOLD})
        if _key(entry) not in seen:
            seen.add(_key(entry))
            entries.append(entry)
            finishes.append(material.finish)
    return Matter(entries=tuple(entries), finishes=tuple(finishes))
