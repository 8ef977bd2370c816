"""Where lamps may go: under what is level, and on what gives hold."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.axes import SIDES, STEP, opposite
from genhouse.core.box import Box
from genhouse.core.forms import FORMS, NUMBER, shapes
from genhouse.core.kept import fixed
from genhouse.core.light import centres
from genhouse.core.solids import EIGHTHS, Bool, Dark, Forms, Ints, Solids, Whole
from genhouse.model.elements import Lamp
from genhouse.model.laid import Laid
from genhouse.model.palette import Palette
from genhouse.stages.lighting.ground import Ground
from genhouse.traditions.tradition import Tradition

OVERHEAD = 2
"""Cells above a floor from which a lamp is over one's head."""
HIGHEST = 6
"""Layers over one's head in which a lamp may be bracketed, under a high slope."""


USES = ("lamp", "wall lamp", "veranda lamp", "gallery lamp")
HUNG, BRACKETED, ON_POST, OVER_WALK = range(len(USES))


class Spot(Struct, frozen=True, kw_only=True):
    """A place for a lamp: the cell of its light, the form that it takes there, and its use."""

    cell: tuple[int, int, int]
    form: str
    use: str

    @property
    def lamp(self) -> Lamp:
        return Lamp(use=self.use, box=Box.cell(*self.cell), side=self.form)


class Spots(Struct, frozen=True, kw_only=True, eq=False):
    """Places for lamps.  place: the number of what each lights [S].  cell: [S, 3].

    form: by number [S].  use: its number in USES [S].
    """

    place: Ints
    cell: Ints
    form: Ints
    use: Ints

    def __len__(self) -> int:
        return len(self.place)

    def __getitem__(self, which: Whole | slice) -> Spots:
        return Spots(
            place=self.place[which],
            cell=self.cell[which],
            form=self.form[which],
            use=self.use[which],
        )

    @classmethod
    def joined(cls, found: Iterable[Spots]) -> Spots:
        fields = zip(*((s.place, s.cell, s.form, s.use) for s in found), strict=True)
        place, cell, form, use = map(np.concatenate, fields)
        return cls(place=place, cell=cell, form=form, use=use)

    @property
    def at(self) -> Ints:
        """The middle of each one's light, in eighths of a cell: [S, 3]."""
        return EIGHTHS * self.cell + CENTRES[self.form]

    def having(self, quality: Callable[[str], int]) -> Ints:
        """Some quality of each one's use: [S]."""
        return np.array([quality(use) for use in USES], dtype=np.int32)[self.use]

    def spot(self, n: int) -> Spot:
        x, y, z = self.cell[n].tolist()
        return Spot(cell=(x, y, z), form=FORMS[self.form[n]].name, use=USES[self.use[n]])


_NONE = fixed(np.zeros(0, dtype=np.int32))
NOWHERE = Spots(place=_NONE, cell=fixed(np.zeros((0, 3), dtype=np.int32)), form=_NONE, use=_NONE)
CENTRES = fixed(centres(shapes()))


def centre(cell: tuple[int, int, int], form: str) -> tuple[int, int, int]:
    """The middle of what a form fills of a cell, in eighths."""
    dx, dy, dz = CENTRES[NUMBER[form]].tolist()
    x, y, z = cell
    return (EIGHTHS * x + dx, EIGHTHS * y + dy, EIGHTHS * z + dz)


_SHAPES = shapes()
_UNDER: Bool = fixed(np.asarray(_SHAPES[:, 1:3, 1:3, 0].all(axis=(1, 2))))
"""bool [F]: whether the middle of a form's underside gives hold."""
_ASIDE: Ints = fixed(np.array([STEP[side] for side in SIDES], dtype=np.int32).T[:, :, None])
"""int [2, 4, 1]: from a cell to the next on each side."""
_ENDS = (_SHAPES[:, 0], _SHAPES[:, :, 0], _SHAPES[:, 3], _SHAPES[:, :, 3])
_FACE: Bool = fixed(np.stack([end[:, 1:3, 1:3].sum(axis=(1, 2)) >= 2 for end in _ENDS]))
"""bool [4, F]: whether a form gives hold in the middle of its face to one who looks to each of SIDES."""
_RAILS, _RAIL_LAMPS, _BRACKETS = (
    fixed(np.array([NUMBER[f"{name} {side}"] for side in sides], dtype=np.int32))
    for name, sides in (
        ("rail", [opposite(side) for side in SIDES]),
        ("rail lamp", [opposite(side) for side in SIDES]),
        ("bracket lamp", SIDES),
    )
)
"""By the side to which one looks."""


