"""What roles are made of.  A palette changes colours and names, never a form."""

from __future__ import annotations

from dataclasses import dataclass


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
    """roles: (role, material) pairs, sorted by role."""

    name: str
    roles: tuple[tuple[str, Material], ...]

    @property
    def materials(self) -> tuple[Material, ...]:
        """Each material once, by name; the order of their numbers in the arrays from 1."""
        by_name = {material.name: material for _, material in self.roles}
        return tuple(by_name[name] for name in sorted(by_name))
