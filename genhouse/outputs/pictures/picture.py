"""Isometric pictures of a house: an architect's model in soft sun, or with its lamps lit."""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import Side
from genhouse.model.room import COURTS
from genhouse.model.voxels import Voxels, wider
from genhouse.outputs.pictures._compose import compose, shot
from genhouse.outputs.pictures._scene import Scene, scene
from genhouse.outputs.pictures.camera import View, faced, foremost, layered

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["LOOKS", "Scene", "draw", "jpeg", "png", "scene", "seen"]

Mask = npt.NDArray[np.bool_]
Finishes = Mapping[str, str]
SIZE = (1000, 900)

SUNNY_SIDE: dict[Side, View] = {
    "south": "south-east",
    "west": "south-west",
    "north": "north-west",
    "east": "north-east",
}
"""The view that shows a side on the left of the picture, where the sun falls on it."""

OPPOSITE: dict[View, View] = {
    "south-east": "north-west",
    "north-west": "south-east",
    "south-west": "north-east",
    "north-east": "south-west",
}

KNEE, TALL = 2, 3
"""Cells above the floor at which the house is cut open; up to which fittings are shown."""


def draw(
    voxels: Voxels | Scene,
    finishes: Finishes | None = None,
    *,
    view: View = "south-east",
    size: tuple[int, int] = SIZE,
    mask: Mask | None = None,
    fresh: Mask | None = None,
    night: bool = False,
) -> Image:
    """A picture, RGB.

    finishes: finish by name of material, needed where ``voxels`` are not yet a scene.
    mask: draw only these cells ``[X, Y, Z]``; cut faces are dark.  fresh: the cells that a building
    stage adds: these in full colour, outlined, the rest pale and nothing shown as cut; the frame is
    that of the whole house.  night: with lamps lit.
    """
    return compose(shot(_ready(voxels, finishes), view, mask, fresh, night), size)


def _ready(voxels: Voxels | Scene, finishes: Finishes | None) -> Scene:
    """The scene of a house, made where it is not made yet."""
    return voxels if isinstance(voxels, Scene) else scene(voxels, finishes)


def gate_side(voxels: Voxels) -> Side:
    """The side of the plot nearest to the gate."""
    x, y, _ = voxels.about.gate
    width, depth, _ = voxels.size
    distance: dict[Side, int] = {
        "south": y,
        "west": x,
        "north": depth - 1 - y,
        "east": width - 1 - x,
    }
    return min(distance, key=lambda side: distance[side])


def floors(voxels: Voxels, level: int | None = None) -> npt.NDArray[np.intp]:
    """int [X, Y, 1]: z of the lowest free layer over the floor of a storey, the lowest unless another is
    named: in and round each room its own, elsewhere that of most."""
    level = level or lowest(voxels)
    own: list[tuple[int, Mask]] = []
    for entry in voxels.about.rooms:
        inside = voxels.room == entry.id
        if entry.indoor and entry.level == level and inside.any():
            place = inside.any(axis=2)
            own.append((int(inside.argmax(axis=2).max()), place))  # an entry may be sunk in part
    places = Counter[int]()
    for z, place in own:
        places[z] += int(place.sum())
    most = places.most_common(1)[0][0] if own else voxels.about.gate[2] // 4 + 1
    found = np.full(voxels.size[:2], most)
    for z, place in own:
        if z != most:
            found[wider(place)] = z
    return found[..., None]


def lowest(voxels: Voxels) -> int:
    """The lowest level on which there are rooms."""
    return min((r.level for r in voxels.about.rooms), default=1)


def opened(voxels: Voxels, view: View, level: int | None = None) -> Mask:
    """bool [X, Y, Z]: walls up to two cells above the floor of a storey, the lowest unless another is
    named, to one where they stand between the camera and a room with no room before them; fittings in
    full; of taller trees the foot."""
    over = np.arange(voxels.size[2]) - floors(voxels, level)
    shown = (over < KNEE) | (over < TALL) & voxels.set_by("fittings")
    rooms = (voxels.room_flag("indoor")[voxels.room] & (over == 0)).any(axis=2)
    hiding = np.zeros(rooms.shape, dtype=bool)
    faced(hiding, view)[...] = _hiding(faced(rooms, view))
    garden = voxels.set_by("court")
    felled = (garden & (over >= KNEE)).any(axis=2, keepdims=True)
    shown &= ~(hiding[..., None] & (over > 0)) & ~(garden & felled & (over >= 0))
    return np.asarray(shown)