class Built(Struct, frozen=True, kw_only=True, eq=False):
    """The cells that stand before any lamp is set.

    form: [X, Y, Z].  dark: those that stop light.  clear: uses of what does not.
    posts: bool [X, Y], where any stand.  burning: the cell, the middle in eighths and the lumens of all
    that gives light: [S, 7].
    """

    form: Forms
    dark: Dark
    clear: frozenset[str]
    posts: Bool
    burning: Ints

    @classmethod
    def of(cls, laid: Laid, palette: Palette, tradition: Tradition) -> Built:
        roles = {role: n for n, (role, _) in enumerate(palette.roles)}
        clear = [material.clear for _, material in palette.roles]
        lumens = np.array([material.lumens for _, material in palette.roles], dtype=np.int32)
        size, look, part, cell = laid.size, laid.form, laid.part, laid.cell
        role = np.frombuffer(bytes([roles[part.role] for part in laid.parts]), dtype=np.uint8)
        form, dark = np.zeros((2, *size), dtype=np.uint16)
        form.reshape(-1)[cell] = look[part]
        dark.reshape(-1)[cell] = (look * ~np.array(clear)[role])[part]
        posts = np.zeros(size[:2], dtype=bool)
        posts.reshape(-1)[cell[(role == roles[tradition.role("post")])[part]] // size[2]] = True
        bright = np.flatnonzero(lumens[role][part])
        where = np.stack(np.unravel_index(cell[bright], size), axis=1).astype(np.int32)
        part = part[bright]
        at, power = EIGHTHS * where + CENTRES[look[part]], lumens[role[part], None]
        return cls(
            form=form,
            dark=Dark.of(dark, Solids.of(_SHAPES)),
            clear=frozenset(u for u, m in tradition.made_of(palette).items() if m.clear),
            posts=posts,
            burning=np.concatenate((where, at, power), axis=1),
        )

    def with_lamps(self, lamps: Sequence[Lamp]) -> Built:
        """The same with some more pieces."""
        form, dark = self.form.copy(), self.dark.grid.copy()
        for lamp in lamps:
            x0, y0, z0, x1, y1, z1 = lamp.box
            form[x0:x1, y0:y1, z0:z1] = NUMBER[lamp.side]
            dark[x0:x1, y0:y1, z0:z1] = 0 if lamp.use in self.clear else NUMBER[lamp.side]
        return replace(self, form=form, dark=Dark.of(dark, self.dark.solids))

    def alone(self, lamps: Sequence[Lamp]) -> Dark:
        """What stops light of some pieces, where nothing else stands."""
        form = np.zeros_like(self.form)
        for lamp in lamps:
            if lamp.use not in self.clear:
                x0, y0, z0, x1, y1, z1 = lamp.box
                form[x0:x1, y0:y1, z0:z1] = NUMBER[lamp.side]
        return Dark.of(form, self.dark.solids)


def hung(built: Built, ground: Ground) -> Spots:
    """Under whatever is level and solid over one's head."""
    x, y, floor = ground.at.T
    low = floor + OVERHEAD
    reach = np.arange(max(0, int((ground.ceiling - floor).max(initial=0)) + 1 - OVERHEAD))
    z = np.minimum(low[:, None] + reach, ground.ceiling[:, None])
    column = built.form[x[:, None], y[:, None], np.minimum(z, built.form.shape[2] - 1)]
    first = (column > 0).argmax(axis=1) if reach.size else np.zeros(len(x), dtype=np.intp)
    above = column[np.arange(len(x)), first] if reach.size else first
    return _spots(
        ground, _UNDER[above] & (first > 0), low + first - 1, NUMBER["hanging lamp"], HUNG
    )


def on_rails(built: Built, ground: Ground, posts: Bool | None = None) -> Spots:
    """On the balustrade beside a walk; across it from a post, where posts [X, Y] are given."""
    if not len(ground):
        return NOWHERE
    x, y, z = ground.at.T
    i, j, held = _beside(built, x, y)
    firm = held if posts is None else held & posts[i, j]
    across = np.roll(firm, len(SIDES) // 2, axis=0)
    railed = (built.form[i, j, z] == _RAILS[:, None]) & (built.form[i, j, z + 1] == 0)
    side, which = np.nonzero(held & railed & across)
    return Spots(
        place=ground.place[which],
        cell=np.stack((i[side, which], j[side, which], z[which] + 1), axis=1),
        form=_RAIL_LAMPS[side],
        use=np.full(len(which), OVER_WALK),
    )


def bracketed(
    built: Built, ground: Ground, above: int, use: int, posts: Bool | None = None
) -> Spots:
    """On whatever gives hold beside a cell, or on a post, where posts [X, Y] are given.

    above: how many cells over the floor.
    """
    if not len(ground):
        return NOWHERE
    x, y, z = ground.at.T
    inside = z + above < built.form.shape[2]
    z = np.where(inside, z + above, z)
    i, j, holds = _beside(built, x, y)
    holds &= _FACE[np.arange(len(SIDES))[:, None], built.form[i, j, z]]
    if posts is not None:
        holds &= posts[i, j]
    fits = inside & (built.form[x, y, z] == 0) & holds.any(axis=0)
    return _spots(ground, fits, z, _BRACKETS[holds.argmax(axis=0)], use)


def _beside(built: Built, x: Ints, y: Ints) -> tuple[Ints, Ints, Bool]:
    """The columns on each side of some [N]: x and y, [4, N], and whether these are on the grid."""
    wide, deep, _ = built.form.shape
    i, j = x + _ASIDE[0], y + _ASIDE[1]
    within = (i >= 0) & (i < wide) & (j >= 0) & (j < deep)
    return np.minimum(np.maximum(i, 0), wide - 1), np.minimum(np.maximum(j, 0), deep - 1), within


def _spots(ground: Ground, fits: Bool, z: Ints, form: int | Ints, use: int) -> Spots:
    """Where it fits."""
    which = np.flatnonzero(fits)
    cell = ground.at.take(which, axis=0)
    cell[:, 2] = z[which]
    return Spots(
        place=ground.place[which],
        cell=cell,
        form=np.full(len(which), form) if isinstance(form, int) else form[which],
        use=np.full(len(which), use),
    )
