"""One picture put together: sight, light, colour, lines, pixels."""

from __future__ import annotations

from functools import lru_cache, partial
from math import prod
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.kept import fixed
from genhouse.outputs.pictures import _ink, _lamp, _light, _print, _tone
from genhouse.outputs.pictures._scene import Scene
from genhouse.outputs.pictures.camera import (
    I_FACE,
    J_FACE,
    K_FACE,
    Ints,
    Mask,
    Sight,
    View,
    Window,
    at_corners,
    at_side,
    extent,
    faced,
    foremost,
    layered,
    look,
)

if TYPE_CHECKING:
    from PIL.Image import Image

OLD_LINES = 3
"""Eighths of ink in lines of what is not fresh."""

HEADROOM = 12
"""Sub-cells of air kept above the highest piece of a building stage."""
CUT_MATERIAL = 255
"""Stands for the material of cut faces, where lines are found."""
EVEN = 12
"""Pixels a cell's edge below which each triangle has one colour."""


class Shot(Struct, frozen=True, kw_only=True):
    """What to draw.  solid, whole: ``[k, i, j]``, what is drawn and what is there.

    cells: number of each cell ``[i, j, k]`` in the scene's own order.  bounds: what fills the frame.
    fresh: by cell ``[x, y, z]``, or None.  capped: whether cut faces are shown as such.
    """

    scene: Scene
    view: View
    solid: Mask
    whole: Mask
    cells: Ints
    bounds: _print.Bounds
    capped: bool
    fresh: Mask | None
    night: bool

    def cells_at(self, at: Ints) -> Ints:
        """Numbers of the cells of sub-cells ``[3, N]``, which are places in a field made flat."""
        i, j, k = at >> 2
        _, dj, dk = self.cells.shape
        cells: Ints = self.cells.reshape(-1)[(i * dj + j) * dk + k]
        return cells


class Seen(Struct, frozen=True, kw_only=True):
    """The N triangles of a window that show something.

    place: their flat places.  face, right: ``[N]``.  at: sub-cells ``[3, N]``.  corners: in space.
    shaded: those corners at which colour is found.
    material, look, tone, soft: of their cells.  cut: whether a face is a cut.  fresh: see ``Shot``.
    """

    place: npt.NDArray[np.intp]
    face: Ints
    right: Mask
    at: Ints
    corners: _tone.Corners
    shaded: _tone.Corners
    material: npt.NDArray[np.uint8]
    look: npt.NDArray[np.uint8]
    tone: npt.NDArray[np.int16]
    soft: Mask
    cut: Mask
    fresh: Mask | None


def _whole(solid: Mask, view: View) -> tuple[Mask, _print.Bounds]:
    """Sub-cells ``[x, y, z]`` as ``[k, i, j]`` and their bounds, kept for a row of pictures."""
    return _kept_whole(np.packbits(solid).tobytes(), solid.shape, view)


@lru_cache(maxsize=2)
def _kept_whole(packed: bytes, shape: tuple[int, ...], view: View) -> tuple[Mask, _print.Bounds]:
    bits = np.unpackbits(np.frombuffer(packed, dtype=np.uint8), count=prod(shape))
    whole = fixed(layered(bits.view(bool).reshape(shape), view))
    return whole, extent(foremost(whole), whole.shape[0])


def whole_bounds(scene: Scene, view: View) -> _print.Bounds:
    """The bounds of all that a scene shows."""
    return _whole(scene.solid, view)[1]


def _drawn(whole: Mask, cells: Mask) -> Mask:
    """Of sub-cells ``[4 K, 4 I, 4 J]`` those whose cells ``[K, I, J]`` are drawn."""
    k, i, j = cells.shape
    drawn = whole.reshape(k, 4, i, 4, 4 * j) & cells.repeat(4, axis=2)[:, None, :, None, :]
    return drawn.reshape(whole.shape)


def shot(scene: Scene, view: View, shown: Mask | None, fresh: Mask | None, night: bool) -> Shot:
    whole, bounds = _whole(scene.solid, view)
    solid = whole if shown is None else _drawn(whole, layered(shown, view))
    if fresh is not None:
        solid = _topped(solid)
    elif shown is not None:
        bounds = extent(foremost(solid), solid.shape[0])
    size = scene.voxels.size
    numbers = np.arange(np.prod(size), dtype=np.int32).reshape(size)
    return Shot(
        scene=scene,
        view=view,
        solid=solid,
        whole=whole,
        cells=np.ascontiguousarray(faced(numbers, view)),
        bounds=bounds,
        capped=shown is not None and fresh is None,
        fresh=fresh,
        night=night,
    )


