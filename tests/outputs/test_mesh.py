"""The surfaces: closed, exact in volume and area, outward, and merged without loss."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from genhouse.core.forms import FORMS, SUB
from genhouse.model.voxels import Voxels
from genhouse.outputs.mesh import Labels, Quads, quads, sub_labels
from tests.outputs.specimens import (
    COURT,
    FRAME,
    PLASTER,
    ROOF,
    TIMBER,
    Yard,
    block,
    court_house,
    designed,
    every_form,
    heap,
    hollow,
    ring,
)

HEAPS = [heap(seed) for seed in range(6)]


def cell_labels(voxels: Voxels) -> Labels:
    """One label a cell, as if no cell were cut any finer."""
    return np.pad((voxels.stage.astype(np.uint16) << 8) | voxels.material, 1)


def solid(mesh: Quads, keep: np.ndarray | None = None) -> trimesh.Trimesh:
    """Corners in sub-cells as a mesh of triangles, equal corners joined."""
    corners = mesh.corners if keep is None else mesh.corners[keep]
    faces = np.arange(len(corners))[:, None, None] * 4 + np.array([[0, 1, 2], [0, 2, 3]])
    return trimesh.Trimesh(corners.reshape(-1, 3).astype(float), faces.reshape(-1, 3))


def areas(mesh: Quads) -> np.ndarray:
    """Area of each rectangle in squares of a sub-cell."""
    sides = np.abs(mesh.corners.max(axis=1) - mesh.corners.min(axis=1))
    return np.where(sides == 0, 1, sides).prod(axis=1)


def filled(voxels: Voxels, where: np.ndarray) -> int:
    """Filled sub-cells of some cells, from the forms' own counts."""
    return sum(FORMS[number].fill for number in voxels.form[where].tolist())


# shared/reference.md item 8c: V - E + F of the boundary quads, [R].
EULER = {
    "one voxel": (block(1, 1, 1), (8, 12, 6), 2),
    "4 x 3 x 2 block": (block(4, 3, 2), (54, 104, 52), 2),
    "5 x 5 ring, one high": (ring(), (64, 128, 64), 0),
    "hollow 3 x 3 x 3": (hollow(), (64, 120, 60), 4),
}


@pytest.mark.parametrize("name", EULER)
def test_euler_characteristic_is_the_published_one(name: str) -> None:
    voxels, (corners, edges, faces), characteristic = EULER[name]
    mesh = quads(cell_labels(voxels), merged=False)
    whole = solid(mesh)
    assert len(mesh.labels) == faces
    assert len(whole.vertices) == corners
    # Each quad adds one diagonal to the edges of the triangles.
    assert len(whole.edges_unique) - faces == edges
    assert whole.euler_number == characteristic
    assert whole.is_watertight


@pytest.mark.parametrize("name", EULER)
def test_euler_characteristic_stays_at_quarter_cells(name: str) -> None:
    voxels, _, characteristic = EULER[name]
    whole = solid(quads(sub_labels(voxels), merged=False))
    assert whole.euler_number == characteristic
    assert whole.is_watertight


@pytest.mark.parametrize("size", [(1, 1, 1), (4, 3, 2), (7, 1, 5)])
def test_a_block_is_six_rectangles(size: tuple[int, int, int]) -> None:
    a, b, c = size
    mesh = quads(sub_labels(block(a, b, c)))
    assert len(mesh.labels) == 6
    assert areas(mesh).sum() / SUB**2 == 2 * (a * b + b * c + c * a)  # surface of a cuboid
    assert solid(mesh).volume / SUB**3 == pytest.approx(a * b * c, abs=1e-9)


@pytest.mark.parametrize("voxels", [every_form(), court_house(), designed(), *HEAPS])
def test_volume_is_the_filled_sub_cells_of_every_stage(voxels: Voxels) -> None:
    mesh = quads(sub_labels(voxels))
    for stage in range(1, len(voxels.about.stages)):
        here = voxels.stage == stage
        if here.any():
            shown = solid(mesh, mesh.labels >> 8 == stage)
            assert shown.volume == pytest.approx(filled(voxels, here), abs=1e-4)
    assert solid(mesh).volume == pytest.approx(filled(voxels, voxels.form > 0), abs=1e-4)


