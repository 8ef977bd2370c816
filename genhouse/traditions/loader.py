"""Read and check a tradition's data."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

import msgspec

from genhouse.core.errors import BriefError, TraditionError
from genhouse.core.forms import NUMBER
from genhouse.model.palette import Material, Palette
from genhouse.traditions.shelf import tables

Against = Literal["wall", "corner", "centre", "any", "flue"]
Piece = tuple[int, int, int, str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """z of the layers that a house of this tradition shares."""

    ground: int
    floor: int
    lower_tie: int
    upper_tie: int
    upper_floor: int
    plate: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BayRule:
    """gaps: clear cells between posts.  spans: wall line to wall line.  margin: wall to plot edge."""

    gaps: tuple[int, ...]
    spans: tuple[int, ...]
    margin: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RoofRule:
    """Overhangs in courses; rises in half cells a course."""

    outside: int
    court: int
    gentle: int
    pitch: int
    steep: int
    verge: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of room; see the tradition's file for the meaning of each field."""

    level: int
    area: tuple[int, int, int]
    floor: Literal["board", "mat", "flag"]
    depth: int = 5
    near: tuple[str, ...] = ()
    far: tuple[str, ...] = ()
    most: int = 1
    need: int = 0
    fittings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """What furnishes a room: drawn facing south; pieces are (x, y, z, role, form)."""

    against: Against
    size: tuple[int, int]
    pieces: tuple[Piece, ...]
    around: bool = False
    smaller: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tradition:
    """kinds and fittings are (name, value) pairs in the file's order."""

    name: str
    title: str
    levels: Levels
    bays: BayRule
    roof: RoofRule
    palettes: tuple[Palette, ...]
    kinds: tuple[tuple[str, Kind], ...]
    fittings: tuple[tuple[str, Fitting], ...]

    def kind(self, name: str) -> Kind:
        return dict(self.kinds)[name]

    def fitting(self, name: str) -> Fitting:
        return dict(self.fittings)[name]

    def palette(self, name: str) -> Palette:
        """A palette by name; BriefError names those there are."""
        for palette in self.palettes:
            if palette.name == name:
                return palette
        known = ", ".join(p.name for p in self.palettes)
        raise BriefError(f"palette: {self.name} has no palette {name!r}; it has {known}")


@cache
def load_tradition(name: str) -> Tradition:
    """Raises BriefError for an unknown name and TraditionError for malformed data."""
    return parse_tradition(name, tables(name))


def parse_tradition(name: str, data: dict[str, Any]) -> Tradition:
    """Build a tradition from its TOML tables.  Raises TraditionError, naming the key."""
    data = dict(data)
    try:
        materials = {
            key: msgspec.convert({"name": key, **table}, Material)
            for key, table in data.pop("material").items()
        }
        data["name"] = name
        data["palettes"] = _palettes(materials, data.pop("role"), data.pop("palette"))
        data["kinds"] = tuple(
            (key, msgspec.convert(table, Kind)) for key, table in data.pop("kind").items()
        )
        data["fittings"] = tuple(
            (key, msgspec.convert(table, Fitting)) for key, table in data.pop("fitting").items()
        )
        tradition = msgspec.convert(data, Tradition)
    except (msgspec.ValidationError, KeyError) as error:
        raise TraditionError(f"tradition {name}: {error}") from error
    _check(tradition)
    return tradition


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
        for _, _, _, role, form in fitting.pieces:
            if role not in roles:
                raise TraditionError(f"fitting {name}: no role is called {role!r}")
            if form not in NUMBER:
                raise TraditionError(f"fitting {name}: no form is called {form!r}")
        if fitting.smaller and fitting.smaller not in fittings:
            raise TraditionError(f"fitting {name}: no fitting is called {fitting.smaller!r}")
    for name, kind in tradition.kinds:
        for wanted in kind.fittings:
            if wanted not in fittings:
                raise TraditionError(f"kind {name}: no fitting is called {wanted!r}")
