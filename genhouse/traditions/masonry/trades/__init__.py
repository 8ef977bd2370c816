"""The trades of masons, in building order."""

from __future__ import annotations

from genhouse.traditions.building import Trade, set_fittings
from genhouse.traditions.masonry.trades.openings import hang_openings
from genhouse.traditions.masonry.trades.walls import bound_ground, raise_walls, set_members
from genhouse.traditions.timber.trades.bounds import bound_yards
from genhouse.traditions.timber.trades.fronts import set_juts

USES = (
    *("sill", "plinth", "tie", "plate", "infill", "band", "hearth back"),
    *(
        "pier foot",
        "court post",
        "court sill",
        "court tie",
        "court plate",
        "inner post",
        "inner tie",
    ),
    *("party wall", "garden wall", "coping", "gate post", "gate lintel"),
    *("door", "entrance", "gate", "court screen", "inner screen", "fanlight"),
    *("yard gate", "yard gate post", "portal lintel"),
)
"""Of pieces that these trades lay themselves."""
TRADES: tuple[Trade, ...] = (
    set_members,
    raise_walls,
    bound_ground,
    bound_yards,
    set_juts,
    hang_openings,
    set_fittings,
)
