"""village.glb, read by another program."""

from __future__ import annotations

import json
import shutil
import struct
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from genhouse.core.forms import NUMBER
from genhouse.village.cells import cells
from genhouse.village.model import TILE, write_model
from tests.village.made import SMALL, built


@pytest.fixture(scope="module")
def model(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path: Path = tmp_path_factory.mktemp("model") / "village.glb"
    write_model(path, built(2).world, 1)
    assert [entry.name for entry in path.parent.iterdir()] == ["village.glb"]
    return path


@pytest.fixture(scope="module")
def scene(model: Path) -> trimesh.Scene:
    found = trimesh.load(model)
    assert isinstance(found, trimesh.Scene)
    return found


def test_there_is_a_node_a_tile_within_the_bounds_of_the_map(scene: trimesh.Scene) -> None:
    names = {name.split(".")[0] for name in scene.graph.nodes if name.startswith("tile ")}
    assert {name.split("_")[0] for name in names} >= {
        f"tile {x}-{y}" for x in (0, 64) for y in (0, 64)
    }
    (x0, y0, z0), (x1, y1, z1) = scene.bounds
    assert (x0, x1, z0, z1) == (0, SMALL[0], -SMALL[1], 0)
    assert y0 == 0
    assert y1 <= built(2).world.height


def test_a_line_straight_down_meets_the_top_of_each_column(scene: trimesh.Scene) -> None:
    """Against the cells, where what is uppermost in a column covers all of it."""
    world = built(2).world
    found = cells(world, (0, 0, TILE, TILE))
    high = found.form.shape[2] - (found.form[:, :, ::-1] > 0).argmax(axis=2)
    tops = np.zeros((TILE, TILE))
    for name in scene.graph.nodes_geometry:
        matrix, geometry = scene.graph[name]
        mesh = scene.geometry[geometry].copy()
        mesh.apply_transform(matrix)
        upward = mesh.triangles[mesh.face_normals[:, 1] > 0.9]
        for corners in upward:
            (x0, y, z0), (x1, _, z1) = corners.min(axis=0), corners.max(axis=0)
            i, j = slice(int(np.ceil(x0)), int(x1)), slice(int(np.ceil(-z1)), int(-z0))
            if x1 <= TILE and z0 >= -TILE:
                tops[i, j] = np.maximum(tops[i, j], y)
    form = np.take_along_axis(found.form, high[:, :, None] - 1, axis=2)[:, :, 0]
    whole = np.isin(form, [NUMBER["whole"], NUMBER["half course"]])
    assert whole.mean() > 0.7
    assert (np.ceil(tops) <= high).all()
    assert (np.ceil(tops) == high)[whole].mean() > 0.97  # the rest is cut up among rectangles


def breaches(path: Path) -> list[str]:
    """What in a binary file breaks rules of glTF 2.0 (ISO/IEC 12113) on its chunks, views and accessors
    (3.6.2, 3.7.2, 4.4.2)."""
    data = path.read_bytes()
    magic, version, length = struct.unpack_from("<4sII", data)
    size, kind = struct.unpack_from("<I4s", data, 12)
    text, (rest, body) = data[20 : 20 + size], struct.unpack_from("<I4s", data, 20 + size)
    told: dict[str, Any] = json.loads(text)
    binary = data[28 + size :]
    found = [] if (magic, version, length) == (b"glTF", 2, len(data)) else ["head"]
    if (kind, body) != (b"JSON", b"BIN\0") or size % 4 or rest % 4 or rest != len(binary):
        found.append("chunks")
    if not 0 <= rest - told["buffers"][0]["byteLength"] <= 3:
        found.append("buffer")
    views, readers = told["bufferViews"], dict[int, set[int]]()
    for mesh in told["meshes"]:
        for part in mesh["primitives"]:
            places, numbers = (
                told["accessors"][n] for n in (part["attributes"]["POSITION"], part["indices"])
            )
            view = views[places["bufferView"]]
            readers.setdefault(places["bufferView"], set()).add(part["attributes"]["POSITION"])
            offset = view.get("byteOffset", 0) + places.get("byteOffset", 0)
            stride, count = view.get("byteStride", 12), places["count"]
            if stride < 12 or stride % 4 or offset % 4 or view.get("target") != 34962:
                found.append("layout of places")
            if places.get("byteOffset", 0) + stride * (count - 1) + 12 > view["byteLength"]:
                found.append("places end beyond their view")
            points = np.frombuffer(binary, "<f4", 3 * count, offset).reshape(-1, 3)
            if not (points.min(axis=0) == np.float32(places["min"])).all():
                found.append("least")
            if not (points.max(axis=0) == np.float32(places["max"])).all():
                found.append("greatest")
            view = views[numbers["bufferView"]]
            kind_of = {5125: "<u4", 5123: "<u2"}[numbers["componentType"]]
            offset = view.get("byteOffset", 0) + numbers.get("byteOffset", 0)
            corners = np.frombuffer(binary, kind_of, numbers["count"], offset)
            if "byteStride" in view or view.get("target") != 34963 or len(corners) % 3:
                found.append("layout of corners")
            if int(corners.max()) >= count:
                found.append("a corner without a place")
    found += [
        "two readers of a view want its stride"
        for n, those in readers.items()
        if len(those) > 1 and "byteStride" not in views[n]
    ]
    ends = [view.get("byteOffset", 0) + view["byteLength"] for view in views]
    if max(ends) > told["buffers"][0]["byteLength"]:
        found.append("a view ends beyond the buffer")
    used = {part["material"] for mesh in told["meshes"] for part in mesh["primitives"]}
    if used != set(range(len(told["materials"]))):
        found.append("materials")
    return found


def test_the_rules_of_the_standard_are_kept(model: Path, tmp_path: Path) -> None:
    assert breaches(model) == []
    data = model.read_bytes()
    spoilt = (
        tmp_path / "spoilt.glb"
    )  # the stride under another name, as long: one learns it is asked for
    spoilt.write_bytes(data.replace(b'"byteStride"', b'"bytesTride"'))
    assert set(breaches(spoilt)) == {"two readers of a view want its stride"}


VALIDATOR = """
const fs = require("fs"), validator = require("gltf-validator");
validator.validateBytes(new Uint8Array(fs.readFileSync(process.argv[1])), {maxIssues: 20}).then(
  (told) => console.log(JSON.stringify(told.issues)));
"""


def test_the_validator_of_the_standard_finds_nothing(model: Path) -> None:
    """Where node finds the package gltf-validator (NODE_PATH)."""
    node = shutil.which("node")
    asked = [node or "", "-e", VALIDATOR, str(model)]
    done = subprocess.run(asked, capture_output=True, text=True, check=False) if node else None
    if done is None or "Cannot find module" in done.stderr:
        pytest.skip("gltf-validator is not there")
    issues = json.loads(done.stdout)
    assert issues["numErrors"] + issues["numWarnings"] == 0, issues["messages"]