@pytest.mark.parametrize("number", range(1, len(FORMS)), ids=[f.name for f in FORMS[1:]])
def test_every_form_is_closed_and_as_large_as_its_bits(number: int) -> None:
    mesh = quads(sub_labels(block(1, 1, 1, form=number)), merged=False)
    # By hand: a face for each filled sub-cell and each of the six steps that leaves the form.
    inside = {tuple(cell) for cell in np.argwhere(FORMS[number].shape).tolist()}
    steps = [(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)]
    faces = sum((x + i, y + j, z + k) not in inside for x, y, z in inside for i, j, k in steps)
    assert len(mesh.labels) == faces
    assert solid(mesh).volume == pytest.approx(FORMS[number].fill, abs=1e-9)


@pytest.mark.parametrize("voxels", [every_form(), court_house(), designed(), *HEAPS])
def test_merging_keeps_the_area_of_each_label_and_way(voxels: Voxels) -> None:
    labels = sub_labels(voxels)
    merged, plain = quads(labels), quads(labels, merged=False)
    assert len(merged.labels) < len(plain.labels)
    sums = []
    for mesh in (merged, plain):
        kind = mesh.labels.astype(int) * 27 + (mesh.normals + 1) @ [9, 3, 1]
        sums.append(np.bincount(kind, areas(mesh)).tolist())
    assert sums[0] == sums[1]


@pytest.mark.parametrize("voxels", [every_form(), *HEAPS])
def test_rectangles_lie_where_the_squares_lay(voxels: Voxels) -> None:
    labels = sub_labels(voxels)
    covered = []
    for low, high, normal, label in described(quads(labels)):
        sizes = [range(a, max(a + 1, b)) for a, b in zip(low, high, strict=True)]
        covered += [(x, y, z, normal, label) for x in sizes[0] for y in sizes[1] for z in sizes[2]]
    squares = [(*low, n, label) for low, _, n, label in described(quads(labels, merged=False))]
    assert sorted(covered) == sorted(squares)


def described(mesh: Quads) -> list[tuple[list[int], list[int], tuple[int, ...], int]]:
    """Lowest and highest corner, normal and label of each rectangle."""
    low, high = mesh.corners.min(axis=1).tolist(), mesh.corners.max(axis=1).tolist()
    normals = [tuple(normal) for normal in mesh.normals.tolist()]
    return list(zip(low, high, normals, mesh.labels.tolist(), strict=True))


@pytest.mark.parametrize("voxels", [every_form(), court_house(), designed()])
def test_corners_go_round_the_normal_that_is_given(voxels: Voxels) -> None:
    mesh = quads(sub_labels(voxels))
    a, b, c, d = (mesh.corners[:, n] for n in range(4))
    across = np.cross(b - a, c - b)
    assert np.array_equal(np.sign(across), mesh.normals)
    assert np.array_equal(a + c, b + d)


def test_faces_between_stages_stand_and_between_materials_do_not() -> None:
    pair = Yard(2, 1, 1).set((0, 0, 0)).set((1, 0, 0), material=PLASTER)
    assert areas(quads(sub_labels(pair.house()))).sum() / SUB**2 == 10  # a cuboid of 2 x 1 x 1
    split = Yard(2, 1, 1).set((0, 0, 0)).set((1, 0, 0), stage=ROOF)
    assert areas(quads(sub_labels(split.house()))).sum() / SUB**2 == 12  # two cubes
    again = np.unique(quads(sub_labels(pair.house())).labels).tolist()
    assert again == [FRAME << 8 | TIMBER, FRAME << 8 | PLASTER]


def test_quads_are_sorted_by_building_order_and_material() -> None:
    labels = quads(sub_labels(court_house())).labels
    assert (np.diff(labels.astype(int)) >= 0).all()
    assert labels[-1] >> 8 == COURT


def test_an_empty_plot_has_no_surface() -> None:
    assert len(quads(sub_labels(Yard(2, 2, 2).house())).labels) == 0
