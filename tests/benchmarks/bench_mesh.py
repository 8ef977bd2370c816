"""What the mesh of a house costs, beside the same mesh by trimesh, in one run.

Run as a script it prints best times and their ratios; run as a test it only checks that all sides
are measured and that each peer makes the same solid.  Both sides work on one frozen house, turn by
turn, and the best time of each counts.
"""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

import numpy as np
import trimesh

from genhouse.model.voxels import Voxels
from genhouse.outputs.glb import glb_bytes
from genhouse.outputs.mesh import Quads, quads, sub_labels
from tests.outputs.specimens import court_house

Job = Callable[[], object]


def sub_cells(voxels: Voxels) -> np.ndarray:
    """bool [4X, 4Y, 4Z]: what the house fills."""
    return sub_labels(voxels)[1:-1, 1:-1, 1:-1] > 0


def boxes(voxels: Voxels) -> trimesh.Trimesh:
    """The peer's way: a box for each filled sub-cell."""
    return trimesh.voxel.VoxelGrid(sub_cells(voxels)).as_boxes()


def marched(voxels: Voxels) -> trimesh.Trimesh:
    """The peer's other way: marching cubes through the sub-cells."""
    return trimesh.voxel.VoxelGrid(sub_cells(voxels)).marching_cubes


def exported(mesh: Quads) -> bytes:
    """The peer's file of our merged rectangles."""
    faces = np.arange(len(mesh.labels))[:, None, None] * 4 + np.array([[0, 1, 2], [0, 2, 3]])
    whole = trimesh.Trimesh(mesh.corners.reshape(-1, 3), faces.reshape(-1, 3), process=False)
    data = whole.export(file_type="glb")
    assert isinstance(data, bytes)
    return data


def best(jobs: dict[str, Job], rounds: int) -> dict[str, float]:
    """Least seconds of each job, asked turn by turn."""
    least = dict.fromkeys(jobs, float("inf"))
    for _ in range(rounds):
        for name, job in jobs.items():
            start = perf_counter()
            job()
            least[name] = min(least[name], perf_counter() - start)
    return least


def jobs_of(voxels: Voxels) -> dict[str, Job]:
    labels = sub_labels(voxels)
    merged = quads(labels)
    return {
        "house to glb": lambda: glb_bytes(voxels),
        "sub-cells": lambda: sub_labels(voxels),
        "merged rectangles": lambda: quads(labels),
        "unit squares": lambda: quads(labels, merged=False),
        "trimesh: glb of our rectangles": lambda: exported(merged),
        "trimesh: marching cubes, no glb": lambda: marched(voxels),
        "trimesh: boxes, no glb": lambda: boxes(voxels),
    }


def report(voxels: Voxels, rounds: int) -> dict[str, float]:
    """Print the table; give back the times."""
    labels = sub_labels(voxels)
    few, many = len(quads(labels).labels), len(quads(labels, merged=False).labels)
    print(f"{np.count_nonzero(voxels.form)} solid cells, {many} unit squares, {few} rectangles")
    print(f"{len(glb_bytes(voxels)) / 1e3:.0f} kB of glb")
    times = best(jobs_of(voxels), rounds)
    ours = times["house to glb"]
    for name, seconds in times.items():
        print(f"{name:<34}{seconds * 1e3:9.2f} ms {seconds / ours:8.2f} x")
    return times


def test_mesh_and_its_peers_are_measured() -> None:
    voxels = court_house()
    times = report(voxels, rounds=1)
    assert min(times.values()) > 0
    peer = boxes(voxels)
    assert np.isclose(peer.volume, np.count_nonzero(sub_cells(voxels)))
    assert len(quads(sub_labels(voxels)).labels) * 2 < len(peer.faces)


if __name__ == "__main__":
    report(court_house(), rounds=7)
