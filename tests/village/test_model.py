"""village.glb, read by another program."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from genhouse.core.forms import NUMBER
from genhouse.village.cells import cells
from genhouse.village.model import TILE, write_model
from tests.village.made import SMALL, built


@pytest.fixture(scope="module")
def scene(tmp_path_factory: pytest.TempPathFactory) -> trimesh.Scene:
    path: Path = tmp_path_factory.mktemp("model") / "village.glb"
    write_model(path, built(2).world, 1)
    assert [entry.name for entry in path.parent.iterdir()] == ["village.glb"]
    found = trimesh.load(path)
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
