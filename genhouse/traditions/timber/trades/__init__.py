"""The trades of the timber house, in building order."""

from __future__ import annotations

from genhouse.traditions.building import Trade, plant_gardens, set_members
from genhouse.traditions.timber.trades.frame import raise_frame
from genhouse.traditions.timber.trades.fronts import set_juts
from genhouse.traditions.timber.trades.mats import lay_mats
from genhouse.traditions.timber.trades.openings import hang_openings
from genhouse.traditions.timber.trades.porches import roof_porches
from genhouse.traditions.timber.trades.walls import bound_ground, raise_walls

TRADES: tuple[Trade, ...] = (
    set_members,
    raise_frame,
    raise_walls,
    bound_ground,
    lay_mats,
    set_juts,
    hang_openings,
    roof_porches,
    plant_gardens,
)
