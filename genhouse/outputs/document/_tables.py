"""The tables of the design document, as frozen values; the JSON Schema is made from them."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Struct

from genhouse.core.axes import Side
from genhouse.core.box import Rect
from genhouse.model.brief import Brief
from genhouse.model.elements import Placed, Wall
from genhouse.model.palette import Material
from genhouse.model.part import Part
from genhouse.model.roof import Cover, RoofForm
from genhouse.model.room import Stair
from genhouse.model.yard import Yard
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.marks import HOUSE_FORMAT
from genhouse.outputs.setting_out import Heights

FORMAT = HOUSE_FORMAT
VERSION = 6
"""5 has yards; 4 says what each role is in plans; 3 has any number of stairs; 2 keeps all that a house is,
so that it is read and not designed anew; 1 kept the recipe for that."""

Seed = Annotated[
    int,
    msgspec.Meta(ge=0, description="a 64-bit seed", extra_json_schema={"maximum": (1 << 64) - 1}),
]
FRACTION = "-?[0-9]{1,9}(/[1-9][0-9]{0,8})?"
"""A fraction as text."""
Sha256 = Annotated[str, msgspec.Meta(pattern="^[0-9a-f]{64}$")]


class RecipeRecord(Struct, frozen=True, kw_only=True):
    """All that the house depends on.  palette: the one that was drawn or asked for.  tables: of a tradition
    that no program ships, as JSON in their own order, so that its houses are read and made again without
    its folder."""

    seed: Seed
    brief: Brief
    tradition: str
    palette: str
    stage_seeds: dict[str, Seed]
    tables: str | msgspec.UnsetType = msgspec.UNSET


class RoofRecord(Struct, frozen=True, kw_only=True):
    """forms: wing, and the form of its roof.  profile: of its slopes.  swept: whether the corners of
    the eaves are lifted.  dormers: how many.  terraces: the wings on whose flat roof one walks.
    """

    forms: tuple[tuple[str, RoofForm], ...]
    profile: str
    swept: bool
    dormers: int
    terraces: tuple[str, ...]


class DrawnRecord(Struct, frozen=True, kw_only=True):
    """What the house came to wherever a brief may leave the choice to the seed, in a brief's words.

    closed: sides of the first court on which wings stand.  arrangement: of the wings, by name.
    low: wings lower than the highest.  gallery: sides along which galleries run.  gardens: of each
    court, from the gate on.
    """

    plot: tuple[int, int]
    outline: tuple[tuple[int, int], ...] = ()
    gate: Side
    mirror: bool
    palette: str
    closed: int
    courts: int
    arrangement: str
    storeys: int
    low: tuple[str, ...]
    gallery: int
    service: bool
    gardens: tuple[str, ...]
    roof: RoofRecord


class TurnRecord(Struct, frozen=True, kw_only=True):
    """How the house was turned from the frame it was thought out in, whose gate side is the south: a
    mirror from east to west (first, if any), then quarter turns counter-clockwise.
    """

    quarters: Annotated[int, msgspec.Meta(ge=0, le=3)]
    mirror: bool


class SideRecord(Struct, frozen=True, kw_only=True):
    """Clear lengths along one side, from west to east or south to north.

    gaps: between posts.  walls: between the walls round the house and its courts.
    """

    gaps: tuple[int, ...]
    walls: tuple[int, ...]


class Bays(Struct, frozen=True, kw_only=True):
    """The setting-out as a builder counts it."""

    east: SideRecord
    north: SideRecord
    west: SideRecord
    south: SideRecord


class RoomRecord(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A room.  area: clear floor in cells.  sunken: floor that lies a layer lower.  floor: layer of its
    lowest free cell.  ceiling: the first layer above it; where to_roof, it ends under the roof before.
    open: it stands open to a court, without leaves.
    """

    id: int
    kind: str
    level: int
    area: int
    rects: tuple[Rect, ...]
    sunken: tuple[Rect, ...]
    floor: int
    ceiling: int
    to_roof: bool
    indoor: bool
    walkable: bool
    open: bool = False


