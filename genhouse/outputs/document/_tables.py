"""The tables of the design document, as frozen values; the JSON Schema is made from them."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Struct

from genhouse.core.axes import Side
from genhouse.model.brief import Brief
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.marks import HOUSE_FORMAT
from genhouse.outputs.setting_out import Heights

FORMAT = HOUSE_FORMAT
VERSION = 1

Seed = Annotated[
    int,
    msgspec.Meta(ge=0, description="a 64-bit seed", extra_json_schema={"maximum": (1 << 64) - 1}),
]
RectRow = Annotated[
    tuple[int, int, int, int], msgspec.Meta(description="x0, y0, x1, y1, half-open")
]
BoxRow = Annotated[
    tuple[int, int, int, int, int, int],
    msgspec.Meta(description="x0, y0, z0, x1, y1, z1, half-open"),
]
Sha256 = Annotated[str, msgspec.Meta(pattern="^[0-9a-f]{64}$")]


class RecipeRecord(Struct, frozen=True, kw_only=True):
    """All that the house depends on.  palette: the one that was drawn or asked for."""

    seed: Seed
    brief: Brief
    tradition: str
    palette: str
    stage_seeds: dict[str, Seed]


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


class RoomRecord(Struct, frozen=True, kw_only=True):
    """A room.  area: clear floor in cells.  ceiling: null where the room is open to the roof."""

    id: int
    kind: str
    level: int
    area: int
    rects: tuple[RectRow, ...]
    sunken: tuple[RectRow, ...]
    floor: int
    ceiling: int | None
    indoor: bool
    walkable: bool


class WayRecord(Struct, frozen=True, kw_only=True):
    """One way between two rooms (0: outside).  cells: what is kept clear for walking, if a wall."""

    low: int
    high: int
    kind: Literal["screens", "door", "entrance", "passage", "gate", "stair", "step"]
    segment: int | None = None
    cells: RectRow | None = None


class GraphRecord(Struct, frozen=True, kw_only=True):
    """nodes: room ids, 0 for outside.  edges: the ways between them."""

    nodes: tuple[int, ...]
    edges: tuple[WayRecord, ...]


class PartRecord(Struct, frozen=True, kw_only=True):
    """A box of equal pieces."""

    stage: str
    role: str
    form: str
    box: BoxRow


class PlacedRecord(Struct, frozen=True, kw_only=True):
    """A fitting.  use: the cells from which it is used."""

    name: str
    room: int
    cells: RectRow
    floor: int
    facing: Side
    use: tuple[tuple[int, int], ...]


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
    material for each, then a byte of form for each; for the whole also a byte of stage for each.
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
    """The design document of one house.  wings: with their walls; courts: without."""

    format: Literal["genhouse-house"]
    version: int
    recipe: RecipeRecord
    plot: tuple[int, int]
    height: int
    gate: tuple[int, int, int]
    gate_side: Side
    wings: tuple[RectRow, ...]
    courts: tuple[RectRow, ...]
    bays: Bays
    heights: Heights
    rooms: tuple[RoomRecord, ...]
    graph: GraphRecord
    parts: tuple[PartRecord, ...]
    placed: tuple[PlacedRecord, ...]
    metrics: Figures
    checks: tuple[Finding, ...]
    digests: Digests
    files: tuple[FileRecord, ...] = ()
