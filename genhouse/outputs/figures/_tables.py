"""The figures of a house as frozen values; the document holds them as they are."""

from __future__ import annotations

from msgspec import Struct


class RoomFigures(Struct, frozen=True, kw_only=True):
    """One room in the room graph, to which the outside belongs.

    depth: rooms from outside, 1 at the gate.  asymmetry, real_asymmetry: RA and RRA.  integration:
    1 / RRA, null where it is infinite.  control: what its neighbours share with it.  glazing: cells
    that let light through its outer and court walls.  walk: cells walked from the gate, null where
    whole cells do not lead there.
    """

    id: int
    kind: str
    level: int
    area: int
    depth: int
    asymmetry: float
    real_asymmetry: float
    integration: float | None
    control: float
    glazing: float
    walk: int | None


class LivedFigures(Struct, frozen=True, kw_only=True):
    """What someone who is to live in a house asks first; each is best where it is least.

    strung: rooms to which one comes only through a private one.  corridors: private rooms that lie on
    the only way to another.  landing: where a stair comes up in a private room.  hall, hall_court:
    the stair hall's floor to that of the reception and of the largest court.  over: rooms beyond the
    number or the largest area that the tradition gives their kind.  dim: rooms with little glazing.
    """

    strung: int
    corridors: int
    landing: int
    hall: float
    hall_court: float
    over: int
    dim: int


class FittedFigures(Struct, frozen=True, kw_only=True):
    """How a house is furnished; the first three are best where they are least.

    hidden: windows before which a tall fitting stands.  fires_above: fires and firewood on the upper
    storey.  alike: workrooms that hold just what another holds.  task_lit: rooms whose lamps bring
    what is done there its light.  seats_out: places to sit beside a veranda.
    """

    hidden: int
    fires_above: int
    alike: int
    task_lit: int
    seats_out: int


class FrontFigures(Struct, frozen=True, kw_only=True):
    """How the outer fronts are composed, storey by storey.

    symmetry: the part of bays that look like their pair across the middle.  lonely: windows that
    look like no other of their row.  level: the part of windows whose sill is that of most in their
    row.  blank: the part of bays without a window or a door.  motifs: unlike bays.
    """

    symmetry: float
    lonely: int
    level: float
    blank: float
    motifs: int


class CourtFigures(Struct, frozen=True, kw_only=True):
    """Clear width and depth, and the height above the garden of the highest wall plate round it.

    sky: the part of an even sky's light on open ground that reaches the middle of its floor.
    """

    width: int
    depth: int
    height: int
    width_to_height: float
    sky: float


class YardFigures(Struct, frozen=True, kw_only=True):
    """The open ground that no court has.  cells: what of it is put to use.  uses: the same by use.  gates:
    that lead into it from outside.  verandas: cells of the walks that look on it.
    """

    cells: int
    uses: dict[str, int]
    gates: int
    verandas: int


class RoofFigures(Struct, frozen=True, kw_only=True):
    """Straight lines of the roof and their lengths on the plan, in cells.

    unrest: 4 for each ridge shorter than three cells, 2 for each height of ridge but the first, 1 for
    each three cells of upright face; the lower the calmer.
    """

    ridges: int
    ridge_length: int
    hips: int
    valleys: int
    valley_length: int
    unrest: int


class Drained(Struct, frozen=True, kw_only=True):
    """Where rain on the roof goes.  pits: columns from which it cannot run off.

    catchment: cells of plan that drain over the eaves of each side, and into each court.
    """

    pits: int
    catchment: dict[str, int]


class LoadFigures(Struct, frozen=True, kw_only=True):
    """How the roof is carried.  longest_span: of a beam, clear between two bearings, in cells.

    pieces: of the roof; carried: those from which a way leads to the ground.  steps: parts that the
    longest of the shortest ways passes through.
    """

    beams: int
    posts: int
    longest_span: int
    pieces: int
    carried: int
    steps: int


class StageFigures(Struct, frozen=True, kw_only=True):
    """cells: how many the stage sets.  pieces: how many of each piece."""

    cells: int
    pieces: dict[str, int]


class ShellFigures(Struct, frozen=True, kw_only=True):
    """What a house's shell tells, before anything stands in it: as in the figures of the finished
    house, but for the rooms' walks, which furniture decides; they are null here.
    """

    floor: int
    openings: int
    openings_to_floor: float
    areas: dict[str, int]
    privacy: float
    depth: float
    integration: float
    difference: float
    rooms: tuple[RoomFigures, ...]
    courts: tuple[CourtFigures, ...]
    roof: RoofFigures
    fronts: FrontFigures
    lived: LivedFigures
    notes: tuple[str, ...]

    @property
    def court_light(self) -> float:
        return self._over_courts("sky")

    @property
    def court_width(self) -> float:
        return self._over_courts("width_to_height")

    def _over_courts(self, name: str) -> float:
        """The mean of a figure of courts, by the ground that each covers."""
        ground = [c.width * c.depth for c in self.courts]
        whole = sum(g * getattr(c, name) for g, c in zip(ground, self.courts, strict=True))
        return float(whole / max(1, sum(ground)))


class Figures(ShellFigures, frozen=True, kw_only=True):
    """What a finished house tells.  solid: pieces in all.  floor, openings: clear indoor floor, and
    windows, lattice and screens in its outer walls and court walls, in cells.  areas: clear floor by
    kind of room.

    depth, integration, walk: means over the indoor rooms.  difference: H* of the asymmetries.
    privacy: how well depth follows what the tradition wants of each kind, -1 to 1.  notes: what
    someone would remark who is to live there, a sentence each.  seats: places to eat at in the rooms
    for eating.  sleepers: how many sleep in all the beds.
    """

    solid: int
    walk: float
    water: Drained
    loads: LoadFigures
    yards: YardFigures
    seats: int
    sleepers: int
    fitted: FittedFigures
    stages: dict[str, StageFigures]
    materials: dict[str, int]

    @property
    def seated(self) -> float:
        """Seats for each who sleeps here."""
        return self.seats / max(1, self.sleepers)