class WayRecord(Struct, frozen=True, kw_only=True):
    """One way between two rooms (0: outside).  cells: what is kept clear for walking, if a wall."""

    low: int
    high: int
    kind: Literal["screens", "door", "entrance", "passage", "gate", "stair", "step"]
    segment: int | None = None
    cells: Rect | None = None


class GraphRecord(Struct, frozen=True, kw_only=True):
    """nodes: room ids, 0 for outside.  edges: the ways between them."""

    nodes: tuple[int, ...]
    edges: tuple[WayRecord, ...]


class PaletteRecord(Struct, frozen=True, kw_only=True):
    """materials: sorted by name, numbered from 1 in the arrays.  roles: material by role of a part.

    duties: what roles do for the house, each with those that do it.
    """

    name: str
    materials: tuple[Material, ...]
    roles: dict[str, str]
    duties: dict[str, tuple[str, ...]] = {}


class Finding(Struct, frozen=True, kw_only=True):
    """What one check found.  kept: whether its rule holds.  where: the first few faulty cells.

    count: how many faulty cells there are.  sentence: what is wrong, or what was looked at.
    """

    check: str
    kept: bool
    sentence: str = ""
    where: tuple[tuple[int, int, int], ...] = ()
    count: int = 0


class Digests(Struct, frozen=True, kw_only=True):
    """SHA-256 of the cells that each stage set, and of all.

    Cells in order of x, then y, then z: three 16-bit little-endian numbers for each, then a byte of
    material for each, then a 16-bit number of form for each; for the whole also a byte of stage for each.
    """

    stages: dict[str, Sha256]
    whole: Sha256


class FileRecord(Struct, frozen=True, kw_only=True):
    """A file that was written with the document, or added to it since.

    sha256: of its contents; of the document itself, of all that comes before the list of files.
    """

    name: str
    sha256: Sha256


class HouseDocument(Struct, frozen=True, kw_only=True):
    """The design document of one house: with the cells in house.npz, all that it is.

    outline: corners of the plot, counter-clockwise; none where it is a rectangle.
    gate: x, y and floor in quarter cells.  wings: with their walls; courts: without.  segments: of
    walls, a bay's length each.  covers: the roofs of the wings.  parts: boxes of equal pieces, in
    building order.  placed: fittings, with the cells from which they are used.  yards: the open ground that
    no court has.  cautions: fitting, and what a builder must heed.  fewest_lamps: room, and lamps below
    which no placing goes.  lit: room, and the millilux that its lamps bring to its floor on the mean.
    edited: building stages whose cells are not what the parts set, ``rooms`` and ``tables``, where they
    were changed by hand before the house was saved.
    """

    format: Literal["genhouse-house"]
    version: int
    recipe: RecipeRecord
    drawn: DrawnRecord
    plot: tuple[int, int]
    outline: tuple[tuple[int, int], ...] = ()
    height: int
    gate: tuple[int, int, int]
    gate_side: Side
    turn: TurnRecord
    wings: tuple[Rect, ...]
    courts: tuple[Rect, ...]
    bays: Bays
    heights: Heights
    rooms: tuple[RoomRecord, ...]
    segments: tuple[Wall, ...]
    stairs: tuple[Stair, ...]
    graph: GraphRecord
    covers: tuple[Cover, ...]
    palette: PaletteRecord
    parts: tuple[Part, ...]
    placed: tuple[Placed, ...]
    yards: tuple[Yard, ...]
    cautions: tuple[tuple[str, str], ...]
    fewest_lamps: tuple[tuple[int, int], ...]
    lit: tuple[tuple[int, int], ...]
    metrics: Figures
    checks: tuple[Finding, ...]
    edited: tuple[str, ...]
    digests: Digests
    files: tuple[FileRecord, ...] = ()
