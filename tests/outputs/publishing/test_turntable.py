"""The turning picture: a whole turn, and nothing but the house on it."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator

import numpy as np
import pytest
from PIL import Image

from genhouse.model.voxels import Voxels
from genhouse.outputs.pictures._tone import PAPER
from genhouse.outputs.publishing.turntable import (
    FRAMES,
    LASTS,
    SIZE,
    modelled,
    seen_from,
    turntable,
)
from tests.outputs.houses import SMALL, built


def test_it_is_one_turn_that_begins_anew() -> None:
    picture = Image.open(io.BytesIO(turntable(built(7, SMALL))))
    assert (picture.format, picture.size, picture.n_frames) == ("WEBP", SIZE, FRAMES)
    assert picture.info["loop"] == 0
    frames = []
    for n in range(FRAMES):
        picture.seek(n)
        picture.load()
        assert picture.info["duration"] == LASTS
        frames.append(np.asarray(picture.convert("L"), dtype=float))
    changes = [
        float(np.abs(a - b).mean()) for a, b in zip(frames, frames[1:] + frames[:1], strict=True)
    ]
    assert min(changes) > 0.5
    assert max(changes) < 3 * min(changes)


def test_faces_are_all_that_is_exposed() -> None:
    v = built(7, SMALL)
    solid = np.pad(v.shapes[v.form].transpose(0, 3, 1, 4, 2, 5).reshape([4 * n for n in v.size]), 1)
    for faces in modelled(v).faces:
        shift = -1 if faces.up else 1
        assert len(faces.at) == (solid & ~np.roll(solid, shift, faces.axis)).sum()


@pytest.mark.parametrize("yaw", [0.3, 2.0, 4.4])
def test_the_outline_is_that_of_the_house(yaw: float) -> None:
    """Beside lines of sight through all filled quarters; two pixels of the rim may go either way."""
    v = built(7, SMALL)
    picture = np.asarray(seen_from(modelled(v), yaw))
    ground = (picture == PAPER).all(axis=2)
    for x, y in np.random.default_rng(3).integers(4, np.array(SIZE) - 4, (60, 2)).tolist():
        around = ground[y - 2 : y + 3, x - 2 : x + 3]
        if around.all() or not around.any():
            assert ground[y, x] != any(met(v, yaw, x + 0.5, y + 0.5)), (x, y)


def met(v: Voxels, yaw: float, x: float, y: float) -> Iterator[bool]:
    """Whether a line of sight meets each filled quarter."""
    tilt = math.asin(3**-0.5)
    right = np.array([math.cos(yaw), math.sin(yaw), 0])
    up = np.array([-math.sin(yaw) * math.sin(tilt), math.cos(yaw) * math.sin(tilt), math.cos(tilt)])
    into = np.cross(up, right)
    wide, deep, high = v.size
    across = math.hypot(wide, deep)
    tall = across * math.sin(tilt) + high * math.cos(tilt)
    scale = 0.94 * min(SIZE[0] / across, SIZE[1] / tall)
    at = (x - SIZE[0] / 2) / scale * right + (SIZE[1] / 2 - y) / scale * up - 1000 * into
    start = np.array(v.size) / 2 + at
    low = np.argwhere(v.shapes[v.form].transpose(0, 3, 1, 4, 2, 5).reshape([4 * n for n in v.size]))
    ends = np.stack([(low / 4 - start) / into, (low / 4 + 0.25 - start) / into])
    yield from (ends.min(axis=0).max(axis=1) < ends.max(axis=0).min(axis=1)).tolist()