def _topped(solid: Mask) -> Mask:
    """The layers up to the highest piece and some air above: an early stage is low."""
    top = int(np.flatnonzero(solid.any(axis=(1, 2)))[-1]) + HEADROOM
    return solid[: top - top % 4]


def _cut(s: Shot, face: Ints, at: Ints) -> Mask:
    """Whether the building goes on in front of each face seen of it, and is not drawn."""
    cut = np.zeros(face.shape, dtype=bool)
    if s.capped:
        layers, di, dj = s.whole.shape
        i, j, k = (
            np.minimum(at[n] + (face == n), end - 1) for n, end in enumerate((di, dj, layers))
        )
        place = (k * di + i) * dj + j
        hidden = np.flatnonzero((s.whole & ~s.solid).reshape(-1)[place])
        before = np.stack([i, j, k])[:, hidden]
        built = s.scene.built[s.scene.voxels.stage.reshape(-1)]
        cut[hidden] = built[s.cells_at(before)] & built[s.cells_at(at[:, hidden])]
    return cut


def _seen(s: Shot, sight: Sight, window: Window, even: bool) -> Seen:
    p, q, right = window.triangles(sight.place)
    face = sight.face.reshape(-1)[sight.place].astype(np.int32)
    corners = _tone.corners(p, q, right, face, sight.at)
    cut = _cut(s, face, sight.at)
    cells = s.cells_at(sight.at)

    def of_cells(field: npt.NDArray[Any]) -> npt.NDArray[Any]:
        return field.take(cells)

    return Seen(
        place=sight.place,
        face=face,
        right=right,
        at=sight.at,
        corners=corners,
        shaded=_tone.inmost(face, sight.at) if even else corners,
        material=of_cells(s.scene.voxels.material),
        look=np.where(cut, np.uint8(0), of_cells(s.scene.look)),
        tone=of_cells(s.scene.tone),
        soft=of_cells(s.scene.soft),
        cut=cut,
        fresh=None if s.fresh is None else of_cells(s.fresh),
    )


def _lamps(s: Shot, seen: Seen) -> Ints:
    """Lamplight on each corner that is shaded, ``[V, N]``."""
    voxels = s.scene.voxels
    light = _lamp.lamplight(voxels)
    passes = faced(_lamp.lets_through(voxels), s.view)
    step = [(seen.face == n).astype(np.int32) * 2 for n in range(3)]
    c = seen.shaded
    falls = _lamp.at_corners(
        faced(light, s.view), passes, c.i + step[0], c.j + step[1], c.k + step[2]
    )
    clear = voxels.flag("clear")[seen.material]
    return falls + np.where(clear, 3 * light.reshape(-1)[s.cells_at(seen.at)], 0)[None, :]


def _plinth(s: Shot, seen: Seen) -> Mask:
    """The sides of the plot's slab, below the ground."""
    ground = s.scene.voxels.about.gate[2] // 4
    i, j = seen.at[0] + (seen.face == I_FACE), seen.at[1] + (seen.face == J_FACE)
    beyond = np.pad(~s.whole[0], ((0, 1), (0, 1)), constant_values=True)
    plinth: Mask = beyond[i, j] & (seen.face != K_FACE) & (seen.at[2] < 4 * ground)
    return plinth


def _colours(s: Shot, seen: Seen, light: _light.Daylight) -> _tone.Rgb:
    """Colours ``[3 channels, V, N]`` of what is seen."""
    scene = s.scene
    layers, di, dj = s.solid.shape
    mottle = _tone.mottled(seen.shaded, scene.mottle[seen.material], s.view, (di, dj, layers))
    tone = seen.tone.astype(np.int32) * mottle >> 8
    own = scene.colour.T.take(seen.material, axis=1)
    plinth = _plinth(s, seen)
    own[:, plinth] = _tone.card(own[:, plinth])
    base = own[:, None] * tone >> 8
    if s.night:
        lit = _tone.lamplit(base, light, seen.shaded, seen.face, _lamps(s, seen))
        glows = scene.glows[seen.material]
        lit[:, :, glows] = base[:, :, glows] * _tone.GLOW >> 8
    else:
        lit = _tone.daylit(base, light, seen.shaded, seen.face)
    lit[:, :, seen.cut] = np.array(_tone.DARK_POCHE if s.night else _tone.POCHE)[:, None, None]
    return lit if seen.fresh is None else np.where(seen.fresh, lit, _tone.faded(lit))


