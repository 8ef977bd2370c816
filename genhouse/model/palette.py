"""What roles are made of.  A palette changes colours and names, never a form."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

Bearing = Literal["covers", "closes", "spans", "stands", "void", "members"]
"""What roles do for a house.  covers: lies on its roof and meets the rain.  closes: stands upright in
that roof.  spans: bears at both ends.  stands: bears from below.  void: is under the roof, and the room
below goes on round it.  members: is counted by its length, as it is raised."""
Shown = Literal[
    "shelters", "flues", "bounds", "fences", "stakes", "sheds", "lines", "hung", "wares",
    "kerbs", "fuel", "boards", "flags", "walks", "steps",
    "gravel", "loose", "raked", "soil", "mossy", "paved", "rims", "hedges", "bridges", "benches", "wells",
    "boulders", "shrubs", "sprigs", "trunks", "leaves", "bold",
]  # fmt: skip
"""What roles are in plans.  shelters: a little roof over a way in or a well.  bounds: walls of a garden or
yard.  fences, stakes: what is thin and bounds too, and its posts.  sheds: their walls and posts.  lines:
for washing, which is hung from them.  wares: what stands about in a yard.  kerbs: round a flat roof.
fuel: for a fire.  boards, flags, walks, steps: underfoot.  gravel: ground of a walk or bed, of which some
lies loose and some is raked.  rims: about water.  sprigs: low plants.  bold: of a garden, what its name
keeps clear of."""
Duty = Bearing | Shown
DUTIES: tuple[Bearing, ...] = get_args(Bearing)
"""Those that some role must have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """name: from the building trades.  colour: ``#rrggbb``.

    finish: how its surface is drawn (``plain``, ``timber``, ``boards``, ``tile``, ``mat``,
    ``paper``, ``plaster``, ``stone``, ``gravel``, ``earth``, ``moss``, ``leaves``, ``water``,
    ``brick``, ``cloth``, ``glow``).
    liquid: water.  passable: opened by a person.  clear: light passes.  lumens: light it gives.
    """

    name: str
    colour: str
    finish: str = "plain"
    liquid: bool = False
    passable: bool = False
    clear: bool = False
    lumens: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """roles: (role, material) pairs, sorted by role.  duties: (duty, roles that have it), sorted."""

    name: str
    roles: tuple[tuple[str, Material], ...]
    duties: tuple[tuple[str, tuple[str, ...]], ...] = ()

    def having(self, *duties: Duty) -> tuple[str, ...]:
        """The roles that have some duty, in the order in which the tradition names them."""
        return tuple(role for duty in duties for role in dict(self.duties).get(duty, ()))

    def made(self, flag: str) -> frozenset[str]:
        """The roles whose material has some quality, such as ``liquid``."""
        return frozenset(role for role, material in self.roles if getattr(material, flag))

    @property
    def materials(self) -> tuple[Material, ...]:
        """Each material once, by name; the order of their numbers in the arrays from 1."""
        by_name = {material.name: material for _, material in self.roles}
        return tuple(by_name[name] for name in sorted(by_name))
