"""Elements: what stands, apart from how it is made.  Stages hand them over; trades make parts of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import Literal, TypeVar, cast

from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.axes import CROSS, FLANKS, Axis, Side, Turn, cell_at
from genhouse.core.box import Box, Rect

Boundary = Literal["outer", "court", "partition", "open", "party", "garden"]
"""What a wall stands between: outdoors, a court, two rooms, or nothing (one room); a neighbour's
house; the house's own ground and what lies beyond."""

Opening = Literal["none", "screens", "window", "door", "entrance", "passage", "gate"]
"""How a wall is opened: sliding screens to a veranda or room, a window, a hinged door inside,
an entrance from outdoors, a bare passage, a gate."""


class Element(Struct, frozen=True, kw_only=True):
    """What a trade may be given."""


_E = TypeVar("_E", bound=Element)


class Elements(tuple[Element, ...]):
    """Elements that many trades look through: those of a kind are picked out once."""

    def __init__(self, _: Iterable[Element]) -> None:
        self._kinds: dict[type[Element], tuple[Element, ...]] = {}

    def of(self, kind: type[_E]) -> tuple[_E, ...]:
        if kind not in self._kinds:
            self._kinds[kind] = tuple(e for e in self if isinstance(e, kind))
        return cast("tuple[_E, ...]", self._kinds[kind])


def of(kind: type[_E], elements: Iterable[Element]) -> Iterator[_E]:
    """Those of one kind, as they come."""
    if isinstance(elements, Elements):
        return iter(elements.of(kind))
    return (e for e in elements if isinstance(e, kind))


class Wall(Element, frozen=True, kw_only=True, gc=False):
    """One bay's length of a wall line, clear between two supports.

    cells: its ground, as deep as it is thick.  axis: the way it runs.  z0, z1: its layers, its foot
    and its head among them.  low, high: room ids on the side of smaller and larger coordinate.
    floor: z of the lowest free layer beside it.  lintel: z of what first crosses it above that.
    way: the cells that are opened, from ``floor`` up to ``top``.
    leaves: of a row of screens, how many stand in each cell of the way, none to two.
    look, clad, band: what its opening wears, what it is clad with, and what runs over its lower beam, by
    names of the tradition's own; "" leaves it to the trade.  face: the side from which that is seen.
    lofty: whether nothing but the roof is over it.  rises: whether it is closed up to the roof.
    abuts: whether the roof of a lower wing leans on it.  bears: whether floors and roofs may rest on it.
    """

    level: int
    axis: Axis
    cells: Rect
    z0: int
    z1: int
    floor: int
    lintel: int
    boundary: Boundary
    low: int
    high: int
    opening: Opening = "none"
    way: Rect | None = None
    leaves: tuple[int, ...] = ()
    look: str = ""
    clad: str = ""
    band: str = ""
    face: Side | None = None
    lofty: bool = False
    rises: bool = False
    abuts: bool = False
    bears: bool = False

    @property
    def lie(self) -> Rect:
        """Its ground as it runs: along, across."""
        return self.cells.lie(self.axis)

    @property
    def length(self) -> int:
        return self.lie.width

    @property
    def thick(self) -> int:
        return self.lie.depth

    @property
    def inner(self) -> bool:
        """Whether it parts rooms of one house, or nothing."""
        return self.boundary in ("partition", "open")

    @property
    def exposed(self) -> bool:
        """Whether it stands to outdoors or to a court."""
        return self.boundary in ("outer", "court")

    @property
    def shell(self) -> bool:
        """Whether it bounds the house: to outdoors, to a court or to a neighbour."""
        return self.exposed or self.boundary == "party"

    @property
    def ends(self) -> tuple[tuple[int, int], ...]:
        """The cells of the supports that it stands between, as deep as it is thick."""
        a0, b0, a1, b1 = self.lie
        return tuple(cell_at(self.axis, a, b) for a in (a0 - 1, a1) for b in range(b0, b1))

    def beside(self, cell: tuple[int, int]) -> tuple[tuple[int, int], tuple[int, int]]:
        """The cells before and behind the wall at one of its cells."""
        (x, y), (x0, y0, x1, y1) = cell, self.cells
        return ((x, y0 - 1), (x, y1)) if self.axis == "x" else ((x0 - 1, y), (x1, y))

    @property
    def top(self) -> int:
        """z of what ends its ways: right under the roof bare ways and screens go through its head."""
        through = self.lofty and self.opening in ("screens", "passage")
        return self.z1 if through else self.lintel

    @property
    def outward(self) -> Side:
        """The side to which an outer wall looks: where no room is."""
        return FLANKS[self.axis][self.low != 0]

    @property
    def passable(self) -> bool:
        """Whether a person can go through."""
        through = ("screens", "door", "entrance", "passage", "gate")
        return self.boundary == "open" or self.opening in through

    def turned(self, turn: Turn) -> Wall:
        across, along = _reversed(turn, self.axis), _reversed(turn, CROSS[self.axis])
        return replace(
            self,
            axis=turn.axis(self.axis),
            cells=turn.rect(self.cells),
            low=self.high if across else self.low,
            high=self.low if across else self.high,
            way=turn.rect(self.way) if self.way else None,
            leaves=self.leaves[::-1] if along else self.leaves,
            face=turn.side(self.face) if self.face else None,
        )


