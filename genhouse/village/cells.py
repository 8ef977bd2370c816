"""A village's plan to cells, piece of the map by piece: a pure function of the plan and the piece."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from genhouse.core.forms import NUMBER
from genhouse.village.grow import Stand
from genhouse.village.houses import Built
from genhouse.village.kit import REACH, TREES, stamp
from genhouse.village.matter import STAGES, Matter
from genhouse.village.skin import Numbers
from genhouse.village.surface import APRON, FORD, GUTTER, LANE, PATH, PLACE, PLOT, ROAD, Surface

Box = tuple[int, int, int, int]
Places = npt.NDArray[np.int64]
Stamped = tuple[npt.NDArray[np.int64], Numbers, npt.NDArray[np.uint16]]
WHOLE, HALF, CULVERT = NUMBER["whole"], NUMBER["half course"], NUMBER["culvert x"]
STAGE = {name: n for n, name in enumerate(STAGES)}
PILE, PILES = NUMBER["stout post"], 3
"""What a bridge stands on in the water, and cells from one to the next."""
FOOTING = 2
"""Layers of a house's own ground below the level on which it stands."""
FOOTED = 3
"""Layers below the foot of a stand that are filled up to it."""
EARTH = 3
"""Cells of subsoil over the rock."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cells:
    """Of a piece of the map: material, stage uint8; form, house, room uint16; all [X, Y, Z].

    house: number of the house in whose bounds a cell lies, 0 elsewhere; room: of that house.
    """

    material: Numbers
    form: npt.NDArray[np.uint16]
    stage: Numbers
    house: npt.NDArray[np.uint16]
    room: npt.NDArray[np.uint16]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class World:
    """All that the cells of a village follow from.  levels: of the houses, in cells.  height: layers."""

    surface: Surface
    skin: Numbers
    stands: tuple[Stand, ...]
    houses: Sequence[Built]
    levels: tuple[int, ...]
    matter: Matter
    height: int
    _near: dict[tuple[int, int], list[Stand]] = field(default_factory=dict)
    _stamps: dict[str, Stamped] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for stand in self.stands:
            self._near.setdefault((stand.x // 32, stand.y // 32), []).append(stand)

    @property
    def size(self) -> tuple[int, int, int]:
        return (*self.surface.shape, self.height)

    def stamp(self, name: str) -> Stamped:
        """Cells of a stand from its foot, [N, 3], and the numbers of their materials and forms."""
        if name not in self._stamps:
            pieces = stamp(name)
            self._stamps[name] = (
                np.array([piece[:3] for piece in pieces]),
                np.array([self.matter.own(piece[3]) for piece in pieces], dtype=np.uint8),
                np.array([NUMBER[piece[4]] for piece in pieces], dtype=np.uint16),
            )
        return self._stamps[name]

    def stands_in(self, box: Box) -> Iterator[Stand]:
        """Those that may reach into a box, square by square."""
        x0, y0, x1, y1 = box
        for i in range((x0 - REACH) // 32, (x1 + REACH) // 32 + 1):
            for j in range((y0 - REACH) // 32, (y1 + REACH) // 32 + 1):
                yield from self._near.get((i, j), ())


def cells(world: World, box: Box) -> Cells:
    """The cells of x0 to x1, y0 to y1, from the bottom to the top."""
    x0, y0, x1, y1 = box
    shape = (x1 - x0, y1 - y0, world.height)
    found = Cells(
        material=np.zeros(shape, dtype=np.uint8),
        form=np.zeros(shape, dtype=np.uint16),
        stage=np.zeros(shape, dtype=np.uint8),
        house=np.zeros(shape, dtype=np.uint16),
        room=np.zeros(shape, dtype=np.uint16),
    )
    _ground(world, box, found)
    _decks(world, box, found)
    _stands(world, box, found)
    for built, level in zip(world.houses, world.levels, strict=True):
        _house(world, box, found, built, level)
    return found


def _ground(world: World, box: Box, into: Cells) -> None:
    """Rock, earth, the skin, and water where it stands over that."""
    own = world.matter.own
    part = np.s_[box[0] : box[2], box[1] : box[3]]
    ground, level = world.surface.ground[part], world.surface.level[part]
    use, skin = world.surface.use[part], world.skin[part]
    z = np.arange(world.height)
    full, odd = ground // 2, ground % 2
    top = (full + odd)[:, :, None]
    solid = z < top
    into.material[solid] = own("bedrock")
    deep = np.where(use == APRON, 99, EARTH)[:, :, None]
    stuff = np.where(skin == own("terrace wall"), skin, own("subsoil"))[:, :, None]
    earth = solid & (z >= top - deep)
    np.copyto(into.material, np.broadcast_to(stuff, earth.shape), where=earth)
    np.copyto(into.material, np.broadcast_to(skin[:, :, None], earth.shape), where=z == top - 1)
    into.form[solid] = WHOLE
    into.form[(z == top - 1) & (odd == 1)[:, :, None]] = HALF
    into.stage[solid] = STAGE["land"]
    laid = np.isin(use, (ROAD, LANE, PATH, GUTTER))[:, :, None] & (z == top - 1)
    into.stage[laid] = STAGE["lane"]
    walled = np.isin(use, (APRON, PLACE, PLOT))[:, :, None] & earth
    into.stage[walled] = STAGE["terrace"]
    water = (z >= top) & (z < level[:, :, None])
    into.material[water], into.form[water] = own("stream water"), WHOLE
    into.stage[water] = STAGE["water"]


def _decks(world: World, box: Box, into: Cells) -> None:
    """Bridges of planks on piles, fords of stones with a bore for the water."""
    part = np.s_[box[0] : box[2], box[1] : box[3]]
    deck, use = world.surface.deck[part], world.surface.use[part]
    own = world.matter.own
    for i, j in np.argwhere(deck > 0).tolist():
        high = int(deck[i, j])
        full = high // 2
        ford = use[i, j] == FORD
        stuff = own("kerb stone" if ford else "bridge plank")
        below = int(world.surface.ground[box[0] + i, box[1] + j]) // 2
        for z in range(below if ford else full - 1, full):
            wet = ford and z < full
            into.material[i, j, z], into.form[i, j, z] = stuff, CULVERT if wet else WHOLE
            into.stage[i, j, z] = STAGE["lane"]
        piled = not ((box[0] + i) % PILES or (box[1] + j) % PILES)
        for z in range(below, full - 1) if piled and not ford else ():
            into.material[i, j, z], into.form[i, j, z] = own("trunk"), PILE
            into.stage[i, j, z] = STAGE["lane"]
        if high % 2:
            into.material[i, j, full], into.form[i, j, full] = stuff, HALF
            into.stage[i, j, full] = STAGE["lane"]


def _stands(world: World, box: Box, into: Cells) -> None:
    """Set the pieces of all stands where there is nothing yet; of two in one cell the first counts.  Below
    its foot a stand takes what is there."""
    stands = list(world.stands_in(box))
    if not stands:
        return
    stamps = [world.stamp(stand.name) for stand in stands]
    many = [len(at) for at, *_ in stamps]
    of = np.repeat(np.arange(len(stands)), many)
    at, stuff, form = (np.concatenate(part) for part in zip(*stamps, strict=True))
    foot, low = _feet(world, stands, of, at), at[:, 2]
    kind = ["planting" if stand.name in TREES else "fixtures" for stand in stands]
    stage = np.array([STAGE[name] for name in kind], dtype=np.uint8)[of]
    place = at + np.array([(stand.x - box[0], stand.y - box[1], 0) for stand in stands])[of]
    place[:, 2] += foot[of]
    inside = ((place >= 0) & (place < into.material.shape)).all(axis=1)
    _footed(into, place[inside & (low == 0)], world.matter.own("subsoil"))
    flat = np.ravel_multi_index(tuple(place[inside].T), into.material.shape)
    free = (into.material.reshape(-1)[flat] == 0) | (low[inside] < 0)
    cell, first = np.unique(flat[free], return_index=True)
    chosen = np.flatnonzero(inside)[free][first]
    for array, values in ((into.material, stuff), (into.form, form), (into.stage, stage)):
        array.reshape(-1)[cell] = values[chosen]


def _feet(world: World, stands: Sequence[Stand], of: Places, at: Places) -> Places:
    """Layers at which stands stand: level, over the highest ground below each.  of, at: the stand of each
    piece, and where it lies in it."""
    own = at[:, 2] == 0
    columns = np.array([(stand.x, stand.y) for stand in stands])[of[own]] + at[own, :2]
    x, y = np.clip(columns, 0, np.array(world.surface.shape) - 1).T
    high = np.zeros(len(stands), dtype=np.int64)
    np.maximum.at(high, of[own], world.surface.ground[x, y])
    return (high + 1) // 2


def _footed(into: Cells, feet: Places, stuff: int) -> None:
    """Ground up to the feet of stands, where it lies lower: by half a cell, or by some."""
    x, y, foot = feet.T
    for z in (foot - n for n in range(1, FOOTED + 1)):
        half = into.form[x, y, z] == HALF
        into.form[x[half], y[half], z[half]] = WHOLE
        bare = into.material[x, y, z] == 0
        cell = x[bare], y[bare], z[bare]
        into.material[cell], into.form[cell], into.stage[cell] = stuff, WHOLE, STAGE["terrace"]


def _house(world: World, box: Box, into: Cells, built: Built, level: int) -> None:
    """A house's own cells take the place of all that is there."""
    x0, y0, x1, y1 = built.rect
    a, b = max(x0, box[0]), max(y0, box[1])
    c, d = min(x1, box[2]), min(y1, box[3])
    if a >= c or b >= d:
        return
    voxels, low = built.voxels, level - FOOTING
    high = min(voxels.size[2], world.height - low)
    own = np.s_[a - x0 : c - x0, b - y0 : d - y0, :high]
    here = np.s_[a - box[0] : c - box[0], b - box[1] : d - box[1], low : low + high]
    its = built.covers[own[:2]]  # what its outline leaves of the rectangle stays as it is
    into.material[here][its] = world.matter.of_house(voxels.about)[voxels.material[own]][its]
    into.form[here][its], into.stage[here][its] = voxels.form[own][its], voxels.stage[own][its]
    into.house[here][its], into.room[here][its] = built.plot.number, voxels.room[own][its]
