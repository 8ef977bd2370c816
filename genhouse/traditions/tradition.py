"""A way of building as a house is designed from it: what its tables say, and what follows from it."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Literal

from msgspec import Meta, field
from msgspec.structs import replace

from genhouse.core.axes import Side
from genhouse.core.errors import BriefError
from genhouse.model.palette import Duty, Material, Palette
from genhouse.model.storeys import Heights, Storey
from genhouse.traditions.courts import Arcade, Atrium
from genhouse.traditions.looks import LookName, Looks, RoleName, Use
from genhouse.traditions.looks import Piece as Bounding
from genhouse.traditions.plan import Chance, PlanRule
from genhouse.traditions.reading import K, Of, Pairs, Register, Table, V
from genhouse.traditions.roofs import RoofRule
from genhouse.traditions.words import Words
from genhouse.traditions.work import Work

KindName = Annotated[str, Of("kind")]
FittingName = Annotated[str, Of("fitting")]
MaterialName = Annotated[str, Of("material")]
FormName = Annotated[str, Of("form")]
Some = Annotated[Pairs[K, V], Meta(min_length=1)]
"""At least one."""
Natural = Annotated[int, Meta(ge=0)]
Whole = Annotated[int, Meta(ge=1)]
Against = Literal["wall", "corner", "centre", "any", "flue", "veranda"]
Faces = Literal["", "length", "court", "door"]
Tag = Literal[
    "sleep", "eat", "cook", "wash", "store", "work", "worship", "display", "sit", "light", "entry"
]
Piece = tuple[int, int, int, str, str]
FACING: tuple[Side, ...] = ("south", "east", "north", "west")
"""By quarter turns from the way a fitting is drawn."""
Office = Literal["arrival", "hearth", "climbs", "head", "way"]
"""What just one kind of room is there for."""


Rhythm = Literal["lively", "alike", "axial"]
LEAF = 2
"""Cells of what bounds yards, and of the leaf of a gate in it: higher than one could climb."""


class BayRule(Table, frozen=True, kw_only=True):
    """gaps: clear cells between posts.  spans: wall line to wall line, even, so that a ridge is one cell
    wide.  margin: wall to plot edge, where a porch stands.  walk: cells of the veranda round a court
    that is wide enough.  outer: how many, of how many, have one to a garden outside too.

    symmetrical: whether all rows of bays are alike on both sides of their middle, which is the widest, and
    odd in number wherever they can be; then wings on both sides of a court are alike too, and that behind
    it is the deepest of all.
    even: whether rows of bays are so wherever they can be, and nothing else follows from it.
    alike: whether the bays of a row are within a cell of each other.
    parted: whether rooms may take half of a deep wing, lengthwise.
    """

    gaps: Annotated[tuple[Annotated[int, Meta(ge=3, le=9)], ...], Meta(min_length=1)]
    spans: Annotated[
        tuple[Annotated[int, Meta(ge=4, le=14, multiple_of=2)], ...], Meta(min_length=1)
    ]
    margin: Annotated[int, Meta(ge=2, le=9)]
    walk: Annotated[int, Meta(ge=1, le=4)] = 1
    outer: Chance = (0, 1)
    symmetrical: bool = False
    even: bool = False
    alike: bool = False
    parted: bool = True

    @property
    def rhythm(self) -> Rhythm:
        """How rows of bays are cut."""
        if self.symmetrical or self.even:
            return "axial"
        return "alike" if self.alike else "lively"


class Note(Table, frozen=True, kw_only=True):
    """What whoever knows a tradition ought to be told.  simplified: against how such houses are built.

    conjecture: what is not known, and how it is done here.  cited: sources.
    """

    simplified: tuple[str, ...] = ()
    conjecture: tuple[str, ...] = ()
    cited: tuple[str, ...] = ()


class GateRule(Table, frozen=True, kw_only=True):
    """How one comes in.  end: through the bay at the eastern end of the row of rooms toward the gate, not
    through any off the axis.  wide: by a door of two leaves in the middle of its bay, not of one at a side.
    screen: whether a wall stands before that bay in the first court, and hides it from the gate.
    """

    end: bool = False
    wide: bool = False
    screen: bool = False


class HeatRule(Table, frozen=True, kw_only=True):
    """under: whether smoke goes through the ground under the floors of warm rooms to chimneys that stand
    apart, not up a shaft through the roof."""

    under: bool = False


class Kind(Table, frozen=True, kw_only=True):
    """A kind of room; see the tradition's file for the meaning of each field."""

    title: str = ""
    level: Whole
    area: tuple[Whole, Whole, Whole]
    floor: Literal["board", "mat", "flag", "warm"]
    depth: Natural = 5
    arrival: bool = False
    bent: bool = False
    climbs: bool = False
    head: bool = False
    way: bool = False
    hearth: KindName = ""
    under: KindName = ""
    doors_to: tuple[KindName, ...] = ()
    near: tuple[KindName, ...] = ()
    far: tuple[KindName, ...] = ()
    most: Natural = 1
    need: Natural = 0
    weight: Natural = 0
    work: bool = False
    light: tuple[Natural, Natural] = (30, 75)
    private: bool = False
    dark: bool = False
    windows: tuple[LookName, ...] = ("",)
    walls: tuple[LookName, ...] = ("blank",)
    seats: tuple[Natural, Whole] = (0, 1)
    sleeps: tuple[Natural, Whole] = (0, 1)
    fittings: tuple[FittingName, ...] = ()
    sets: tuple[tuple[FittingName, ...], ...] = ()
    extras: tuple[FittingName, ...] = ()
    yards: tuple[str, ...] = ()
    wings: tuple[str, ...] = ()
    axial: bool = False
    flanking: bool = False
    open: bool = False
    by: tuple[KindName, ...] = ()

    @property
    def settled(self) -> bool:
        """Whether its place is decided before the others are seated."""
        return self.arrival or self.climbs or self.head

    @property
    def names(self) -> tuple[str, ...]:
        """All fittings that a room of this kind may ask for, the telling ones first."""
        return (*self.fittings, *(name for some in self.sets for name in some), *self.extras)

    def spare(self, short: int, long: int) -> int:
        """Places at table in a room of this breadth and length, less those who sleep there.

        In a room three cells across, a row is lost to walk past a table.
        """
        clear = short * long - long * (short <= 3)
        seats = min(self.seats[0], clear // self.seats[1])
        return seats - min(self.sleeps[0], short * long // self.sleeps[1])


class Bound(Table, frozen=True, kw_only=True):
    """What bounds yards: pieces from the ground up along it, and where runs meet or end.

    each: cells from post to post, which are like corners; 0 for none.  weight: how often it is drawn.
    """

    run: Annotated[tuple[Bounding, ...], Meta(min_length=1)]
    corner: Annotated[tuple[Bounding, ...], Meta(min_length=1)]
    each: Natural = 0
    weight: Whole = 1


class Fitting(Table, frozen=True, kw_only=True, cache_hash=True, dict=True):
    """What furnishes a room: drawn facing south, y growing away from its user.

    layers: plans from the floor up, rows from the back to the front.  key: role and form of each letter.
    clear: rows wanted free before it.  faces: what it looks at.  tints: roles to swap for one another.
    caution: what a builder must heed, one sentence.  fire: burns, so that it must stand by the flue.
    seats, sleeps: how many sit at it, or sleep in it.
    """

    against: Against
    tags: tuple[Tag, ...]
    layers: Annotated[tuple[str, ...], Meta(min_length=1)]
    key: Pairs[str, tuple[RoleName, FormName]]
    around: bool = False
    clear: Natural = 1
    faces: Faces = ""
    near: tuple[FittingName, ...] = ()
    smaller: FittingName = ""
    tints: tuple[tuple[RoleName, ...], ...] = ()
    caution: str = ""
    fire: bool = False
    seats: Natural = 0
    sleeps: Natural = 0

    @property
    def size(self) -> tuple[int, int]:
        """Width and depth."""
        rows = self.layers[0].split()
        return len(rows[0]), len(rows)

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """x, y, z, role and form of each."""
        key = dict(self.key)
        return tuple(
            (x, y, z, *key[letter])
            for z, layer in enumerate(self.layers)
            for y, row in enumerate(reversed(layer.split()))
            for x, letter in enumerate(row)
            if letter != "."
        )

    @property
    def height(self) -> int:
        """Layers from the floor up."""
        return 1 + max(z for _, _, z, _, _ in self.pieces)


class Household(Table, frozen=True, kw_only=True):
    """Who lives in a house; see the tradition's file for the meaning of each field."""

    sleep: tuple[tuple[KindName, Whole, Whole, Natural], ...] = ()
    eat: tuple[KindName, Natural, Whole] = ("", 0, 1)
    larger: Pairs[KindName, Natural] = ()
    second: Pairs[KindName, Natural] = ()
    crafts: tuple[KindName, ...] = ()


class Tables(Register, frozen=True, kw_only=True):
    """What stands in the files of a tradition.  builders: whose trades build it.  trades: of those who live
    there, kinds of room for each.  steps: the order of building.  note: of what, and of whom; what is
    simplified, what is conjecture, who is cited."""

    title: str
    builders: str
    heights: Heights
    plan: PlanRule
    bays: BayRule
    gate: GateRule = GateRule()
    heat: HeatRule = HeatRule()
    roof: RoofRule
    arcade: Arcade | None = None
    atrium: Atrium | None = None
    note: Note = Note()
    materials: Some[str, Material] = field(name="material")
    roles: Some[str, MaterialName] = field(name="role")
    colours: Some[str, Pairs[RoleName, MaterialName]] = field(name="palette")
    kinds: Some[str, Kind] = field(name="kind")
    fittings: Some[str, Fitting] = field(name="fitting")
    front: Looks
    bounds: Some[str, Bound] = field(name="bound")
    words: Words
    duties: Pairs[Duty, tuple[RoleName, ...]] = field(name="duty", default=())
    uses: Pairs[str, Use] = field(name="use", default=())
    household: Household = Household()
    trades: Pairs[str, tuple[KindName, ...]] = field(name="trade", default=())
    steps: tuple[Work, ...] = field(name="step", default=())


class Tradition(Tables, frozen=True, kw_only=True):
    """Its tables, under a name.  storeys: of the highest wing of the house at hand, from the ground up."""

    name: str
    storeys: tuple[Storey, ...]

    @cached_property
    def palettes(self) -> tuple[Palette, ...]:
        """What all roles are made of, in the colours of each palette."""
        materials, roles = dict(self.materials), dict(self.roles)
        return tuple(
            Palette(
                name=name,
                duties=tuple(sorted(self.duties)),
                roles=tuple(
                    (role, materials[m]) for role, m in sorted((roles | dict(own)).items())
                ),
            )
            for name, own in self.colours
        )

    @cached_property
    def wet(self) -> frozenset[str]:
        """Roles of what is liquid."""
        materials = dict(self.materials)
        return frozenset(role for role, name in self.roles if materials[name].liquid)

    def role(self, use: str) -> str:
        """What serves a use."""
        return str(self.row("uses", use)[1])

    def made_of(self, palette: Palette) -> dict[str, Material]:
        """What serves each use in the colours of a palette."""
        roles = dict(palette.roles)
        return {use: roles[role] for use, (_, role, _) in self.uses}

    @property
    def most(self) -> int:
        """Fittings that any room may ask for."""
        return max(
            len(kind.fittings) + max(map(len, kind.sets), default=0) + len(kind.extras)
            for _, kind in self.kinds
        )

    def with_storeys(self, count: int) -> Tradition:
        """The same way of building for a house of so many storeys: on one, the plate is its upper tie."""
        return replace(self, storeys=self.heights.stacked(count))

    def on_slope(self, rise: int) -> Tradition:
        """The same way of building over so much more ground."""
        if not rise:
            return self
        ground = self.heights.ground + rise
        return replace(self, heights=replace(self.heights, ground=ground))

    def kind(self, name: str) -> Kind:
        found: Kind = self.row("kinds", name)
        return found

    def the(self, office: Office) -> str:
        """The kind of room that is there for something: one has a hearth where it names itself."""
        return next(name for name, kind in self.kinds if getattr(kind, office) in (True, name))

    def fitting(self, name: str) -> Fitting:
        found: Fitting = self.row("fittings", name)
        return found

    def bound(self, name: str) -> Bound:
        found: Bound = self.row("bounds", name)
        return found

    def palette(self, name: str) -> Palette:
        """A palette by name; BriefError names those there are."""
        for palette in self.palettes:
            if palette.name == name:
                return palette
        known = ", ".join(p.name for p in self.palettes)
        raise BriefError(f"palette: {self.name} has no palette {name!r}; it has {known}")