def _hiding(rooms: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """Cells outside all rooms with a room behind them, by a side or corner, and none before.

    rooms: bool ``[i, j]`` in the frame of a view, whose camera lies toward greater i and j.
    """
    wide = np.pad(rooms, 1)
    behind = wide[:-2, 1:-1] | wide[1:-1, :-2] | wide[:-2, :-2]
    before = wide[2:, 1:-1] | wide[1:-1, 2:] | wide[2:, 2:]
    hiding: npt.NDArray[np.bool_] = ~rooms & behind & ~before
    return hiding


def _over_the_verandas(voxels: Voxels) -> int:
    """z of the floor of a gallery, where the house has one; else of its eaves."""
    low = lowest(voxels)
    galleries = [r.id for r in voxels.about.rooms if r.level > low and not r.indoor]
    layers = np.flatnonzero(np.isin(voxels.room, galleries).any(axis=(0, 1)))
    return int(layers[0]) - 1 if len(layers) else voxels.about.eaves


def beyond_court(voxels: Voxels, view: View) -> Mask:
    """bool [X, Y, Z]: the cells that are drawn when one looks into the largest court.

    All that stands nearer than it goes, but for gardens, and what furnishes the lower rooms.
    """
    plan = faced(_largest_court(voxels), view)
    shown = np.ones(voxels.size, dtype=bool)
    if not plan.any():
        return shown
    floor = int(np.median(floors(voxels)))
    i, j = np.nonzero(plan)
    di, dj = np.indices(plan.shape)
    near = (di > i.max()) | (dj > j.max())
    toward = np.minimum(i.max() - di, j.max() - dj) < np.minimum(di - i.min(), dj - j.min())
    above = near | (toward & (di >= i.min()) & (dj >= j.min()))
    in_court = above & ~near
    part = faced(shown, view)
    part[near, floor:] = faced(voxels.set_by("court"), view)[near, floor:]
    stands = faced(voxels.set_by("fittings", "stair"), view)
    part[near, floor : floor + KNEE] |= stands[near, floor : floor + KNEE]
    part[in_court, max(_over_the_verandas(voxels), floor) :] = False
    part[plan] &= ~faced(voxels.set_by("roof"), view)[plan]  # a gate's little roof
    return shown


def beyond_stair(voxels: Voxels, view: View) -> Mask:
    """bool [X, Y, Z]: the cells that are drawn when one looks at the stair: nothing that stands nearer."""
    return beyond(voxels, voxels.set_by("stair"), view)


def beyond(voxels: Voxels, pieces: Mask, view: View) -> Mask:
    """bool [X, Y, Z]: the cells that are drawn when one looks at some pieces: nothing stands nearer."""
    plan = faced(np.asarray(pieces.any(axis=2)), view)
    shown = np.ones(voxels.size, dtype=bool)
    if plan.any():
        i, j = np.nonzero(plan)
        di, dj = np.indices(plan.shape)
        faced(shown, view)[(di > i.max()) | (dj > j.max()), int(np.median(floors(voxels))) :] = (
            False
        )
    return shown


def in_sight(pieces: Mask, shown: Mask, view: View) -> Mask:
    """Which of some pieces are seen among the cells that are drawn.  All: bool ``[X, Y, Z]``."""
    front = foremost(layered(shown, view))
    k, i, j = np.nonzero(layered(pieces & shown, view))
    down = shown.shape[2] - k
    seen = np.zeros(shown.shape, dtype=bool)
    faced(seen, view)[i, j, k] = front[i + down, j + down] == k
    return seen


def _largest_court(voxels: Voxels) -> npt.NDArray[np.bool_]:
    """bool [X, Y]: the ground of the largest court."""
    ids = [r.id for r in voxels.about.rooms if r.kind in COURTS]
    plans = [(voxels.room == n).any(axis=2) for n in ids]
    none = np.zeros(voxels.size[:2], dtype=bool)
    return max(plans, key=lambda plan: int(plan.sum()), default=none)


LOOKS: dict[str, Callable[[Voxels, View], Mask] | None] = {
    "outside": None,
    "inside": opened,
    "court": beyond_court,
}
"""The looks at a whole house, its gate side in the sun, and which cells are drawn; None: all."""


def seen(
    voxels: Voxels | Scene,
    look: str,
    finishes: Finishes | None = None,
    *,
    size: tuple[int, int] = SIZE,
    night: bool = False,
) -> Image:
    """A look at the whole house: from outside, cut open above the lower floor, or into the court."""
    s = _ready(voxels, finishes)
    view, shown = SUNNY_SIDE[gate_side(s.voxels)], LOOKS[look]
    mask = shown(s.voxels, view) if shown else None
    return draw(s, view=view, size=size, mask=mask, night=night)


def png(image: Image) -> bytes:
    """A picture as the bytes of a PNG file, without a date or any other note."""
    file = io.BytesIO()
    image.convert("RGB").save(file, "PNG", compress_level=1)
    return file.getvalue()


def jpeg(image: Image) -> bytes:
    """A picture as the bytes of a JPEG file, fine enough that its lines stay clean."""
    file = io.BytesIO()
    image.save(file, "JPEG", quality=92, subsampling=0)
    return file.getvalue()