def rows_of(walls: Iterable[Wall]) -> Iterator[list[Wall]]:
    """Walls of one plane, storey over storey: each row in order along it, broken where no wall goes on."""
    row: list[Wall] = []
    next_one = 0, 0
    for wall in sorted(walls, key=lambda wall: (wall.level, wall.lie)):
        lie = wall.lie
        if row and (wall.level, lie.x0) != next_one:
            yield row
            row = []
        row.append(wall)
        next_one = wall.level, lie.x1 + 1
    if row:
        yield row


@lru_cache(maxsize=16)
def _reversed(turn: Turn, axis: Axis) -> bool:
    """Whether a turn reverses the way across what runs along an axis."""
    near, far = Rect(0, 0, 1, 1), Rect(1, 0, 2, 1).lie(CROSS[axis])
    a, b = turn.rect(near), turn.rect(far)
    return b.x0 + b.y0 < a.x0 + a.y0


class Member(Element, frozen=True, kw_only=True, gc=False):
    """A box that serves one use.

    use: what for, one of the words that its trade knows.  side: the axis along which it runs, the side
    or the corner that it faces or lies at; "" where that makes no difference.
    """

    use: str
    box: Box
    side: str = ""


class Support(Member, frozen=True, kw_only=True, gc=False):
    """Stands, and carries what lies on it."""


class Beam(Member, frozen=True, kw_only=True, gc=False):
    """Lies from bearing to bearing, or juts out from one."""


class Panel(Member, frozen=True, kw_only=True, gc=False):
    """Stands in a frame and fills it."""


class Slab(Member, frozen=True, kw_only=True, gc=False):
    """Lies on what is below it and is walked on.  word: a drawn one, for a trade that lays patterns."""

    word: int = 0


class Edge(Member, frozen=True, kw_only=True, gc=False):
    """Guards a drop."""


class Course(Member, frozen=True, kw_only=True, gc=False):
    """Covers: so many pieces of one form side by side, the name of which is its ``side``."""


class Jut(Member, frozen=True, kw_only=True, gc=False):
    """Stands out before the opening of a wall."""


class Plant(Member, frozen=True, kw_only=True, gc=False):
    """Makes a garden: what grows, water, stones, a well.  side: the form that fills each of its cells."""


class Lamp(Member, frozen=True, kw_only=True, gc=False):
    """Gives light, or carries what does.  side: its form."""


class Placed(Element, frozen=True, kw_only=True):
    """A fitting in its place.

    cells: the ground it covers.  floor: z of its lowest cell.  use: cells from which it is used,
    empty where nobody uses it.
    """

    name: str
    room: int
    cells: Rect
    floor: int
    facing: Side
    use: tuple[tuple[int, int], ...] = ()

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


class Fitted(Placed, frozen=True, kw_only=True):
    """A fitting in its place, with its hand and its colours.

    mirror: left and right changed over.  tints: which of each of its choices of colour.
    """

    mirror: bool = False
    tints: tuple[int, ...] = ()
