"""One picture put together: sight, light, colour, lines, pixels."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from genhouse.outputs.pictures import _ink, _lamp, _light, _print, _tone
from genhouse.outputs.pictures._scene import Scene
from genhouse.outputs.pictures.camera import (
    I_FACE,
    J_FACE,
    K_FACE,
    NO_FACE,
    Ints,
    Sight,
    View,
    extent,
    faced,
    foremost,
    layered,
    look,
)

if TYPE_CHECKING:
    from PIL.Image import Image

Mask = npt.NDArray[np.bool_]

OLD_LINES = 3
"""Eighths of ink in lines of what is not fresh."""

HEADROOM = 12
"""Sub-cells of air kept above the highest piece of a building stage."""
CUT_MATERIAL = 255
"""Stands for the material of cut faces, where lines are found."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """What to draw.  solid, whole: ``[k, i, j]``, what is drawn and what is there.

    fresh: by cell ``[i, j, k]``, or None.  capped: whether cut faces are shown as such.
    """

    scene: Scene
    view: View
    solid: Mask
    whole: Mask
    capped: bool
    fresh: Mask | None
    night: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """The N triangles of a window that show something.

    place: their flat places.  face, right: ``[N]``.  at: sub-cells ``[3, N]``.  corners: in space.
    material, look, tone, soft: of their cells.  cut: whether a face is a cut.  fresh: see ``Shot``.
    """

    place: npt.NDArray[np.intp]
    face: Ints
    right: Mask
    at: Ints
    corners: _tone.Corners
    material: npt.NDArray[np.uint8]
    look: npt.NDArray[np.uint8]
    tone: npt.NDArray[np.int16]
    soft: Mask
    cut: Mask
    fresh: Mask | None


def each_subcell(cells: Mask) -> Mask:
    """bool ``[4 X, 4 Y, 4 Z]`` from bool ``[X, Y, Z]``."""
    return cells.repeat(4, axis=0).repeat(4, axis=1).repeat(4, axis=2)


def shot(scene: Scene, view: View, shown: Mask | None, fresh: Mask | None, night: bool) -> Shot:
    whole = layered(scene.solid, view)
    solid = whole if shown is None else whole & layered(each_subcell(shown), view)
    if fresh is not None:
        solid = _topped(solid)
    return Shot(
        scene=scene,
        view=view,
        solid=solid,
        whole=whole,
        capped=shown is not None and fresh is None,
        fresh=None if fresh is None else faced(fresh, view),
        night=night,
    )


def _topped(solid: Mask) -> Mask:
    """The layers up to the highest piece and some air above: an early stage is low."""
    top = int(np.flatnonzero(solid.any(axis=(1, 2)))[-1]) + HEADROOM
    return solid[: top - top % 4]


def _cut(s: Shot, face: Ints, at: Ints) -> Mask:
    """Whether what lies in front of each face seen is there, but not drawn."""
    if not s.capped:
        return np.zeros(face.shape, dtype=bool)
    k, i, j = (
        np.minimum(at[n] + (face == n), s.whole.shape[axis] - 1)
        for n, axis in ((2, 0), (0, 1), (1, 2))
    )
    stage = faced(s.scene.voxels.stage, s.view)[i >> 2, j >> 2, k >> 2]
    cut: Mask = s.whole[k, i, j] & ~s.solid[k, i, j] & s.scene.built[stage]
    return cut


def _at_places(
    window: tuple[Ints, Ints, Mask], place: npt.NDArray[np.intp]
) -> tuple[Ints, Ints, Mask]:
    p, q, right = window
    return p.reshape(-1)[place], q.reshape(-1)[place], right.reshape(-1)[place]


def _seen(s: Shot, sight: Sight, window: tuple[Ints, Ints, Mask]) -> Seen:
    place = np.flatnonzero(sight.face != NO_FACE)
    p, q, right = _at_places(window, place)
    face = sight.face.reshape(-1)[place].astype(np.int32)
    at = np.stack([n.reshape(-1)[place] for n in (sight.i, sight.j, sight.k)])
    i, j, k = at >> 2
    cut = _cut(s, face, at)
    looks = faced(s.scene.look, s.view)[i, j, k]
    return Seen(
        place=place,
        face=face,
        right=right,
        at=at,
        corners=_tone.corners(p, q, right, face, at),
        material=faced(s.scene.voxels.material, s.view)[i, j, k],
        look=np.where(cut, np.uint8(0), looks),
        tone=faced(s.scene.tone, s.view)[i, j, k],
        soft=faced(s.scene.soft, s.view)[i, j, k],
        cut=cut,
        fresh=None if s.fresh is None else s.fresh[i, j, k],
    )


def _lamps(s: Shot, seen: Seen) -> Ints:
    """Lamplight on each corner of what is seen, ``[3, N]``."""
    voxels = s.scene.voxels
    light = faced(_lamp.lamplight(voxels), s.view)
    passes = faced(_lamp.lets_through(voxels), s.view)
    step = [(seen.face == n).astype(np.int32) * 2 for n in range(3)]
    c = seen.corners
    falls = _lamp.at_corners(light, passes, c.i + step[0], c.j + step[1], c.k + step[2])
    clear = voxels.flag("clear")[seen.material]
    i, j, k = seen.at >> 2
    return falls + np.where(clear, 3 * light[i, j, k], 0)[None, :]


def _plinth(s: Shot, seen: Seen) -> Mask:
    """The sides of the plot's slab, below the ground."""
    ground = s.scene.voxels.about.gate[2] // 4
    _, di, dj = s.solid.shape
    border = (seen.at[0] == di - 1) | (seen.at[1] == dj - 1)
    plinth: Mask = border & (seen.face != K_FACE) & (seen.at[2] < 4 * ground)
    return plinth


