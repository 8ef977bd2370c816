"""The mesh as one binary glTF 2.0 file (ISO/IEC 12113): metres, y up.

East is +x, up is +y and north is -z.  Each building stage that sets cells is a node of its own name, each
of its steps a node below it; colours stand at the corners, so that what is neither seen through nor a lamp
is one primitive a node.
"""

from __future__ import annotations

import json
import struct
from itertools import groupby
from typing import Any

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.forms import SUB
from genhouse.model.voxels import MaterialEntry, Voxels
from genhouse.outputs.mesh import Quads, quads, sub_labels
from genhouse.outputs.steps.steps import Steps

FLOAT, SHORT, LONG = 5126, 5123, 5125  # component types: float32, uint16, uint32
VERTICES, INDICES = 34962, 34963  # what a buffer view is for
POSITIONS, NORMALS, COLOURS, CORNERS = range(4)  # the buffer views
MATT = "matt"
"""What most pieces are made of; their colours stand at their corners."""
ALPHA = {"liquid": 0.75, "clear": 0.85}
ROUGHNESS = {"liquid": 0.1, "clear": 0.6}
FULL, COLOUR = 65535, 8
"""A colour's part that is all of it, and the bytes of four parts."""

Json = dict[str, Any]
Floats = npt.NDArray[np.float32]
Numbers = npt.NDArray[np.unsignedinteger[Any]]


class Surface(Struct, frozen=True, kw_only=True):
    """Rectangles of one node that are finished alike, as the range first:last.  finish: its number."""

    node: int
    finish: int
    first: int
    last: int


class Nodes(Struct, frozen=True, kw_only=True):
    """names: by the number of a node, from 1.  stages: the stage that each is below; none, where nodes
    are stages themselves.
    """

    names: tuple[str, ...]
    stages: tuple[str, ...] = ()


def glb_bytes(voxels: Voxels, steps: Steps | None = None) -> bytes:
    """The whole file; without steps, stages are its only nodes.

    Raises ValueError where no cell is solid: glTF has no empty mesh.
    """
    mesh = quads(sub_labels(voxels, steps.of if steps else None))
    if not mesh.labels.size:
        raise ValueError("no cell is solid, so there is nothing to make a mesh of")
    finishes = _finishes(voxels)
    mesh, groups = _grouped(
        mesh, np.array([list(finishes).index(_finish(m)) for m in voxels.about.materials])
    )
    places = _y_up(mesh.corners).reshape(-1, 3) / np.float32(SUB)
    corners = _corner_numbers(groups)
    colours = _colours(voxels)[mesh.labels & 255]
    blobs = (
        places,
        np.repeat(_y_up(mesh.normals), 4, axis=0),
        np.repeat(colours, 4, axis=0),
        corners,
    )
    used = sorted({group.finish for group in groups})
    document = {
        "asset": {"version": "2.0", "generator": "genhouse"},
        **_scene(_nodes(voxels, steps), groups, used),
        "materials": [list(finishes.values())[n] for n in used],
        "accessors": _accessors(groups, places, corners),
        **_buffers(blobs),
    }
    return _container(document, *(blob.tobytes() for blob in blobs))


def _nodes(voxels: Voxels, steps: Steps | None) -> Nodes:
    if steps is None:
        return Nodes(names=voxels.about.stages)
    return Nodes(
        names=("", *(f"{step.number}. {step.name}" for step in steps.steps)),
        stages=("", *(step.stage for step in steps.steps)),
    )


def _grouped(mesh: Quads, finish: npt.NDArray[np.intp]) -> tuple[Quads, tuple[Surface, ...]]:
    """The rectangles node by node, those that are finished alike together, and their ranges."""
    keys = (mesh.labels >> 8).astype(np.int64) << 8 | finish[mesh.labels & 255]
    order = np.argsort(keys, kind="stable")
    kinds, first = np.unique(keys[order], return_index=True)
    ends = [*first.tolist()[1:], keys.size]
    groups = tuple(
        Surface(node=kind >> 8, finish=kind & 255, first=start, last=end)
        for kind, start, end in zip(kinds.tolist(), first.tolist(), ends, strict=True)
    )
    sorted_ = Quads(
        corners=mesh.corners[order], normals=mesh.normals[order], labels=mesh.labels[order]
    )
    return sorted_, groups


