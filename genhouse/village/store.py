"""The cells of a village as a Zarr v3 store, written piece by piece: memory does not grow with the map.

A piece that is written is noted in ``done``; a run that was killed goes on behind it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import numpy as np

from genhouse.core.errors import BriefError
from genhouse.core.forms import shapes
from genhouse.core.sentences import quoted
from genhouse.model.raster import FORM_TABLE
from genhouse.village.cells import Box, Cells, World
from genhouse.village.layout import Village
from genhouse.village.matter import STAGES

SHARD, CHUNK = 128, 64
"""Cells along the sides of a shard, the piece that is written at once, and of the chunks in it, which are
read at once."""
ARRAYS = {
    "material": "uint8",
    "form": "uint16",
    "stage": "uint8",
    "house": "uint16",
    "room": "uint16",
}
FORMAT, VERSION = "genhouse-village", 1


def boxes(world: World) -> Iterator[Box]:
    """The pieces of a map, in the order in which they are written."""
    return boxes_of(*world.surface.shape)


def boxes_of(n: int, m: int) -> Iterator[Box]:
    """Those of a map of so many columns."""
    for x in range(0, n, SHARD):
        for y in range(0, m, SHARD):
            yield x, y, min(n, x + SHARD), min(m, y + SHARD)


def about(village: Village) -> dict[str, Any]:
    """The tables of the store, as attributes of its group."""
    world = village.world
    return {
        "format": FORMAT,
        "version": VERSION,
        "seed": village.site.wanted.seed,
        "size": list(world.size),
        "axes": "x east, y north, z up; one cell is nominally one metre",
        "materials": [_plain(entry) for entry in world.matter.entries],
        **_likened(world),
        "forms": [{"name": form.name, "piece": form.piece} for form in FORM_TABLE],
        "stages": list(STAGES),
        "houses": [
            {
                "house": house.plot.number,
                "origin": [*house.rect[:2], level - 2],
                "size": list(house.size),
                "rooms": [
                    {
                        "id": room.id,
                        "kind": room.kind,
                        "level": room.level,
                        "indoor": room.indoor,
                        "walkable": room.walkable,
                    }
                    for room in house.voxels.about.rooms
                ],
            }
            for house, level in zip(village.houses, village.levels, strict=True)
        ],
    }


def _likened(world: World) -> dict[str, Any]:
    """Names that houses have for materials told by others; left out where there are none."""
    names = {str(key[0]): world.matter.entries[n].name for key, n in world.matter.likened}
    return {"likened": names} if names else {}


def _plain(entry: Any) -> dict[str, Any]:
    told = {"name": entry.name, "colour": entry.colour}
    flags = {key: True for key in ("liquid", "passable", "clear") if getattr(entry, key)}
    return {**told, **flags, **({"lumens": entry.lumens} if entry.lumens else {})}


def create(village: Village, where: Path | str) -> None:
    """An empty store of a village's size, with its tables.  where: a path, or an address fsspec knows."""
    import zarr
    from zarr.codecs import ZstdCodec

    world, told = village.world, about(village)
    group = zarr.create_group(_store(where), zarr_format=3, overwrite=True, attributes=told)
    deep = world.size[2]
    for name, kind in ARRAYS.items():
        group.create_array(
            name,
            shape=world.size,
            dtype=kind,
            chunks=(CHUNK, CHUNK, deep),
            shards=(SHARD, SHARD, deep),
            compressors=[ZstdCodec(level=3)],
            fill_value=0,
            dimension_names=["x", "y", "z"],
        )
    forms = shapes()
    kept = group.create_array("shapes", shape=forms.shape, dtype="bool", chunks=forms.shape)
    kept[:] = forms


def _store(where: Path | str) -> Any:
    """Raises BriefError where an address is of no kind that is known here."""
    if isinstance(where, Path):
        return where
    from zarr.storage import FsspecStore

    options = {"auto_mkdir": True} if where.startswith(("file://", "local://")) else None
    try:
        return FsspecStore.from_url(where, storage_options=options)
    except (ImportError, ValueError) as error:
        raise BriefError(
            f"store: {quoted(where)} is no address that can be written to here"
        ) from error


def put(where: Path | str, box: Box, found: Cells) -> None:
    """Write a piece into a store."""
    import zarr

    group = zarr.open_group(_store(where), mode="r+")
    x0, y0, x1, y1 = box
    for name in ARRAYS:
        group[name][x0:x1, y0:y1] = getattr(found, name)  # type: ignore[index]


def read(where: Path | str, box: Box) -> Cells:
    """A piece of a store.  Raises what zarr raises where it is none of ours."""
    import zarr

    group, (x0, y0, x1, y1) = zarr.open_group(_store(where), mode="r"), box
    return Cells(**{name: np.asarray(group[name][x0:x1, y0:y1]) for name in ARRAYS})  # type: ignore[index]


def tables_of(where: Path | str) -> dict[str, Any]:
    """The attributes of a store."""
    import zarr

    return dict(zarr.open_group(_store(where), mode="r").attrs)


class Lazy(Mapping[str, Any]):
    """The arrays of a village by name; what is asked of one is made when it is asked for.

    >>> from genhouse import village
    >>> made = village(7, size=(192, 192), houses=2)
    >>> made.arrays["material"][90:92, 90:92].shape[:2]
    (2, 2)
    """

    def __init__(self, world: World) -> None:
        self._world = world

    def __getitem__(self, name: str) -> Slices:
        if name not in ARRAYS:
            raise KeyError(name)
        return Slices(self._world, name)

    def __iter__(self) -> Iterator[str]:
        return iter(ARRAYS)

    def __len__(self) -> int:
        return len(ARRAYS)


class Slices:
    """One array, [X, Y, Z]: slices of it are numpy arrays."""

    def __init__(self, world: World, name: str) -> None:
        self._world, self._name = world, name
        self.shape, self.dtype = world.size, np.dtype(ARRAYS[name])

    def __getitem__(self, key: Any) -> Any:
        from genhouse.village.cells import cells

        keys = (key if isinstance(key, tuple) else (key,)) + (slice(None),) * 3
        spans = [
            range(*_whole(k, n).indices(n)) for k, n in zip(keys[:2], self.shape[:2], strict=True)
        ]
        x, y = spans
        if not len(x) or not len(y):
            return np.zeros((len(x), len(y), self.shape[2]), dtype=self.dtype)[..., keys[2]]
        low = min(x[0], x[-1]), min(y[0], y[-1])
        box = (*low, max(x[0], x[-1]) + 1, max(y[0], y[-1]) + 1)
        found = getattr(cells(self._world, box), self._name)
        picked = found[np.ix_([i - low[0] for i in x], [j - low[1] for j in y])][..., keys[2]]
        for axis in (1, 0):
            if not isinstance(keys[axis], slice):
                picked = picked.take(0, axis=axis)
        return picked


def _whole(key: Any, size: int) -> slice:
    if isinstance(key, slice):
        return key
    at = range(size)[key]
    return slice(at, at + 1)
