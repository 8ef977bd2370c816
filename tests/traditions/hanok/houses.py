"""Hanok of a few seeds for the tests, and what one reads of them: rooms, walls between them, flues."""

from __future__ import annotations

from functools import lru_cache

from genhouse.generate.recipe import design_house
from genhouse.model.brief import Brief, Recipe
from genhouse.model.design import Design
from genhouse.model.raster import raster
from genhouse.model.room import Room
from genhouse.model.voxels import Voxels
from genhouse.traditions.loader import load_tradition

SEEDS = range(24)
HANOK = load_tradition("hanok")


@lru_cache(maxsize=32)
def house(seed: int) -> Design:
    return design_house(Recipe(seed=seed, brief=Brief(tradition="hanok", gate="south")))


@lru_cache(maxsize=32)
def cells(seed: int) -> Voxels:
    return raster(house(seed))


def rooms(design: Design, *kinds: str) -> list[Room]:
    return [room for room in design.rooms if room.kind in kinds]


def warm(design: Design) -> list[Room]:
    """The rooms that are heated from below."""
    return [room for room in design.rooms if room.indoor and HANOK.kind(room.kind).floor == "warm"]


def beside(design: Design, room: Room) -> set[str]:
    """Kinds of rooms with a wall to one."""
    ids = {n for w in design.segments if room.id in (w.low, w.high) for n in (w.low, w.high)} - {
        room.id
    }
    return {other.kind for other in design.rooms if other.id in ids}


def channels(design: Design) -> set[tuple[int, int]]:
    """Where a channel runs through the ground."""
    return {
        cell
        for part in design.parts
        if part.form.startswith("culvert") and part.role == HANOK.role("underfloor flue")
        for cell in part.box.rect.cells()
    }


def stacks(design: Design) -> set[tuple[int, int]]:
    """Where chimneys stand."""
    return {(p.box.x0, p.box.y0) for p in design.parts if p.form == "chimney"}