def _finish(entry: MaterialEntry) -> str:
    """What a material's surface is called: lamps each by their own name."""
    if entry.lumens:
        return entry.name
    return "liquid" if entry.liquid else "clear" if entry.clear else MATT


def _finishes(voxels: Voxels) -> dict[str, Json]:
    """The finishes of a house by name, as glTF has them."""
    found: dict[str, Json] = {}
    for entry in voxels.about.materials:
        found.setdefault(_finish(entry), material(entry))
    return found


def _colours(voxels: Voxels) -> npt.NDArray[np.uint16]:
    """uint16 [M, 4]: linear red, green, blue, and 1, of each material, in parts of 65535."""
    found = [[*linear(entry.colour), 1.0] for entry in voxels.about.materials]
    return np.asarray(np.rint(np.array(found) * FULL), dtype="<u2")


def linear(colour: str) -> list[float]:
    """Red, green and blue of ``#rrggbb`` as linear light (IEC 61966-2-1), to 6 decimals.

    >>> linear("#ff0080")
    [1.0, 0.0, 0.215861]
    """
    steps = (byte / 255 for byte in bytes.fromhex(colour.removeprefix("#")))
    return [round(s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4, 6) for s in steps]


def material(entry: MaterialEntry) -> Json:
    kind = "liquid" if entry.liquid else "clear" if entry.clear else ""
    return {
        "name": _finish(entry),
        "pbrMetallicRoughness": {
            "baseColorFactor": [1.0, 1.0, 1.0, ALPHA.get(kind, 1.0)],
            "metallicFactor": 0.0,
            "roughnessFactor": ROUGHNESS.get(kind, 0.9),
        },
        **({"alphaMode": "BLEND"} if kind else {}),
        **({"emissiveFactor": linear(entry.colour)} if entry.lumens else {}),
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


def _scene(nodes: Nodes, groups: tuple[Surface, ...], used: list[int]) -> Json:
    """Scene, nodes and meshes; primitive n reads the accessors 4n to 4n + 3."""
    meshes, below = [], []
    for node, members in groupby(enumerate(groups), key=lambda pair: pair[1].node):
        primitives = [
            {
                "attributes": {"POSITION": 4 * n, "NORMAL": 4 * n + 1, "COLOR_0": 4 * n + 2},
                "indices": 4 * n + 3,
                "material": used.index(group.finish),
            }
            for n, group in members
        ]
        meshes.append({"name": nodes.names[node], "primitives": primitives})
        below.append(nodes.stages[node] if nodes.stages else "")
    drawn = [{"name": mesh["name"], "mesh": n} for n, mesh in enumerate(meshes)]
    stages = [stage for stage in dict.fromkeys(below) if stage]
    roots: list[Json] = [
        {
            "name": stage,
            "children": [len(stages) + n for n, other in enumerate(below) if other == stage],
        }
        for stage in stages
    ]
    tops = range(len(roots) or len(drawn))
    scene = {"name": "house", "nodes": list(tops)}
    return {"scene": 0, "scenes": [scene], "nodes": [*roots, *drawn], "meshes": meshes}


def _accessors(groups: tuple[Surface, ...], places: Floats, corners: Numbers) -> list[Json]:
    """Of each primitive in turn: places, normals, colours, corner numbers."""
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
        colours = {"byteOffset": 4 * group.first * COLOUR, "componentType": SHORT}
        found.append({"bufferView": POSITIONS, **points, "min": low[n], "max": high[n]})
        found.append({"bufferView": NORMALS, **points})
        found.append(
            {
                "bufferView": COLOURS,
                **points,
                **colours,
                "normalized": True,
                "type": "VEC4",
            }
        )
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
    for view, stride in zip(views, (12, 12, COLOUR), strict=False):
        view |= {"byteStride": stride, "target": VERTICES}
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