def _colours(s: Shot, seen: Seen, light: _light.Daylight) -> _tone.Rgb:
    """Colours ``[3 channels, 3, N]`` of what is seen."""
    scene = s.scene
    layers, di, dj = s.solid.shape
    mottle = _tone.mottled(seen.corners, scene.mottle[seen.material], s.view, (di, dj, layers))
    tone = seen.tone.astype(np.int32) * mottle >> 8
    own = scene.colour[seen.material]
    plinth = _plinth(s, seen)
    own[plinth] = _tone.card(own[plinth])
    base = own.T[:, None, :] * tone >> 8
    if s.night:
        lit = _tone.lamplit(base, light, seen.corners, seen.face, _lamps(s, seen))
        glows = scene.glows[seen.material]
        lit[:, :, glows] = base[:, :, glows] * _tone.GLOW >> 8
    else:
        lit = _tone.daylit(base, light, seen.corners, seen.face)
    lit[:, :, seen.cut] = np.array(_tone.DARK_POCHE if s.night else _tone.POCHE)[:, None, None]
    return lit if seen.fresh is None else np.where(seen.fresh, lit, _tone.faded(lit))


def _grid(s: Shot, seen: Seen, light: _light.Daylight, window: tuple[Ints, Ints, Mask]) -> Any:
    """Colours ``[3 vertices, 3 channels, T, C]`` of a window, table and all."""
    shape = window[0].shape
    colours = np.zeros((3, 3, shape[0] * shape[1]), dtype=np.uint8)
    bare = np.ones(colours.shape[2], dtype=bool)
    bare[seen.place] = False
    empty = np.flatnonzero(bare)
    dim = _tone.table(*_at_places(window, empty), light.ground)
    sheet = _tone.paper(dim, _tone.DUSK if s.night else _tone.PAPER)
    for channels, place in ((sheet, empty), (_colours(s, seen, light), seen.place)):
        colours[:, :, place] = np.minimum(channels, 255).swapaxes(0, 1)
    return colours.reshape(3, 3, *shape)


def _spread(
    seen: Seen, shape: tuple[int, ...], values: npt.NDArray[Any], fill: int = 0
) -> npt.NDArray[Any]:
    """Values of what is seen, in their places in the window."""
    grid = np.full(shape[0] * shape[1], fill, dtype=values.dtype)
    grid[seen.place] = values
    return grid.reshape(shape)


def _surface(seen: Seen, sight: Sight, right: Mask) -> _ink.Surface:
    spread = partial(_spread, seen, sight.face.shape)
    offset = np.where(
        seen.face == I_FACE, seen.at[0], np.where(seen.face == J_FACE, seen.at[1], seen.at[2])
    )
    heights = tuple(spread(seen.corners.k[n]) for n in range(3))
    return _ink.Surface(
        face=sight.face,
        plane=spread((seen.face * 4096 + offset).astype(np.int32), -1),
        material=spread(np.where(seen.cut, np.uint8(CUT_MATERIAL), seen.material)),
        look=spread(seen.look),
        soft=spread(seen.soft & ~seen.cut),
        heights=heights,  # type: ignore[arg-type]
        right=right,
    )


def _edges(
    s: Shot, seen: Seen, sight: Sight, right: Mask, scale: float
) -> tuple[_ink.Edges, _ink.Edges | None]:
    """Lines, lighter where the drawing is small, and the accent round what is fresh."""
    layers, di, dj = s.solid.shape
    surface = _surface(seen, sight, right)
    edges = _ink.weakened(_ink.contours(surface), np.uint16(min(8, 4 + int(scale / 4))))
    _ink.fine_lines(
        edges,
        s.view,
        (di, dj, layers),
        seen.at,
        seen.face,
        seen.look,
        seen.right,
        seen.place,
        eighths=min(8, int(scale / 2)),
    )
    if seen.fresh is None:
        return edges, None
    fresh = _spread(seen, sight.face.shape, seen.fresh)
    old = np.where(fresh, 8, OLD_LINES).astype(np.uint16)
    return _ink.weakened(edges, old), _ink.round_about(fresh, right)


def compose(s: Shot, size: tuple[int, int], whole_frame: bool) -> Image:
    """The picture of a shot, RGB.  whole_frame: framed as if all of the house were drawn."""
    framed = s.whole if whole_frame else s.solid
    bounds = extent(foremost(framed), framed.shape[0])
    light = _light.daylight(s.solid, sunny=not (s.night or whole_frame))
    frame = _print.frame(bounds, _around(bounds, _light.shadow_reach(light)), size)
    window = frame.window.vertices()
    sight = look(s.solid, frame.window)
    seen = _seen(s, sight, window)
    colours = _grid(s, seen, light, window)
    edges, accent = _edges(s, seen, sight, window[2], frame.scale)
    pixels = _print.printed(colours, edges, frame, accent)
    return _print.brought_to_size(pixels, frame, _tone.DUSK if s.night else _tone.PAPER)


def _around(a: _print.Bounds, b: _print.Bounds) -> _print.Bounds:
    return (min(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), max(a[3], b[3]))
