"""What is needed: pieces by step, by room and in all, in the builder's own names where there are any."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from msgspec import Struct

from genhouse.model.voxels import Voxels
from genhouse.outputs.steps.steps import Steps

ALLOWANCE = 20
"""One piece more is ordered for each so many (common practice)."""


class Need(Struct, frozen=True):
    """So many pieces of one kind."""

    material: str
    piece: str
    count: int

    @property
    def order(self) -> int:
        """With an allowance."""
        return self.count + -(-self.count // ALLOWANCE)

    def bundles(self, size: int) -> str:
        """What to fetch, in bundles of a size and single pieces.

        >>> Need("elm", "whole", 100).bundles(50)
        '2 × 50 + 5'
        """
        full, rest = divmod(self.order, size)
        return f"{full} × {size} + {rest}" if full else str(rest)


Called = Callable[[str, str], str]
"""What a builder calls a material, given its name and a form's."""


def as_named(material: str, _: str) -> str:
    """Materials under their own names."""
    return material


@dataclass(frozen=True)
class Counts:
    """Pieces of a house, counted once."""

    voxels: Voxels
    steps: Steps
    called: Called = as_named

    @cached_property
    def _kinds(self) -> list[tuple[int, int, str, str, int]]:
        """Step, room, material, piece and count."""
        v = self.voxels
        solid = v.form > 0
        numbers = (self.steps.of[solid], v.room[solid], v.material[solid], v.form[solid])
        sizes = tuple(int(n.max(initial=0)) + 1 for n in numbers)
        keys, counts = np.unique(
            np.ravel_multi_index(tuple(n.astype(np.intp) for n in numbers), sizes),
            return_counts=True,
        )
        rows = zip(
            *(n.tolist() for n in np.unravel_index(keys, sizes)), counts.tolist(), strict=True
        )
        materials, forms = v.about.materials, v.about.forms
        return [
            (step, room, self.called(materials[m].name, forms[f].name), forms[f].piece, count)
            for step, room, m, f, count in rows
        ]

    def step(self, number: int) -> tuple[Need, ...]:
        return _summed((m, p, n) for step, _, m, p, n in self._kinds if step == number)

    def room(self, number: int) -> tuple[Need, ...]:
        return _summed((m, p, n) for _, room, m, p, n in self._kinds if room == number)

    @cached_property
    def all(self) -> tuple[Need, ...]:
        return _summed((m, p, n) for _, _, m, p, n in self._kinds)


def _summed(rows: Iterable[tuple[str, str, int]]) -> tuple[Need, ...]:
    found: dict[tuple[str, str], int] = {}
    for material, piece, count in rows:
        found[material, piece] = found.get((material, piece), 0) + count
    return tuple(Need(*key, count) for key, count in sorted(found.items()))
