"""Read and check a tradition's data."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any, Literal, TypeVar

import msgspec

from genhouse.core.errors import BriefError, TraditionError
from genhouse.core.forms import NUMBER
from genhouse.core.kept import once
from genhouse.core.learned import learned
from genhouse.model.palette import Material, Palette
from genhouse.model.roof import RoofForm
from genhouse.model.storeys import Heights, Storey
from genhouse.traditions.shelf import tables

_T = TypeVar("_T")
Against = Literal["wall", "corner", "centre", "any", "flue", "veranda"]
Faces = Literal["", "length", "court", "door"]
Tag = Literal[
    "sleep", "eat", "cook", "wash", "store", "work", "worship", "display", "sit", "light", "entry"
]
Piece = tuple[int, int, int, str, str]
Office = Literal["arrival", "hearth", "climbs", "head", "way"]
"""What just one kind of room is there for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BayRule:
    """gaps: clear cells between posts.  spans: wall line to wall line.  margin: wall to plot edge."""

    gaps: tuple[int, ...]
    spans: tuple[int, ...]
    margin: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """How a slope rises.  sun: in ten of run.  steep: over the last courses of the widest wing.

    rise: of a curved roof, as a fraction (over, under) of its span.  weight: how often it is drawn.
    """

    name: str
    kind: Literal["straight", "steepening", "curve"]
    weight: int
    sun: int = 0
    steep: int = 0
    rise: tuple[int, int] = (0, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoofRule:
    """outside, court: overhangs in courses, each ``gentle`` half cells below the last.  verge: likewise.

    lean: sun of a slope that only falls to the court.  forms: (form, weight) for the seed to draw from.
    two_tier, swept, dormers, high_hall: chances, (of, in).  rafter, beam: longest run and clear
    span in cells between two bearings, in plan.
    """

    outside: int
    court: int
    gentle: int
    verge: int
    lean: int
    rafter: int
    beam: int
    forms: tuple[tuple[RoofForm, int], ...]
    two_tier: tuple[int, int]
    swept: tuple[int, int]
    dormers: tuple[int, int]
    high_hall: tuple[int, int]
    profiles: tuple[Profile, ...]

    def profile(self, name: str) -> Profile:
        """A profile by name; BriefError names those there are."""
        for profile in self.profiles:
            if profile.name == name:
                return profile
        known = ", ".join(p.name for p in self.profiles)
        raise BriefError(f"roof.profile: there is no profile {name!r}; try {known}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of room; see the tradition's file for the meaning of each field."""

    level: int
    area: tuple[int, int, int]
    floor: Literal["board", "mat", "flag"]
    depth: int = 5
    arrival: bool = False
    climbs: bool = False
    head: bool = False
    way: bool = False
    hearth: str = ""
    under: str = ""
    doors_to: tuple[str, ...] = ()
    near: tuple[str, ...] = ()
    far: tuple[str, ...] = ()
    most: int = 1
    need: int = 0
    weight: int = 0
    work: bool = False
    light: tuple[int, int] = (30, 75)
    private: bool = False
    dark: bool = False
    seats: tuple[int, int] = (0, 1)
    sleeps: tuple[int, int] = (0, 1)
    fittings: tuple[str, ...] = ()
    sets: tuple[tuple[str, ...], ...] = ()
    extras: tuple[str, ...] = ()

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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fitting:
    """What furnishes a room: drawn facing south, y growing away from its user.

    size: width and depth.  pieces: (x, y, z, role, form).  clear: rows wanted free before it.
    faces: what it looks at.  near, smaller: names of fittings.  tints: roles to swap for one another.
    caution: what a builder must heed, one sentence.  fire: burns, so that it must stand by the flue.
    seats, sleeps: how many sit at it, or sleep in it.
    told: all of this as text, by which two are equal: much is kept by fitting, and asked for often.
    """

    against: Against
    tags: tuple[Tag, ...]
    size: tuple[int, int]
    pieces: tuple[Piece, ...]
    around: bool = False
    clear: int = 1
    faces: Faces = ""
    near: tuple[str, ...] = ()
    smaller: str = ""
    tints: tuple[tuple[str, ...], ...] = ()
    caution: str = ""
    fire: bool = False
    seats: int = 0
    sleeps: int = 0
    told: bytes = field(init=False, repr=False, default=b"")

    def __post_init__(self) -> None:
        object.__setattr__(self, "told", msgspec.json.encode(self))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Fitting) and self.told == other.told

    def __hash__(self) -> int:
        return hash(self.told)

    @property
    def height(self) -> int:
        """Layers from the floor up."""
        return 1 + max(z for _, _, z, _, _ in self.pieces)


@dataclass(frozen=True, slots=True, kw_only=True)
class Household:
    """Who lives in a house; see the tradition's file for the meaning of each field."""

    sleep: tuple[tuple[str, int, int, int], ...] = ()
    eat: tuple[str, int, int] = ("", 0, 1)
    larger: tuple[tuple[str, int], ...] = ()
    second: tuple[tuple[str, int], ...] = ()
    crafts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tradition:
    """kinds, fittings and trades (kinds of room for each) are (name, value) pairs in the file's order.

    storeys: of the highest wing of the house at hand, from the ground up.
    """

    name: str
    title: str
    heights: Heights
    bays: BayRule
    roof: RoofRule
    palettes: tuple[Palette, ...]
    kinds: tuple[tuple[str, Kind], ...]
    fittings: tuple[tuple[str, Fitting], ...]
    household: Household = Household()
    trades: tuple[tuple[str, tuple[str, ...]], ...] = ()
    storeys: tuple[Storey, ...] = ()

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

    def kind(self, name: str) -> Kind:
        return dict(self.kinds)[name]

    def the(self, office: Office) -> str:
        """The kind of room that is there for something: one has a hearth where it names itself."""
        return next(name for name, kind in self.kinds if getattr(kind, office) in (True, name))

    def fitting(self, name: str) -> Fitting:
        return dict(self.fittings)[name]

    def palette(self, name: str) -> Palette:
        """A palette by name; BriefError names those there are."""
        for palette in self.palettes:
            if palette.name == name:
                return palette
        known = ", ".join(p.name for p in self.palettes)
        raise BriefError(f"palette: {self.name} has no palette {name!r}; it has {known}")


@once
def load_tradition(name: str) -> Tradition:
    """Raises BriefError for an unknown name and TraditionError for malformed data."""
    return parse_tradition(name, tables(name))


def parse_tradition(name: str, data: Mapping[str, Any]) -> Tradition:
    """Build a tradition from its TOML tables.  Raises TraditionError, naming the key."""
    data = dict(data)
    _known("", data, TABLES)
    for table in NESTED:
        if not isinstance(data.get(table), dict) or not data[table]:
            raise TraditionError(
                f"tradition {name}: {table} must be a table with at least one entry"
            )
    try:
        materials = {
            key: _told(Material, f"material {key}", {"name": key, **table})
            for key, table in data.pop("material").items()
        }
        data["name"] = name
        data["palettes"] = _palettes(materials, data.pop("role"), data.pop("palette"))
        data["kinds"] = tuple(
            (key, _told(Kind, f"kind {key}", table)) for key, table in data.pop("kind").items()
        )
        data["fittings"] = tuple(
            (key, _told(Fitting, f"fitting {key}", _drawn(key, table)))
            for key, table in data.pop("fitting").items()
        )
        data["trades"] = tuple(data.pop("trade", {}).items())
        data["household"] = _household(data.get("household", {}))
        tradition = msgspec.convert(data, learned(Tradition))
    except (msgspec.ValidationError, KeyError) as error:
        raise TraditionError(f"tradition {name}: {error}") from error
    _check(tradition)
    return tradition.with_storeys(2)


TABLES = (
    *("title", "heights", "bays", "roof", "material", "role", "palette", "kind", "fitting"),
    *("household", "trade"),
)
NESTED = ("material", "role", "palette", "kind", "fitting")


def _known(where: str, table: dict[str, Any], known: Iterable[str]) -> None:
    """Raises TraditionError for a key that means nothing here."""
    if unknown := sorted(set(table) - set(known)):
        raise TraditionError(f"{where}{unknown[0]!r} means nothing here")


def _told(kind: type[_T], where: str, table: dict[str, Any]) -> _T:
    """One table as its dataclass, no key too many.  Raises TraditionError or ValidationError."""
    _known(f"{where}: ", table, (field.name for field in fields(kind)))  # type: ignore[arg-type]
    try:
        return msgspec.convert(table, learned(kind))
    except msgspec.ValidationError as error:
        raise TraditionError(f"{where}: {error}") from error


def _household(table: dict[str, Any]) -> Household:
    """The household's table, its own tables as pairs.  Raises TraditionError or ValidationError."""
    plain = {k: tuple(v.items()) if isinstance(v, dict) else v for k, v in table.items()}
    return _told(Household, "household", plain)


def _drawn(name: str, table: dict[str, Any]) -> dict[str, Any]:
    """A fitting's plans, layer by layer, as its size and pieces.  Raises TraditionError."""
    table = dict(table)
    layers, key = table.pop("layers"), table.pop("key")
    rows = [layer.split() for layer in layers]
    if not rows or not rows[0]:
        raise TraditionError(f"fitting {name}: layers has no plan")
    width, depth = len(rows[0][0]), len(rows[0])
    pieces = []
    for z, plan in enumerate(rows):
        if len(plan) != depth or any(len(row) != width for row in plan):
            raise TraditionError(f"fitting {name}: layer {z} is not {width} x {depth}")
        for y, row in enumerate(reversed(plan)):
            for x, letter in enumerate(row):
                if letter != ".":
                    if len(key.get(letter, ())) != 2:
                        raise TraditionError(f"fitting {name}: key {letter!r} is no role and form")
                    pieces.append((x, y, z, *key[letter]))
    return table | {"size": (width, depth), "pieces": pieces}


def _palettes(
    materials: dict[str, Material], roles: dict[str, str], palettes: dict[str, dict[str, str]]
) -> tuple[Palette, ...]:
    def palette(name: str, changes: dict[str, str]) -> Palette:
        if unknown := set(changes) - set(roles):
            raise TraditionError(f"palette {name}: no role is called {min(unknown)!r}")
        merged = sorted((roles | changes).items())
        return Palette(name=name, roles=tuple((role, materials[m]) for role, m in merged))

    return tuple(palette(name, changes) for name, changes in palettes.items())


def _check(tradition: Tradition) -> None:
    roles = {role for role, _ in tradition.palettes[0].roles}
    fittings = dict(tradition.fittings)
    for name, fitting in tradition.fittings:
        swapped = [role for tint in fitting.tints for role in tint]
        for role in (*(piece[3] for piece in fitting.pieces), *swapped):
            if role not in roles:
                raise TraditionError(f"fitting {name}: no role is called {role!r}")
        for *_, form in fitting.pieces:
            if form not in NUMBER:
                raise TraditionError(f"fitting {name}: no form is called {form!r}")
        _check_names(f"fitting {name}", (*fitting.near, fitting.smaller or name), fittings)
        if fitting.smaller == name:
            raise TraditionError(f"fitting {name}: smaller names the fitting itself, {name!r}")
    kinds = dict(tradition.kinds)
    for name, kind in tradition.kinds:
        _check_names(f"kind {name}", kind.names, fittings)
        for other in (
            *kind.near,
            *kind.far,
            *kind.doors_to,
            *filter(None, (kind.under, kind.hearth)),
        ):
            if other not in kinds:
                raise TraditionError(f"kind {name}: no kind is called {other!r}")
        if not 0 <= kind.light[0] <= kind.light[1]:
            raise TraditionError(f"kind {name}: light {kind.light} is not a least and a most")
        if not kind.area[0] <= kind.area[1] <= kind.area[2]:
            raise TraditionError(f"kind {name}: area {kind.area} is not a least, a best and a most")
    house = tradition.household
    named = [name for name, *_ in (*house.sleep, *house.larger, *house.second)]
    named += [*house.crafts, *([house.eat[0]] if house.eat[0] else [])]
    named += [name for _, rooms in tradition.trades for name in rooms]
    for one in named:
        if one not in kinds:
            raise TraditionError(f"household: no kind is called {one!r}")
    for _, material in tradition.palettes[0].roles:
        if not re.fullmatch("#[0-9a-f]{6}", material.colour):
            raise TraditionError(
                f"material {material.name}: colour {material.colour!r} is not #rrggbb"
            )


def _check_names(where: str, names: tuple[str, ...], fittings: dict[str, Fitting]) -> None:
    for name in names:
        if name not in fittings:
            raise TraditionError(f"{where}: no fitting is called {name!r}")
