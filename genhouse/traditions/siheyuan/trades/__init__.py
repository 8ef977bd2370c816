"""The trades of the siheyuan: those of the timber house, and a gate between drum stones."""

from __future__ import annotations

from genhouse.traditions.building import Trade, set_fittings
from genhouse.traditions.siheyuan.trades.gates import set_gates, set_on_stone
from genhouse.traditions.timber.trades import USES as TIMBER
from genhouse.traditions.timber.trades.bounds import bound_yards
from genhouse.traditions.timber.trades.frame import raise_frame
from genhouse.traditions.timber.trades.fronts import set_juts
from genhouse.traditions.timber.trades.mats import lay_mats
from genhouse.traditions.timber.trades.openings import hang_openings
from genhouse.traditions.timber.trades.walls import bound_ground, raise_walls

USES = (*TIMBER, "drum stone", "drum foot", "outer sill", "outer tie", "outer plate")
"""Of pieces that these trades lay themselves."""
TRADES: tuple[Trade, ...] = (
    set_on_stone,
    raise_frame,
    raise_walls,
    bound_ground,
    bound_yards,
    lay_mats,
    set_juts,
    hang_openings,
    set_gates,
    set_fittings,
)
"""The trades in building order."""
