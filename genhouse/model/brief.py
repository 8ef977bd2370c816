"""What a client asks for, and the recipe that a house is made from."""

from __future__ import annotations

from dataclasses import dataclass

from genhouse.core.axes import Side

STAGE_NAMES = (
    "site",
    "bays",
    "rooms",
    "frame",
    "walls",
    "floors",
    "mats",
    "screens",
    "roof",
    "court",
    "fittings",
    "lamps",
)
"""The stages that draw, in order; each can be given a seed of its own."""

SMALLEST_PLOT = (17, 19)
LARGEST_PLOT = (45, 61)


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """Everything is optional; what is left out is drawn from the seed.

    plot: width (east-west) and depth (north-south) in cells.  gate: the side a visitor comes from.
    garden: the kind of court garden.  palette: a palette of the tradition.
    """

    client: str = ""
    plot: tuple[int, int] | None = None
    gate: Side | None = None
    mirror: bool = False
    tradition: str = "timber"
    palette: str | None = None
    garden: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """All that a house depends on: the same recipe, the same bytes.

    stage_seeds: (stage, seed) pairs, sorted; a stage not named there uses the house seed.
    """

    seed: int
    brief: Brief = Brief()
    stage_seeds: tuple[tuple[str, int], ...] = ()

    def seed_of(self, stage: str) -> int:
        return dict(self.stage_seeds).get(stage, self.seed)
