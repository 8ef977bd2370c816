"""The trades of the timber house, in building order."""

from __future__ import annotations

from genhouse.traditions.building import Trade, set_fittings, set_members
from genhouse.traditions.timber.trades.bounds import bound_yards
from genhouse.traditions.timber.trades.frame import raise_frame
from genhouse.traditions.timber.trades.fronts import set_juts
from genhouse.traditions.timber.trades.mats import lay_mats
from genhouse.traditions.timber.trades.openings import hang_openings
from genhouse.traditions.timber.trades.porches import roof_porches
from genhouse.traditions.timber.trades.walls import bound_ground, raise_walls

USES = (
    *("sill", "plinth", "tie", "plate", "infill", "band", "hearth back", "matting"),
    *("party wall", "garden wall", "coping", "gate post", "gate lintel", "gate roof", "gate ridge"),
    *("door", "entrance", "gate", "court screen", "inner screen"),
    *("yard gate", "yard gate post"),
    *("porch course", "porch eave", "porch post", "name board", "gate board"),
)
"""Of pieces that these trades lay themselves."""
TRADES: tuple[Trade, ...] = (
    set_members,
    raise_frame,
    raise_walls,
    bound_ground,
    bound_yards,
    lay_mats,
    set_juts,
    hang_openings,
    roof_porches,
    set_fittings,
)
