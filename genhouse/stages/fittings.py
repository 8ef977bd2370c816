"""Fittings: what makes a room a bedroom or a kitchen, placed so that all of it can be reached and used.

What a room gets is drawn from its kind: the telling ones first, then what may join them until it is
neither bare nor crammed.  Where they stand is searched, see ``_furnishing`` and ``_worth``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from genhouse.core.axes import STEP, Turn
from genhouse.core.box import Box, Rect
from genhouse.core.draw import WORD, Draw
from genhouse.core.forms import turned
from genhouse.model.design import Placed
from genhouse.model.part import Part
from genhouse.model.room import Room
from genhouse.stages._floorplan import Floor
from genhouse.stages._furnishing import Arrangement, Wish, options
from genhouse.stages._stances import FACING, Stance
from genhouse.stages._worth import Stood, alone
from genhouse.stages.rooms import Hearth, Rooms
from genhouse.traditions.loader import Fitting, Kind, Tradition

FULLEST = 56
"""Part of a room's floor, in hundredths, that fittings cover at most (the first may cover more)."""
ENOUGH = (34, 48)
"""Part from which on nothing more is added: each room draws its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted(Placed):
    """A fitting in its place, with its hand and its colours.

    mirror: left and right changed over.  tints: roles, each with the role that stands for it.
    """

    mirror: bool = False
    tints: tuple[tuple[str, str], ...] = ()

    def turned(self, turn: Turn) -> Placed:
        """Where it stands after its house is turned; its pieces are turned as parts."""
        return Placed(
            name=self.name,
            room=self.room,
            cells=turn.rect(self.cells),
            floor=self.floor,
            facing=turn.side(self.facing),
            use=tuple(turn.cell(x, y, 0)[:2] for x, y in self.use),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Furnished:
    """A room's fittings in their stances.  wishes: where each might stand.  mirrors: its hand.

    fixed: how many of them, from the first, nobody may move.  score: the room's worth.
    """

    floor: Floor
    room: tuple[Stood, ...]
    wishes: tuple[Wish, ...]
    mirrors: tuple[bool, ...]
    fixed: int
    score: int


def plan_fittings(
    rooms: Rooms, floors: Sequence[Floor], tradition: Tradition, draw: Draw
) -> tuple[Fitted, ...]:
    """Furnish every indoor room."""
    by_id = {room.id: room for room in rooms.rooms}
    placed: list[Fitted] = []
    for floor in floors:
        room, here = by_id[floor.room], draw.at(floor.room)
        furnished = furnish(room, floor, rooms.hearth, tradition, here)
        placed += _fitted(furnished, room, here)
    return tuple(placed)


def furnish(
    room: Room, floor: Floor, hearth: Hearth, tradition: Tradition, draw: Draw
) -> Furnished:
    """Choose what a room holds and search where it stands."""
    word = draw.word("furnish")
    here = Arrangement(floor)
    fittings = dict(tradition.fittings)
    mirrors = [False] * _stove(here, hearth, fittings)
    here.fixed = len(mirrors)
    mirrors += _chosen(here, tradition.kind(room.kind), fittings, word)
    here.improve(lambda most, n: mixed(word, 1000 + n) % most)
    return Furnished(
        floor=floor,
        room=here.room,
        wishes=tuple(here.wishes),
        mirrors=tuple(mirrors),
        fixed=here.fixed,
        score=here.score,
    )


def _chosen(
    here: Arrangement, kind: Kind, fittings: dict[str, Fitting], word: int
) -> Iterator[bool]:
    """Add the telling fittings, then others until the floor is full enough; the hand of each."""
    whole = here.floor.free.bit_count()
    enough = ENOUGH[0] + word % (ENOUGH[1] - ENOUGH[0])
    for n, name in enumerate(_names(kind, word)):
        covered = 100 * here.covered
        if n >= len(kind.fittings) and covered >= enough * whole:
            break
        spare = FULLEST * whole - covered if here.wishes else 100 * whole
        hand = mixed(word, n)
        if any(here.add(wish) for wish in _wishes(name, spare, fittings, here.floor, hand)):
            yield bool(hand & 1)


def _names(kind: Kind, word: int) -> list[str]:
    """What a room of this kind would like, the telling ones first."""
    order = sorted(range(len(kind.extras)), key=lambda n: mixed(word, 100 + n))
    return [*kind.fittings, *(kind.extras[n] for n in order)]


def _wishes(
    name: str, spare: int, fittings: dict[str, Fitting], floor: Floor, hand: int
) -> Iterator[Wish]:
    """A fitting, then what may stand for it where it does not fit.

    spare: hundredths of cells it may cover.  hand: a drawn number; odd, left and right change over.
    """
    while name:
        fitting = fittings[name]
        if fitting.against != "flue" and _feet(fitting) <= spare:
            choices = options(fitting, floor, mirror=bool(hand & 1), mix=hand >> 8)
            yield Wish(name, fitting, choices)
        name = fitting.smaller


def mixed(word: int, n: int) -> int:
    """The n-th number of a drawn word: SplitMix64 (Steele, Lea and Flood, OOPSLA 2014)."""
    z = word + (n + 1) * 0x9E3779B97F4A7C15 & WORD
    z = (z ^ z >> 30) * 0xBF58476D1CE4E5B9 & WORD
    z = (z ^ z >> 27) * 0x94D049BB133111EB & WORD
    return z ^ z >> 31


def _feet(fitting: Fitting) -> int:
    """Hundred times the cells it stands on."""
    return 100 * sum(z == 0 for _, _, z, _, _ in fitting.pieces)


def _stove(here: Arrangement, hearth: Hearth, fittings: dict[str, Fitting]) -> int:
    """Set what stands at the flue, in the room that has it; how many that is."""
    floor = here.floor
    name = next((n for n, f in fittings.items() if f.against == "flue"), None)
    if hearth.room != floor.room or name is None:
        return 0
    (x, y), (dx, dy) = hearth.cell, STEP[hearth.facing]
    before = floor.bit(x + dx, y + dy)
    left, low = x - floor.rect.x0, y - floor.rect.y0
    stance = Stance(
        cells=Rect(left, low, left + 1, low + 1),
        facing=FACING.index(hearth.facing),
        solid=floor.bit(x, y),
        tall=0,
        use=before,
        front=before,
        ends=0,
        off=0,
        ahead=0,
    )
    wish = Wish(name, fittings[name], [(alone(fittings[name], stance, floor), stance)])
    return int(here.add(wish))


def _fitted(furnished: Furnished, room: Room, draw: Draw) -> Iterator[Fitted]:
    floor, r = furnished.floor, furnished.floor.rect
    for stood, mirror in zip(furnished.room, furnished.mirrors, strict=True):
        x0, y0, x1, y1 = stood.stance.cells
        yield Fitted(
            name=stood.name,
            room=room.id,
            cells=Rect(x0 + r.x0, y0 + r.y0, x1 + r.x0, y1 + r.y0),
            floor=room.floor,
            facing=FACING[stood.stance.facing],
            use=tuple(floor.cells(stood.stance.use)),
            mirror=mirror,
            tints=tuple(
                (roles[0], draw.choice(roles, f"tint {roles[0]}")) for roles in stood.fitting.tints
            ),
        )


def cautions(placed: Sequence[Fitted], tradition: Tradition) -> tuple[tuple[str, str], ...]:
    """The fittings in place that need care, each with its caution, in the tradition's order."""
    names = {p.name for p in placed}
    return tuple((n, f.caution) for n, f in tradition.fittings if f.caution and n in names)


def fittings_parts(placed: Sequence[Fitted], tradition: Tradition) -> tuple[Part, ...]:
    fittings = dict(tradition.fittings)
    return tuple(part for p in placed for part in _pieces(p, fittings[p.name]))


def _pieces(p: Fitted, fitting: Fitting) -> Iterator[Part]:
    turn = Turn(*fitting.size, FACING.index(p.facing), p.mirror)
    tints = dict(p.tints)
    for px, py, pz, role, form in fitting.pieces:
        x, y, _ = turn.cell(px, py, 0)
        box = Box.cell(p.cells.x0 + x, p.cells.y0 + y, p.floor + pz)
        yield Part("fittings", tints.get(role, role), turned(form, turn), box)
