"""What a client asks for, and the recipe that a house is made from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from genhouse.core.axes import SIDES, Side
from genhouse.core.region import Region, bounded, rectangle
from genhouse.model.roof import RoofForm, WingName

STAGE_NAMES = (
    "site",
    "bays",
    "rooms",
    "mats",
    "screens",
    "roof",
    "court",
    "fittings",
    "lamps",
)
"""The stages that draw, in order; each can be given a seed of its own."""

SETTLED = dict.fromkeys(("frame", "walls", "floors", "stair"), "rooms")
"""Building stages that draw nothing: what they set follows from the rooms, and so from this stage."""

PARTY = "party"
"""What a side is that is shared with a neighbour."""
LAMPLIGHT = 10
"""Lux; the least that JIS Z 9110:1979 names for a bedroom's general light (10 to 30), read second-hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """One line of a client's programme; all of it is asked for, not hoped for.

    kind: of room; a kind may stand on several lines (two below, one above), and each of its rooms
    answers one of them.  count: how many; 0 for none of that kind.  area: least and most clear cells
    of each.  storey: 1 below, 2 and 3 above; where the kind belongs if left out.  beside: kinds that each
    share a wall with it.  beside_any: kinds of which one does.  away: kinds that must not.  court:
    whether it opens to a court, below by screens, above by a window or onto a gallery.  quiet: it
    lies far from the gate (True) or near it (False), as far as the rest allows.

    >>> Wish(kind="study", area=(9, 20), beside=("library",)).count
    1
    """

    kind: str
    count: int = 1
    area: tuple[int, int] | None = None
    storey: int | None = None
    beside: tuple[str, ...] = ()
    beside_any: tuple[str, ...] = ()
    away: tuple[str, ...] = ()
    court: bool | None = None
    quiet: bool | None = None

    @property
    def neighbours(self) -> tuple[tuple[str, ...], ...]:
        """Groups of kinds; it shares a wall with one of each."""
        either = (self.beside_any,) if self.beside_any else ()
        return (*((kind,) for kind in self.beside), *either)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoofWish:
    """What a client asks of the roof.

    form: of every wing not named on its own; inward is a lean-to round the whole court, with cross
    wings gabled; two-tier is one wing, the others hipped.  front, cross, rear, left, right: the form
    of one wing, which is then there.  profile: one of the tradition's, for every slope but a lean-to's.
    swept: whether the corners of the eaves are lifted.  dormers: how many.

    >>> RoofWish(form="hip", front="two-tier").tiered
    True
    """

    form: RoofForm | Literal["inward"] | None = None
    front: RoofForm | None = None
    cross: RoofForm | None = None
    rear: RoofForm | None = None
    left: RoofForm | None = None
    right: RoofForm | None = None
    profile: str | None = None
    swept: bool | None = None
    dormers: int | None = None

    @property
    def tiered(self) -> bool:
        """Whether a raised tier is asked for: some wing has to be wide enough for one."""
        return "two-tier" in (self.form, self.front, self.rear)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """What lies beyond the edges of the plot, by side; a public way or open ground where nothing is said.

    party: a neighbour, whose wall may stand against this house's.

    >>> Sides(west="party").party
    ('west',)
    """

    east: Literal["party"] | None = None
    north: Literal["party"] | None = None
    west: Literal["party"] | None = None
    south: Literal["party"] | None = None

    @property
    def party(self) -> tuple[Side, ...]:
        """The sides that are shared with a neighbour."""
        return tuple(side for side in SIDES if getattr(self, side) == "party")


CELL = 100
"""Hundredths of a cell, in which the levels of sloping ground are told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """How high the ground lies at the corners of the plot, in cells over its lowest; level where nothing is
    said.

    levels: the same in hundredths of a cell, at points spread evenly over the plot, row by row from the
    south-west, in place of corners; between them it runs straight.

    >>> Ground(northwest=2, northeast=1).rise, Ground(levels=((30, 0), (0, 160))).rise
    (2, 2)
    """

    southwest: int = 0
    southeast: int = 0
    northwest: int = 0
    northeast: int = 0
    levels: tuple[tuple[int, ...], ...] | None = None

    @property
    def corners(self) -> tuple[int, int, int, int]:
        """Row by row from the south-west, as cells are told."""
        return self.southwest, self.southeast, self.northwest, self.northeast

    @property
    def rows(self) -> tuple[tuple[int, ...], ...]:
        """Hundredths of a cell over its lowest, row by row from the south-west."""
        ends = [CELL * corner for corner in self.corners]
        given = self.levels or (tuple(ends[:2]), tuple(ends[2:]))
        low = min(map(min, given))
        return tuple(tuple(level - low for level in row) for row in given)

    @property
    def rise(self) -> int:
        """From its lowest to its highest, in cells, begun ones whole; none where that is less than half."""
        high = max(map(max, self.rows))
        return -(-high // CELL) if 2 * high >= CELL else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """Everything is optional; what is left out is drawn from the seed.

    plot: width (east-west) and depth (north-south) in cells; or plot_least and plot_most, between
    which the seed chooses.  outline: its corners, each so far east and north of the south-west corner of
    the smallest rectangle round them; or the name of a shape, to be cut from the plot.  gate: the side
    a visitor comes from.  sides: which edges of the plot are shared with a neighbour; none of them has
    the gate.  ground: how high it lies at the corners of the plot, or at more points.  closed: sides of
    the court on which wings stand, 2 to 4.  courts: how many in sequence, 1 to 3.  storeys: 1 to 3.
    arrangement: how the wings stand round the courts and go on past them.
    low: the wings of one storey in a house of two; a flat roof over one is a roof terrace.
    rooms: the programme.
    gallery: whether an upper walk runs above the veranda of a court, or along how many of its sides.
    service: whether the rearmost of two or three courts is for the work of the house.
    garden: the kind of court garden.  palette: a palette of the tradition.
    light: least lux on every walkable indoor floor by lamplight.
    people: how many live there; trade: what they live by.  The programme follows from these: beds and
    places at table for all, the rooms of the trade, and none that so many have no use for; what is
    said of a kind in rooms comes first.

    >>> Brief(plot=(23, 32), rooms=(Wish(kind="study", count=2),)).count_of("study")
    2
    """

    client: str = ""
    plot: tuple[int, int] | None = None
    plot_least: tuple[int, int] | None = None
    plot_most: tuple[int, int] | None = None
    outline: tuple[tuple[int, int], ...] | str | None = None
    closed: int | None = None
    courts: int | None = None
    storeys: int | None = None
    arrangement: str | None = None
    low: tuple[WingName, ...] | None = None
    gallery: bool | int | None = None
    service: bool | None = None
    gate: Side | None = None
    sides: Sides = Sides()
    ground: Ground = Ground()
    mirror: bool = False
    tradition: str = "timber"
    palette: str | None = None
    garden: str | None = None
    roof: RoofWish = RoofWish()
    light: int = LAMPLIGHT
    people: int | None = None
    trade: str | None = None
    rooms: tuple[Wish, ...] = ()

    @property
    def land(self) -> Region | None:
        """The plot, where its size or its corners are given."""
        if isinstance(self.outline, tuple):
            return bounded(self.outline)
        return rectangle(self.plot) if self.plot else None

    def count_of(self, kind: str) -> int | None:
        """How many rooms of a kind the programme asks for; None where it says nothing of it."""
        counts = [wish.count for wish in self.rooms if wish.kind == kind]
        return sum(counts) if counts else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """All that a house depends on: the same recipe, the same bytes.

    stage_seeds: (stage, seed) pairs, sorted; a stage not named there uses the house seed.

    >>> Recipe(seed=7, stage_seeds=(("fittings", 3),)).seed_of("fittings")
    3
    """

    seed: int
    brief: Brief = Brief()
    stage_seeds: tuple[tuple[str, int], ...] = ()

    def seed_of(self, stage: str) -> int:
        return dict(self.stage_seeds).get(stage, self.seed)


def line_name(n: int) -> str:
    """What a client calls a line of the programme, counting from one.

    >>> line_name(0)
    'rooms 1'
    """
    return f"rooms {n + 1}"
