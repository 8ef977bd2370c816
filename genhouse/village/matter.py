"""What a village is made of: one table of materials for its ground and all its houses."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
import numpy.typing as npt

from genhouse.model.palette import Material
from genhouse.model.raster import STAGE_TABLE
from genhouse.model.voxels import About, MaterialEntry, Voxels
from genhouse.traditions.loader import load_tradition

MOST = 256
"""Materials in the table of a village, air counted: each number is a byte."""
STAGES = (*STAGE_TABLE, "land", "water", "lane", "terrace", "planting", "fixtures")
"""Of houses, then what the village sets itself."""
Key = tuple[object, ...]
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
    """entries: of the whole village, 0 is air.  finishes: how each is drawn.

    likened: materials of houses that have no number of their own, by all that is told of each, and the
    number of that which takes their place.
    """

    entries: tuple[MaterialEntry, ...]
    finishes: tuple[str, ...]
    likened: tuple[tuple[Key, int], ...] = ()

    def own(self, name: str) -> int:
        """The number of one of the village's own materials."""
        return 1 + next(n for n, material in enumerate(OWN) if material.name == name)

    def of_house(self, about: About) -> npt.NDArray[np.uint8]:
        """uint8 [M]: for each material number of a house, that of the village; 0 for what no cell is."""
        known = {_key(entry): n for n, entry in enumerate(self.entries)} | dict(self.likened)
        return np.array([known.get(_key(entry), 0) for entry in about.materials], dtype=np.uint8)


def _key(entry: MaterialEntry | Material) -> Key:
    return tuple(getattr(entry, name) for name in _TOLD)


def matter(traditions: Iterable[str], houses: Iterable[Voxels] = ()) -> Matter:
    """The table of a village whose houses are of some traditions: all that these know; where that is more
    than a table holds, what its houses are made of; and where even that is, what most of it is.

    What is left out then, some cells of the rarest, is told by what looks most like it and does the same.
    """
    known = [m for name in traditions for _, m in sorted(load_tradition(name).materials)]
    found = _table(known)
    if len(found.entries) <= MOST:
        return found
    many = _counted(houses)
    used = [material for material in known if _key(material) in many]
    found = _table(used)
    return found if len(found.entries) <= MOST else _likened(used, many)


def _counted(houses: Iterable[Voxels]) -> dict[Key, int]:
    """Cells of each material, over all houses."""
    many: dict[Key, int] = {}
    for cells in houses:
        counts = np.bincount(cells.material.reshape(-1), minlength=len(cells.about.materials))
        for entry, count in zip(cells.about.materials, counts.tolist(), strict=True):
            if count:
                many[_key(entry)] = many.get(_key(entry), 0) + count
    return many


def _likened(used: Sequence[Material], many: Mapping[Key, int]) -> Matter:
    """The table of what there is most of; of each use, at least one."""
    order = sorted({_key(m): m for m in used}.items(), key=lambda pair: (-many[pair[0]], pair[0]))
    first = {_use(material): key for key, material in reversed(order)}
    wanted = sorted(order, key=lambda pair: first[_use(pair[1])] != pair[0])
    own = {_key(material) for material in OWN}
    new = [pair for pair in wanted if pair[0] not in own]
    room = MOST - 1 - len(OWN)
    kept = {key for key, _ in new[:room]}
    found = _table([material for material in used if _key(material) in kept])
    looks = list(zip(found.entries, found.finishes, strict=True))[1:]
    likened = []
    for key, material in new[room:]:
        same = [n for n, (entry, _) in enumerate(looks, 1) if _use(entry) == _use(material)]
        alike = [n for n in same if looks[n - 1][1] == material.finish] or same
        nearest = min(alike, key=lambda n: (_apart(looks[n - 1][0].colour, material.colour), n))
        likened.append((key, nearest))
    return replace(found, likened=tuple(likened))


def _use(entry: MaterialEntry | Material) -> tuple[object, ...]:
    """What a material does, whatever its name and colour."""
    return tuple(getattr(entry, name) for name in _TOLD if name not in ("name", "colour"))


def _apart(one: str, other: str) -> int:
    """The square of how far two colours lie from each other."""
    return sum((int(one[n : n + 2], 16) - int(other[n : n + 2], 16)) ** 2 for n in (1, 3, 5))


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
