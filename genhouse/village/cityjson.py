"""The village as CityJSON 2.0 (Open Geospatial Consortium 20-072r5): terrain, and buildings in blocks of
one cell with their roofs, walls, ground and rooms.

A building's roof is told by the heights of its columns: a surface for each stretch of one height, walls
where the height changes.  A room is the prism over its floor; where it has no wall, a closure surface.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby, pairwise
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from genhouse.model.voxels import RoomEntry, Voxels
from genhouse.village.houses import Built
from genhouse.village.layout import Village
from genhouse.village.outlines import Polygon, Ring, polygons

Json = dict[str, Any]
Corner = tuple[int, int, int]
Part = tuple[slice, slice, slice]

QUARTER = 4
"""Vertices are whole quarters of a cell."""
BUILT = ("frame", "walls", "floors", "stair", "screens", "roof")
"""Building stages of the house itself."""
POSTS = 128
"""Squares along the longer side of the terrain's net, about."""
HEADROOM = 2
"""Cells of a room's height at least."""


@dataclass(frozen=True, eq=False)
class Vertices:
    """Each place of a row of houses once, by its first mention; their numbers begin at ``first``."""

    first: int
    number: dict[Corner, int] = field(default_factory=dict)

    def ring(self, corners: Sequence[Corner]) -> list[int]:
        """Numbers of corners given in quarters."""
        return [self.number.setdefault(corner, self.first + len(self.number)) for corner in corners]


@dataclass(frozen=True, eq=False)
class Surfaces:
    """Surfaces of one geometry, each with what it is."""

    vertices: Vertices
    boundaries: list[list[list[int]]] = field(default_factory=list)
    kinds: list[str] = field(default_factory=list)

    def level(self, polygon: Polygon, z: int, kind: str, *, down: bool = False) -> None:
        """A level polygon, in cells, seen from above, or from below."""
        rings = [[(QUARTER * x, QUARTER * y, QUARTER * z) for x, y in ring] for ring in polygon]
        self.add([ring[::-1] if down else ring for ring in rings], kind)

    def upright(
        self, a: tuple[int, int], b: tuple[int, int], low: int, high: int, kind: str
    ) -> None:
        """A wall from a to b, seen with a to the left."""
        corners = [(*a, low), (*b, low), (*b, high), (*a, high)]
        self.add([[(QUARTER * x, QUARTER * y, QUARTER * z) for x, y, z in corners]], kind)

    def add(self, rings: Sequence[Sequence[Corner]], kind: str) -> None:
        self.boundaries.append([self.vertices.ring(ring) for ring in rings])
        self.kinds.append(kind)

    def geometry(self, lod: str) -> Json:
        names = sorted(set(self.kinds))
        return {
            "type": "MultiSurface",
            "lod": lod,
            "boundaries": self.boundaries,
            "semantics": {
                "surfaces": [{"type": name} for name in names],
                "values": [names.index(kind) for kind in self.kinds],
            },
        }


def write_city(path: Path, village: Village) -> None:
    """village.city.json, row of houses by row; their vertices wait beside it, each place told once."""
    head = {"type": "CityJSON", "version": "2.0"}
    transform = {"scale": [1 / QUARTER] * 3, "translate": [0, 0, 0]}
    places = path.with_suffix(".vertices")
    count, bounds = 0, list[npt.NDArray[np.float64]]()
    with path.open("w", encoding="utf-8") as out, places.open("w+", encoding="utf-8") as aside:
        out.write(f'{_json(head)[:-1]},"transform":{_json(transform)},"CityObjects":{{')
        for objects, vertices in _objects(village):
            out.write(f"{',' if count else ''}{_json(objects)[1:-1]}")
            aside.write(f"{',' if count else ''}{_json(list(vertices.number))[1:-1]}")
            count += len(vertices.number)
            every = np.array(list(vertices.number)) / QUARTER
            bounds += [every.min(axis=0), every.max(axis=0)]
        extent = [*np.min(bounds, axis=0).tolist(), *np.max(bounds, axis=0).tolist()]
        about = {"title": f"Village {village.site.wanted.seed}", "geographicalExtent": extent}
        out.write(f'}},"metadata":{_json(about)},"vertices":[')
        aside.seek(0)
        shutil.copyfileobj(aside, out)
        out.write("]}")
    places.unlink()


def _objects(village: Village) -> Iterator[tuple[Json, Vertices]]:
    """The terrain and each row of buildings with their rooms, and their vertices."""
    vertices = Vertices(0)
    yield {"terrain": _terrain(village, vertices)}, vertices
    built = zip(village.houses, village.levels, strict=True)
    for _, row in groupby(built, key=lambda pair: pair[0].row):
        vertices = Vertices(vertices.first + len(vertices.number))
        made = [_building(house, level - 2, vertices) for house, level in row]
        yield {name: one for building in made for name, one in building.items()}, vertices


def _json(value: Any) -> str:
    return json.dumps(value, separators=(",", ":"))


