"""The mesh as one binary glTF 2.0 file (ISO/IEC 12113): metres, y up.

East is +x, up is +y and north is -z.  Each building stage that sets cells is a node of its own
name; each of its materials is one primitive.
"""

from __future__ import annotations

import json
import struct
from itertools import groupby
from typing import Any

import numpy as np
import numpy.typing as npt

from genhouse.core.forms import SUB
from genhouse.model.voxels import MaterialEntry, Voxels
from genhouse.outputs.mesh import Surface, quads, sub_labels, surfaces

FLOAT, SHORT, LONG = 5126, 5123, 5125  # component types: float32, uint16, uint32
VERTICES, INDICES = 34962, 34963  # what a buffer view is for
POSITIONS, NORMALS, CORNERS = range(3)  # the buffer views
ALPHA = {"liquid": 0.75, "clear": 0.85}
ROUGHNESS = {"liquid": 0.1, "clear": 0.6}

Json = dict[str, Any]
Floats = npt.NDArray[np.float32]
Numbers = npt.NDArray[np.unsignedinteger[Any]]


def glb_bytes(voxels: Voxels) -> bytes:
    """The whole file.  Raises ValueError where no cell is solid: glTF has no empty mesh."""
    mesh = quads(sub_labels(voxels))
    if not mesh.labels.size:
        raise ValueError("no cell is solid, so there is nothing to make a mesh of")
    groups = surfaces(mesh.labels)
    places = _y_up(mesh.corners).reshape(-1, 3) / np.float32(SUB)
    corners = _corner_numbers(groups)
    blobs = (places, np.repeat(_y_up(mesh.normals), 4, axis=0), corners)
    document = {
        "asset": {"version": "2.0", "generator": "genhouse"},
        **_stages(voxels, groups),
        "materials": [_material(voxels.about.materials[n]) for n in _used(groups)],
        "accessors": _accessors(groups, places, corners),
        **_buffers(blobs),
    }
    return _container(document, *(blob.tobytes() for blob in blobs))


def linear(colour: str) -> list[float]:
    """Red, green and blue of ``#rrggbb`` as linear light (IEC 61966-2-1), to 6 decimals.

    >>> linear("#ff0080")
    [1.0, 0.0, 0.215861]
    """
    steps = (byte / 255 for byte in bytes.fromhex(colour.removeprefix("#")))
    return [round(s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4, 6) for s in steps]


def _material(entry: MaterialEntry) -> Json:
    kind = "liquid" if entry.liquid else "clear" if entry.clear else ""
    colour = linear(entry.colour)
    return {
        "name": entry.name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*colour, ALPHA.get(kind, 1.0)],
            "metallicFactor": 0.0,
            "roughnessFactor": ROUGHNESS.get(kind, 0.9),
        },
        **({"alphaMode": "BLEND"} if kind else {}),
        **({"emissiveFactor": colour} if entry.lumens else {}),
    }


def _y_up(xyz: npt.NDArray[np.integer[Any]]) -> Floats:
    # Negated while whole, so that no zero gets a sign.
    return np.stack([xyz[..., 0], xyz[..., 2], -xyz[..., 1]], axis=-1).astype("<f4")


def _corner_numbers(groups: tuple[Surface, ...]) -> Numbers:
    """Two triangles for each quad of the largest primitive; a smaller one reads the first few."""
    most = max(group.last - group.first for group in groups)
    short = most * 4 <= 0xFFFF  # 0xFFFF itself is reserved
    numbers: Numbers = np.asarray(
        np.arange(most)[:, None] * 4 + [0, 1, 2, 0, 2, 3], dtype="<u2" if short else "<u4"
    )
    return numbers


def _used(groups: tuple[Surface, ...]) -> list[int]:
    return sorted({group.material for group in groups})


def _stages(voxels: Voxels, groups: tuple[Surface, ...]) -> Json:
    """Scene, nodes and meshes; primitive n reads the accessors 3n, 3n + 1 and 3n + 2."""
    number = {material: n for n, material in enumerate(_used(groups))}
    meshes = []
    for stage, members in groupby(enumerate(groups), key=lambda pair: pair[1].stage):
        primitives = [
            {
                "attributes": {"POSITION": 3 * n, "NORMAL": 3 * n + 1},
                "indices": 3 * n + 2,
                "material": number[group.material],
            }
            for n, group in members
        ]
        meshes.append({"name": voxels.about.stages[stage], "primitives": primitives})
    nodes = [{"name": mesh["name"], "mesh": n} for n, mesh in enumerate(meshes)]
    scene = {"name": "house", "nodes": list(range(len(nodes)))}
    return {"scene": 0, "scenes": [scene], "nodes": nodes, "meshes": meshes}


def _accessors(groups: tuple[Surface, ...], places: Floats, corners: Numbers) -> list[Json]:
    """Of each primitive in turn: places, normals, corner numbers."""
    starts = [4 * group.first for group in groups]
    low = np.minimum.reduceat(places, starts).tolist()
    high = np.maximum.reduceat(places, starts).tolist()
    found: list[Json] = []
    for n, group in enumerate(groups):
        size = group.last - group.first
        points = {
            "byteOffset": 4 * group.first * places[0].nbytes,
            "componentType": FLOAT,
            "count": 4 * size,
            "type": "VEC3",
        }
        found.append({"bufferView": POSITIONS, **points, "min": low[n], "max": high[n]})
        found.append({"bufferView": NORMALS, **points})
        found.append(
            {
                "bufferView": CORNERS,
                "componentType": SHORT if corners.itemsize == 2 else LONG,
                "count": 6 * size,
                "type": "SCALAR",
            }
        )
    return found


def _buffers(blobs: tuple[npt.NDArray[Any], ...]) -> Json:
    views: list[Json] = []
    offset = 0
    for blob in blobs:
        views.append({"buffer": 0, "byteOffset": offset, "byteLength": blob.nbytes})
        offset += blob.nbytes
    for view in views[:CORNERS]:
        view |= {"byteStride": 12, "target": VERTICES}
    views[CORNERS]["target"] = INDICES
    return {"bufferViews": views, "buffers": [{"byteLength": offset}]}


def _container(document: Json, *blobs: bytes) -> bytes:
    """Header and two chunks, each padded to four bytes: JSON with spaces, binary with zeros."""
    text = json.dumps(document, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    size = sum(map(len, blobs))
    padding = b"\0" * (-size % 4)
    size += len(padding)
    header = struct.pack("<4sII", b"glTF", 2, 12 + 8 + len(text) + 8 + size)
    chunks = struct.pack("<I4s", len(text), b"JSON"), struct.pack("<I4s", size, b"BIN\0")
    return b"".join((header, chunks[0], text, chunks[1], *blobs, padding))