def _grid(s: Shot, seen: Seen, light: _light.Daylight, window: Window) -> npt.NDArray[np.uint8]:
    """Colours ``[V corners, 3 channels, T, C]`` of a window, table and all."""
    even = len(seen.shaded.k) == 1
    paper = _tone.DUSK if s.night else _tone.PAPER
    if s.fresh is None:
        colours = _sheet(window, light.ground, _light.footing(s.whole[0]), paper, even)
    else:
        base = np.packbits(s.whole[0]).tobytes()
        colours = _shadowless(window, s.whole.shape[1:], base, paper, even).copy()
    flat = colours.reshape(*colours.shape[:2], -1)
    flat[:, :, seen.place] = np.minimum(_colours(s, seen, light), 255).swapaxes(0, 1)
    return colours


def _sheet(
    window: Window,
    ground: npt.NDArray[np.uint8],
    near: npt.NDArray[np.uint8],
    paper: tuple[int, int, int],
    even: bool,
) -> npt.NDArray[np.uint8]:
    """Colours of the bare table ``[V corners, 3 channels, T, C]``."""
    dim = _tone.table(*window.vertices(), ground, near)
    sheet, right = _tone.paper(dim, paper).astype(np.uint8), window.points_right()
    return at_side(sheet, right)[None] if even else np.stack(at_corners(sheet, right))


@lru_cache(maxsize=2)
def _shadowless(
    window: Window, size: tuple[int, int], base: bytes, paper: tuple[int, int, int], even: bool
) -> npt.NDArray[np.uint8]:
    """The table without a shadow, kept for a row of building stages.  base: see ``_light.footing``."""
    bits = np.unpackbits(np.frombuffer(base, dtype=np.uint8), count=prod(size))
    near = _light.footing(bits.view(bool).reshape(size))
    ground = np.full([n + 2 * _light.WORLD for n in size], 255, dtype=np.uint8)
    return fixed(_sheet(window, ground, near, paper, even))


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
    s: Shot, seen: Seen, sight: Sight, frame: _print.Frame
) -> tuple[_ink.Edges, _ink.Edges | None]:
    """Lines, lighter where the drawing is small, and the accent round what is fresh."""
    layers, di, dj = s.solid.shape
    right = frame.window.points_right()
    surface = _surface(seen, sight, right)
    edges = _ink.weakened(_ink.contours(surface), np.uint16(min(8, 4 + int(frame.scale / 4))))
    _ink.fine_lines(
        edges,
        s.view,
        (di, dj, layers),
        seen.at,
        seen.face,
        seen.look,
        seen.right,
        seen.place,
        eighths=min(8, int(frame.scale / 2)),
    )
    if seen.fresh is None:
        return edges, None
    fresh = _spread(seen, sight.face.shape, seen.fresh)
    old = np.where(fresh, 8, OLD_LINES).astype(np.uint16)
    return _ink.weakened(edges, old), _ink.round_about(fresh, right)


def compose(s: Shot, size: tuple[int, int]) -> Image:
    """The picture of a shot, RGB.  A stage is drawn without sun, framed as if all were there."""
    light = _light.daylight(s.solid, sunny=not s.night and s.fresh is None)
    frame = _print.frame(s.bounds, _around(s.bounds, _light.shadow_reach(light)), size)
    sight = look(s.solid, frame.window)
    seen = _seen(s, sight, frame.window, even=frame.scale < EVEN)
    colours = _grid(s, seen, light, frame.window)
    edges, accent = _edges(s, seen, sight, frame)
    pixels = _print.printed(colours, edges, frame)
    if accent is not None:
        _print.accented(pixels, accent, frame)
    return _print.brought_to_size(pixels, frame, _tone.DUSK if s.night else _tone.PAPER)


def _around(a: _print.Bounds, b: _print.Bounds) -> _print.Bounds:
    return (min(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), max(a[3], b[3]))
