"""The camera against published isometric values, and against a ray walked step by step."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from genhouse.outputs.pictures.camera import (
    I_FACE,
    J_FACE,
    K_FACE,
    NO_FACE,
    VIEWS,
    View,
    Window,
    at_corners,
    extent,
    faced,
    foremost,
    layered,
    look,
    project,
)

# True-length isometric drawing, u = (x - y) cos 30, v = z - (x + y) sin 30: the project's
# reference notes, section 7, recomputed there by independent code.
PUBLISHED = [((3, 2, 1), (0.866025, -1.5)), ((1, 1, 1), (0.0, 0.0))]

# Area of the unit cube's outline: a regular hexagon with sides of one, 3 sqrt(3) / 2 (section 7).
HEXAGON = 2.5980762

# Outline of a box in orthographic isometric, (ab + bc + ca) / sqrt 3 (section 7, by a convex hull).
BOXES = [((1, 1, 1), 1.7320508), ((3, 2, 1), 6.3508530), ((5, 4, 2), 21.9393102)]

# The factor from true length to orthographic isometric, sqrt(2/3) (section 7).
FORESHORTENED = 0.8164966

TRIANGLE = math.sqrt(3) / 4 / 16
"""Area of a lattice triangle, in square cells: equilateral, with sides of a quarter."""

whole = st.integers(-50, 50)


@pytest.mark.parametrize(("point", "drawn"), PUBLISHED)
def test_points_fall_where_published(
    point: tuple[int, int, int], drawn: tuple[float, float]
) -> None:
    assert project(*point) == pytest.approx(drawn, abs=1e-6)


@given(whole, whole, whole)
def test_points_along_the_line_of_sight_coincide(x: int, y: int, z: int) -> None:
    assert project(x + 1, y + 1, z + 1) == pytest.approx(project(x, y, z), abs=1e-9)


def test_axes_are_drawn_at_true_length_and_at_thirty_degrees() -> None:
    # ISO 5456-3 isometric: x and y at 30 degrees to the horizontal, one scale for all axes.
    for axis, degrees in (((1, 0, 0), -30), ((0, 1, 0), 210), ((0, 0, 1), 90)):
        u, v = project(*axis)
        assert math.hypot(u, v) == pytest.approx(1)
        assert math.degrees(math.atan2(v, u)) % 360 == pytest.approx(degrees % 360)


def _window(solid: np.ndarray) -> Window:
    r0, r1, c0, c1 = extent(foremost(solid), solid.shape[0])
    return Window(t0=r0 - 2, c0=c0 - 2, rows=r1 - r0 + 4, strips=c1 - c0 + 4)


@pytest.mark.parametrize(("size", "area"), BOXES)
def test_a_box_covers_the_published_area(size: tuple[int, int, int], area: float) -> None:
    a, b, c = (4 * n for n in size)
    solid = np.ones((c, a, b), dtype=bool)
    seen = look(solid, _window(solid)).face != NO_FACE
    assert seen.sum() * TRIANGLE * FORESHORTENED**2 == pytest.approx(area, rel=1e-6)


def test_a_unit_cube_is_a_regular_hexagon() -> None:
    solid = np.ones((4, 4, 4), dtype=bool)
    face = look(solid, _window(solid)).face
    assert (face != NO_FACE).sum() * TRIANGLE == pytest.approx(HEXAGON, rel=1e-7)
    assert [(face == n).sum() for n in (I_FACE, J_FACE, K_FACE)] == [32, 32, 32]


def _walk(solid: np.ndarray, u: float, v: float) -> tuple[int, int, int, int] | None:
    """Face and sub-cell that a ray from the camera meets first, by small steps along it."""
    layers, di, dj = solid.shape
    before: tuple[int, int, int] | None = None
    for n in range(12 * (layers + 1), -1, -1):
        s = (n + 0.5) / 12
        here = (math.floor(u + s), math.floor(v + s), math.floor(s))
        i, j, k = here
        inside = 0 <= i < di and 0 <= j < dj and 0 <= k < layers
        if inside and solid[k, i, j]:
            assert before is not None
            entered = [axis for axis in range(3) if before[axis] != here[axis]]
            assert len(entered) == 1
            return ((I_FACE, J_FACE, K_FACE)[entered[0]], *here)
        before = here
    return None


@pytest.mark.parametrize("seed", range(4))
def test_every_triangle_agrees_with_a_ray(seed: int) -> None:
    solid = np.random.default_rng(seed).random((6, 5, 7)) < (0.04, 0.15, 0.4, 0.8)[seed]
    window = _window(solid)
    sight = look(solid, window)
    every = np.arange(sight.face.size)
    p, q, right = (n.reshape(sight.face.shape) for n in window.triangles(every))
    seen_at = np.zeros((*p.shape, 3), dtype=int)
    seen_at.reshape(-1, 3)[sight.place] = sight.at.T
    for place in np.ndindex(p.shape):
        ahead, aside = (2 / 3, 1 / 3) if right[place] else (1 / 3, 2 / 3)
        met = _walk(solid, p[place] + ahead, q[place] + aside)
        if met is None:
            assert sight.face[place] == NO_FACE
        else:
            assert (sight.face[place], *seen_at[place]) == met


NEAREST: dict[View, tuple[int, int]] = {
    "south-east": (2, 0),
    "south-west": (0, 0),
    "north-west": (0, 1),
    "north-east": (2, 1),
}
"""On a plot of 3 x 2 cells, the cell in the corner that the camera looks from."""


@pytest.mark.parametrize("view", VIEWS)
def test_a_view_brings_its_corner_to_the_front(view: View) -> None:
    plan = np.zeros((3, 2, 1), dtype=bool)
    plan[NEAREST[view]] = True
    turned = faced(plan, view)
    assert turned[-1, -1, 0]
    assert layered(plan, view).shape == (1, *turned.shape[:2])


def test_walking_round_never_mirrors_the_house() -> None:
    # Seen from the south-east, the east lies to the right: a mirrored view would show it left.
    plan = np.zeros((3, 3, 1), dtype=bool)
    plan[2, 2] = True  # the north-east corner
    i, j, _ = np.argwhere(faced(plan, "south-east"))[0]
    assert project(i, j, 0)[0] > 0
    i, j, _ = np.argwhere(faced(plan, "north-west"))[0]
    assert project(i, j, 0)[0] < 0


@pytest.mark.parametrize("first", [(0, 0), (0, 1)])
def test_each_triangle_takes_its_own_vertices(first: tuple[int, int]) -> None:
    """By the layout told at the head of the camera: the side vertex lies across from the upright edge."""
    window = Window(t0=first[0], c0=first[1], rows=5, strips=4)
    right = window.points_right()
    values = np.arange(7 * 5).reshape(7, 5)
    upper, lower, side = at_corners(values, right)
    for t in range(5):
        for c in range(4):
            near, far = (c, c + 1) if right[t, c] else (c + 1, c)
            assert upper[t, c] == values[t, near]
            assert lower[t, c] == values[t + 2, near]
            assert side[t, c] == values[t + 1, far]
