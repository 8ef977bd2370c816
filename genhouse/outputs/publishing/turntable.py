"""A house that turns: pictures from all round, as one animated WebP.

Each quarter of an exposed face is a flock of points; of those that fall on one pixel the nearest is seen.
Points are whole numbers, so that a picture is the same everywhere.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.forms import SUB
from genhouse.core.workers import cores, helped
from genhouse.model.voxels import Voxels
from genhouse.outputs.maquette.maquette import YAW
from genhouse.outputs.mesh import sub_labels
from genhouse.outputs.pictures._tone import PAPER
from genhouse.outputs.pictures.picture import SUNNY_SIDE, gate_side

if TYPE_CHECKING:
    from PIL.Image import Image

SIZE = (640, 520)
FRAMES, LASTS = 36, 90
"""Pictures of one turn, and milliseconds of each."""
FINE = 2
"""Points of the drawing along a pixel."""
FIXED = 12
"""Bits behind the point of a whole number that stands for a length in quarters of a cell."""
TILT = math.asin(1 / math.sqrt(3))
"""How far one looks down: as in an isometric drawing."""
SUN = (-0.45, -0.35, 0.82)
"""Toward the light, on the drawing: right, into it, up; it does not turn with the house."""
REACH = 3
"""Quarters within which what stands about takes light from a face."""
INK = 180
"""How much of its light, of 256, a point keeps where a plane or a material ends."""
STEP = 3 * SUB << FIXED
"""What lies so much further away is another thing."""

Whole = npt.NDArray[np.int64]


class Faces(Struct, frozen=True, kw_only=True, eq=False):
    """Exposed quarters of faces that look one way.

    axis, up: which way.  at: int64 [N, 3], their low corner.  material: [N].  open: part of the light
    that reaches each, of 256.
    """

    axis: int
    up: bool
    at: Whole
    material: Whole
    open: Whole


class Model(Struct, frozen=True, kw_only=True, eq=False):
    """size: in quarters.  colours: int64 [M, 3]."""

    size: tuple[int, int, int]
    faces: tuple[Faces, ...]
    colours: Whole


def turntable(voxels: Voxels) -> bytes:
    """A whole turn of the house as an animated WebP, which begins anew for ever."""
    model = modelled(voxels)
    first = math.radians(YAW[SUNNY_SIDE[gate_side(voxels)]])
    angles = [first + 2 * math.pi * n / FRAMES for n in range(FRAMES)]
    with helped(partial(seen_from, model), angles, cores(), "pictures") as finish:
        front, *others = finish()
    file = io.BytesIO()
    front.save(
        file, "WEBP", save_all=True, append_images=others, duration=LASTS, loop=0, quality=82
    )
    return file.getvalue()


def modelled(voxels: Voxels) -> Model:
    """What is seen of a house, whichever way one looks."""
    label = sub_labels(voxels)
    solid = label > 0
    crowded = _crowded(solid)
    x, y, z = (n * SUB for n in voxels.size)
    colours = [bytes.fromhex(m.colour.removeprefix("#")) for m in voxels.about.materials]
    return Model(
        size=(x, y, z),
        faces=tuple(
            _faces(label, solid, crowded, axis, up) for axis in range(3) for up in (False, True)
        ),
        colours=np.array([list(colour) for colour in colours], dtype=np.int64),
    )


def _crowded(solid: npt.NDArray[np.bool_]) -> Whole:
    """How many quarters about each are filled, as a part of 256."""
    count = solid.astype(np.int64)
    wide = 2 * REACH + 1
    for axis in range(3):
        rows = np.moveaxis(count, axis, 0)
        total = np.cumsum(np.pad(rows, ((REACH + 1, REACH), (0, 0), (0, 0)), "edge"), axis=0)
        count = np.moveaxis(total[wide:] - total[:-wide], 0, axis)
    return 256 * count // wide**3


def _faces(
    label: npt.NDArray[np.uint16],
    solid: npt.NDArray[np.bool_],
    crowded: Whole,
    axis: int,
    up: bool,
) -> Faces:
    """Where a quarter is filled and the next one that way is not."""
    before = np.roll(solid, -1 if up else 1, axis)
    at = np.argwhere(solid & ~before)
    front = at.copy()
    front[:, axis] += 1 if up else -1
    shut = crowded[tuple(front.T)]
    low = at - 1  # the layer of air
    low[:, axis] += up
    return Faces(
        axis=axis,
        up=up,
        at=low,
        material=(label[tuple(at.T)] & 255).astype(np.int64),
        open=np.clip(330 - shut, 120, 256),
    )


def seen_from(model: Model, yaw: float) -> Image:
    """The house from one side; yaw: how far one has gone round it, 0 looking north."""
    from PIL import Image

    wide, high = (n * FINE for n in SIZE)
    frame = _frame(model, yaw)
    nearest = np.full(wide * high, -1, dtype=np.int64)
    shown = [faces for faces in model.faces if _faces_us(faces, frame)]
    first = 0
    for faces in shown:
        for points, keys in _points(faces, frame, first):
            np.maximum.at(nearest, points, keys)
        first += len(faces.at)
    picture = _coloured(model, shown, frame, nearest.reshape(high, wide))
    return Image.fromarray(picture).resize(SIZE, Image.Resampling.BOX)


class Frame(Struct, frozen=True, kw_only=True):
    """The drawing's right, down and nearer for a step of a quarter along x, y and z, and where the
    world's origin falls; in whole numbers of ``FIXED`` bits.  points: along a quarter's edge.
    """

    right: tuple[int, ...]
    down: tuple[int, ...]
    nearer: tuple[int, ...]
    origin: tuple[int, int, int]
    points: int


def _frame(model: Model, yaw: float) -> Frame:
    s, c, st, ct = math.sin(yaw), math.cos(yaw), math.sin(TILT), math.cos(TILT)
    x, y, z = model.size
    round_ = math.hypot(x, y)
    scale = 0.94 * FINE * min(SIZE[0] / round_, SIZE[1] / (round_ * st + z * ct))
    axes = ((c, s, 0.0), (s * st, -c * st, -ct), (s * ct, -c * ct, st))
    right, down, nearer = (tuple(round(n * scale * (1 << FIXED)) for n in axis) for axis in axes)
    middle = (FINE * SIZE[0] << FIXED, FINE * SIZE[1] << FIXED, 1 << 28)
    origin = [
        (whole - sum(n * size for n, size in zip(axis, model.size, strict=True))) // 2
        for whole, axis in zip(middle, (right, down, nearer), strict=True)
    ]
    return Frame(
        right=right,
        down=down,
        nearer=nearer,
        origin=(origin[0], origin[1], origin[2]),
        points=math.ceil(scale) + 1,
    )


def _faces_us(faces: Faces, frame: Frame) -> bool:
    return (frame.nearer[faces.axis] > 0) == faces.up and frame.nearer[faces.axis] != 0


def _points(faces: Faces, frame: Frame, first: int) -> Iterator[tuple[Whole, Whole]]:
    """For each point on all faces at once: the pixel it falls on, and how near it is, with the number
    of its face."""
    wide = SIZE[0] * FINE
    along, aside = (axis for axis in range(3) if axis != faces.axis)
    rows = (frame.right, frame.down, frame.nearer)
    at = [faces.at @ np.array(row) + start for row, start in zip(rows, frame.origin, strict=True)]
    numbers = np.arange(first, first + len(faces.at))
    for n in range(frame.points**2):
        a, b = divmod(n, frame.points)
        x, y, near = (
            base + ((2 * a + 1) * row[along] + (2 * b + 1) * row[aside]) // (2 * frame.points)
            for base, row in zip(at, rows, strict=True)
        )
        yield (y >> FIXED) * wide + (x >> FIXED), near << 32 | numbers


def _coloured(
    model: Model, shown: Sequence[Faces], frame: Frame, nearest: Whole
) -> npt.NDArray[np.uint8]:
    """Red, green and blue of each point."""
    hit = nearest >= 0
    number = np.where(hit, nearest & 0xFFFFFFFF, 0)
    material = np.concatenate([faces.material for faces in shown])[number]
    light = np.concatenate([faces.open * _light(faces, frame) >> 8 for faces in shown])[number]
    side = np.repeat(range(len(shown)), [len(faces.at) for faces in shown])[number]
    ends = _ends(np.where(hit, side << 8 | material, -1), nearest >> 32)
    light = np.where(ends, light * INK >> 8, light)
    colours = model.colours[material] * light[..., None] >> 8
    return np.where(hit[..., None], np.clip(colours, 0, 255), PAPER).astype(np.uint8)


def _light(faces: Faces, frame: Frame) -> int:
    """What falls on faces that look one way, of 256."""
    sign = 1 if faces.up else -1
    rows = (frame.right, frame.nearer, frame.down)
    length = math.sqrt(sum(row[faces.axis] ** 2 for row in rows))
    right, nearer, down = (sign * row[faces.axis] / length for row in rows)
    toward = right * SUN[0] - nearer * SUN[1] - down * SUN[2]
    return round(256 * (0.62 + 0.5 * max(0.0, toward)))


def _ends(kind: Whole, near: Whole) -> npt.NDArray[np.bool_]:
    """Where the point to the right or below is of another plane or material, or lies far behind."""
    found = np.zeros(kind.shape, dtype=bool)
    for axis in (0, 1):
        one, other = (np.moveaxis(a, axis, 0) for a in (kind, near))
        there = np.moveaxis(found, axis, 0)
        there[:-1] |= (one[1:] != one[:-1]) | (np.abs(other[1:] - other[:-1]) > STEP)
    return found & (kind >= 0)