def _terrain(village: Village, vertices: Vertices) -> Json:
    """A net of triangles over the final ground, a post every few cells."""
    top = np.maximum(village.settled.surface.ground, 2 * village.settled.surface.level)
    step = max(2, max(top.shape) // POSTS)
    xs, ys = (sorted({*range(0, n, step), n - 1}) for n in top.shape)
    boundaries = []
    for x0, x1 in pairwise(xs):
        for y0, y1 in pairwise(ys):
            a, b, c, d = (
                (QUARTER * x + 2, QUARTER * y + 2, 2 * int(top[x, y]))
                for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
            )
            boundaries += [[vertices.ring((a, b, c))], [vertices.ring((a, c, d))]]
    return {
        "type": "TINRelief",
        "geometry": [{"type": "CompositeSurface", "lod": "1", "boundaries": boundaries}],
    }


def _building(house: Built, z: int, vertices: Vertices) -> Json:
    """A building and its rooms.  z: of the house's lowest layer."""
    from scipy.ndimage import find_objects

    x0, y0, _, _ = house.rect
    name = f"house-{house.plot.number}"
    heights = _heights(house.voxels)
    shell = Surfaces(vertices)
    floor = z + house.threshold[2] // 4
    for value, polygon in polygons(heights):
        shell.level(_moved(polygon, x0, y0), z + value, "RoofSurface")
    for _, polygon in polygons((heights > 0).astype(np.uint8)):
        shell.level(_moved(polygon, x0, y0), floor, "GroundSurface", down=True)
    for a, b, low, high in _walls(np.maximum(heights, house.threshold[2] // 4)):
        shell.upright(
            (a[0] + x0, a[1] + y0), (b[0] + x0, b[1] + y0), z + low, z + high, "WallSurface"
        )
    rooms = {}
    parts = find_objects(house.voxels.room)
    for entry in house.voxels.about.rooms:
        part = parts[entry.id - 1] if entry.id <= len(parts) else None
        if not entry.indoor or part is None:
            continue
        surfaces = _room(house.voxels, entry, part, (x0, y0, z), vertices)
        rooms[f"{name}-room-{entry.id}"] = {
            "type": "BuildingRoom",
            "parents": [name],
            "attributes": {"kind": entry.kind, "level": entry.level},
            "geometry": [surfaces.geometry("2")],
        }
    about = {
        "client": house.recipe.brief.client,
        "storeys": house.storeys,
        "quarter": house.plot.quarter,
    }
    whole = {
        "type": "Building",
        "attributes": about,
        "children": list(rooms),
        "geometry": [shell.geometry("2")],
    }
    return {name: whole, **rooms}


def _heights(voxels: Voxels) -> npt.NDArray[np.int64]:
    """Layers up to the top of what is built on each column, 0 where nothing is."""
    built = voxels.set_by(*BUILT).copy()
    built[:, :, : voxels.about.gate[2] // 4] = False
    top = built.shape[2] - built[:, :, ::-1].argmax(axis=2)
    return np.asarray(np.where(built.any(axis=2), top, 0))


def _walls(
    heights: npt.NDArray[np.int64],
) -> Iterator[tuple[tuple[int, int], tuple[int, int], int, int]]:
    """Where the height falls: from a to b with the higher to the left, and from which to which layer."""
    ground = int(heights.min())
    wide = np.pad(heights, 1, constant_values=ground)
    steps = (
        (wide[1:-1, :], (0, 1)),
        (wide[:, 1:-1], (1, 0)),
    )
    for field_, (dx, _) in steps:
        axis = 0 if dx else 1
        for x, y in np.argwhere(np.diff(field_, axis=axis) != 0).tolist():
            here = int(field_[x, y])
            there = int(field_[x + 1, y] if axis == 0 else field_[x, y + 1])
            a, b = ((x, y), (x, y + 1)) if axis == 0 else ((x + 1, y), (x, y))
            yield (a, b, there, here) if here > there else (b, a, here, there)


def _room(voxels: Voxels, entry: RoomEntry, part: Part, at: Corner, vertices: Vertices) -> Surfaces:
    """The prism over a room's floor, as high as all of it is clear.  part: the box that it lies in."""
    x, y = (slice(max(0, span.start - 1), span.stop + 1) for span in part[:2])
    inside = voxels.room[x, y] == entry.id
    columns = inside.any(axis=2)
    low = inside.argmax(axis=2)
    floor = int(np.bincount(low[columns]).argmax())
    base = columns & (low == floor)
    clear = int((inside.sum(axis=2))[base].min())
    high = floor + max(HEADROOM, clear)
    x0, y0, z0 = at[0] + x.start, at[1] + y.start, at[2]
    found = Surfaces(vertices)
    for _, polygon in polygons(base.astype(np.uint8)):
        moved = _moved(polygon, x0, y0)
        found.level(moved, z0 + floor, "FloorSurface")
        found.level(moved, z0 + high, "CeilingSurface", down=True)
    open_ = _open(voxels.material[x, y, min(floor + 1, voxels.size[2] - 1)], base)
    for _, polygon in polygons(base.astype(np.uint8)):
        for ring in polygon:
            for a, b in zip(ring, (*ring[1:], *ring[:1]), strict=True):
                kind = "ClosureSurface" if _is_open(open_, a, b) else "InteriorWallSurface"
                c, d = (b[0] + x0, b[1] + y0), (a[0] + x0, a[1] + y0)
                found.upright(c, d, z0 + floor, z0 + high, kind)
    return found


def _open(layer: npt.NDArray[np.uint8], base: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """Columns beside a room, at the height of the chest, that are air."""
    return np.pad(~base & (layer == 0), 1)


def _is_open(open_: npt.NDArray[np.bool_], a: tuple[int, int], b: tuple[int, int]) -> bool:
    """Whether all that lies beyond an edge is air; the room lies to its left."""
    (ax, ay), (bx, by) = a, b
    if ax == bx:
        x = ax + 1 if by > ay else ax
        return bool(open_[x, min(ay, by) + 1 : max(ay, by) + 1].all())
    y = ay if bx > ax else ay + 1
    return bool(open_[min(ax, bx) + 1 : max(ax, bx) + 1, y].all())


def _moved(polygon: Polygon, x: int, y: int) -> Polygon:
    return [_ring(ring, x, y) for ring in polygon]


def _ring(ring: Ring, x: int, y: int) -> Ring:
    return [(a + x, b + y) for a, b in ring]
