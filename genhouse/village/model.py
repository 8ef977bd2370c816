"""village.glb: the map as one glTF 2.0 file (ISO/IEC 12113), a node a tile; metres, y up, north -z.

A tile is closed at its borders, so that any of them can be shown alone.  Normals are left out: whoever
shows the file makes them flat, as the standard asks.
"""

from __future__ import annotations

import json
import shutil
import struct
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from msgspec import Struct

from genhouse.core.engines import opened
from genhouse.core.forms import SUB, shapes
from genhouse.core.progress import told
from genhouse.model.voxels import MaterialEntry
from genhouse.outputs.glb import FLOAT, INDICES, LONG, VERTICES, linear, material
from genhouse.outputs.mesh import quads
from genhouse.village.cells import Box, Cells, World, cells
from genhouse.village.matter import Matter

Json = dict[str, Any]
TILE = 64
"""Cells along the sides of a tile."""
SOLID, CLEAR = 1, 2
"""What is seen through is a body of its own: what lies behind it has a surface too."""


class Tile(Struct, frozen=True, kw_only=True):
    """corner: its west and south, in cells.  parts: material, and how many rectangles are of it, in their
    order in ``places``: float32, four corners each, from the corner of the tile."""

    corner: tuple[int, int]
    parts: tuple[tuple[int, int], ...]
    places: bytes


def write_model(path: Path, world: World, processes: int | None = None) -> None:
    """The whole file, tile by tile; what they are made of waits beside it."""
    wide, deep = world.surface.shape
    boxes = [
        (x, y, min(x + TILE, wide), min(y + TILE, deep))
        for x in range(0, wide, TILE)
        for y in range(0, deep, TILE)
    ]
    aside = path.with_suffix(".tiles")
    with opened("pool", processes) as workers, aside.open("w+b") as body:
        tiles = told("model", workers.map(partial(tile, world), boxes), len(boxes))
        document = _document(_kept(tiles, body), world.matter)
        many = max(part["count"] for part in document["accessors"]) // 6
        corners = np.arange(many)[:, None] * 4 + [0, 1, 2, 0, 2, 3]
        document["bufferViews"].append(
            {"buffer": 0, "byteOffset": body.tell(), "byteLength": 24 * many, "target": INDICES}
        )
        body.write(corners.astype("<u4").tobytes())
        size = body.tell()
        document["buffers"] = [{"byteLength": size}]
        body.seek(0)
        text = json.dumps(document, separators=(",", ":")).encode()
        text += b" " * (-len(text) % 4)
        with path.open("wb") as out:
            out.write(struct.pack("<4sII", b"glTF", 2, 12 + 8 + len(text) + 8 + size))
            out.write(struct.pack("<I4s", len(text), b"JSON") + text)
            out.write(struct.pack("<I4s", size, b"BIN\0"))
            shutil.copyfileobj(body, out)
    aside.unlink()


def tile(world: World, box: Box) -> Tile:
    """The surfaces of a piece of the map."""
    mesh = quads(_labels(cells(world, box), world.matter))
    xyz = mesh.corners.astype(np.float32) / SUB
    places = np.stack([xyz[..., 0], xyz[..., 2], 0 - xyz[..., 1]], axis=-1)
    kinds, counts = np.unique(mesh.labels & 255, return_counts=True)
    order = np.argsort(mesh.labels & 255, kind="stable")
    return Tile(
        corner=box[:2],
        parts=tuple(zip(kinds.tolist(), counts.tolist(), strict=True)),
        places=places[order].astype("<f4").tobytes(),
    )


def _labels(found: Cells, matter: Matter) -> Any:
    """What fills each sub-cell, as ``mesh.quads`` wants it, with a border of air."""
    clear = np.array([entry.clear or entry.liquid for entry in matter.entries])
    body = np.where(clear, CLEAR, SOLID).astype(np.uint16) << 8
    label = body[found.material] | found.material
    label[found.form == 0] = 0
    high = int(np.flatnonzero(label.any(axis=(0, 1)))[-1]) + 1
    label, form = label[:, :, :high], found.form[:, :, :high]
    x, y, z = (SUB * size for size in label.shape)
    fine = np.zeros((x + 2, y + 2, z + 2), dtype=np.uint16)
    filled = shapes()[form].transpose(0, 3, 1, 4, 2, 5).reshape(x, y, z)
    wide = label.repeat(SUB, axis=0).repeat(SUB, axis=1).repeat(SUB, axis=2)
    np.copyto(fine[1:-1, 1:-1, 1:-1], wide, where=filled)
    return fine


def _kept(tiles: Iterator[Tile], body: Any) -> Iterator[tuple[Tile, list[float], list[float]]]:
    """Tiles without their places, which go into the body; with the least and greatest of each part."""
    for one in tiles:
        places = np.frombuffer(one.places, dtype="<f4").reshape(-1, 3)
        starts = np.cumsum([0, *(4 * many for _, many in one.parts[:-1])])
        low, high = (f.reduceat(places, starts).tolist() for f in (np.minimum, np.maximum))
        body.write(one.places)
        yield Tile(corner=one.corner, parts=one.parts, places=b""), low, high


def _document(tiles: Iterator[tuple[Tile, list[Any], list[Any]]], matter: Matter) -> Json:
    """All but the buffers.  Primitive n reads the accessors 2 n, places, and 2 n + 1, corner numbers."""
    nodes, meshes, accessors, views = list[Json](), list[Json](), list[Json](), list[Json]()
    offset, used = 0, dict[int, int]()
    for one, low, high in tiles:
        name, (x, y) = f"tile {one.corner[0]}-{one.corner[1]}", one.corner
        nodes.append({"name": name, "mesh": len(meshes), "translation": [x, 0, -y]})
        primitives, first = [], 0
        for n, (stuff, many) in enumerate(one.parts):
            points = {"componentType": FLOAT, "count": 4 * many, "type": "VEC3"}
            at = {"bufferView": len(views), "byteOffset": 12 * first}
            accessors.append({**at, **points, "min": low[n], "max": high[n]})
            accessors.append({"componentType": LONG, "count": 6 * many, "type": "SCALAR"})
            primitives.append(
                {
                    "attributes": {"POSITION": len(accessors) - 2},
                    "indices": len(accessors) - 1,
                    "material": used.setdefault(stuff, len(used)),
                }
            )
            first += 4 * many
        meshes.append({"name": name, "primitives": primitives})
        places = {"buffer": 0, "byteOffset": offset, "byteLength": 12 * first, "byteStride": 12}
        views.append({**places, "target": VERTICES})
        offset += 12 * first
    for numbers in accessors[1::2]:
        numbers["bufferView"] = len(views)
    return {
        "asset": {"version": "2.0", "generator": "genhouse"},
        "scene": 0,
        "scenes": [{"name": "village", "nodes": list(range(len(nodes)))}],
        "nodes": nodes,
        "meshes": meshes,
        "materials": [_stuff(matter.entries[n]) for n in used],
        "accessors": accessors,
        "bufferViews": views,
    }


def _stuff(entry: MaterialEntry) -> Json:
    """A material in its own colour."""
    found = material(entry)
    looks = found["pbrMetallicRoughness"]
    colour = [*linear(entry.colour), looks["baseColorFactor"][3]]
    return {
        **found,
        "name": entry.name,
        "pbrMetallicRoughness": {**looks, "baseColorFactor": colour},
    }
