"""Closed: a room meets the open air, and other rooms, through openings alone.

An opening is a stretch of a wall that is left free or filled with leaves: upright, tall enough to walk
through, from a threshold at a room's floor up to a head that bridges it, with a wall on both sides.
Toward the open air, and wherever it has any, its leaves drawn out along it close it.  A pane or a lattice
that lets light through closes a wall.  What the roof is made of is weather's to judge.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from genhouse.inspection.fabric import Fabric, Scalar, beside, moved
from genhouse.inspection.outlines import SQUARES
from genhouse.inspection.subcells import Bool
from genhouse.inspection.verdict import Finding, Verdict, finding
from genhouse.model.voxels import Voxels

NAME = "closed"


class _Walls(NamedTuple):
    """Walls of one direction, each array [across, z, along].

    opening: free cells, or leaves, beside a room.  leaf: those with leaves.  inner: between two rooms.
    shut: what closes the wall.  bears: what one stands on.  bridges: what a head may be of.
    level: at a room's floor.  sheets: how many leaves thick each is.  airy: beside a room that stands open.
    """

    opening: Bool
    leaf: Bool
    inner: Bool
    shut: Bool
    bears: Bool
    bridges: Bool
    level: Bool
    sheets: npt.NDArray[np.int16]
    airy: Bool


def closed(voxels: Voxels, fabric: Fabric) -> Verdict:
    """Three rules: [1] a wall is whole but for openings; [2] their leaves close them; [3] ceilings."""
    holes, bare = (np.zeros(voxels.size, dtype=bool) for _ in range(2))
    count = 0
    for axis in (0, 1):
        walls = _walls(voxels, fabric, axis)
        count += int((walls.opening & ~moved(walls.opening, 1, 1)).sum())
        _turned(holes, axis)[...] |= _ill_formed(walls)
        _turned(bare, axis)[...] |= _without_leaves(walls)
    return Verdict(
        check=NAME,
        findings=finding(NAME, holes, "a wall has a hole that is no opening")
        + finding(NAME, bare & ~holes, "an opening has not the leaves that close it")
        + _ceilings(fabric),
        evidence=f"openings in walls take {count} cells in all",
    )


def _turned(cells: npt.NDArray[Scalar], axis: int) -> npt.NDArray[Scalar]:
    """A view [across, z, along] of walls that one goes through along an axis."""
    return cells.transpose((0, 2, 1) if axis == 0 else (1, 2, 0))


def _walls(voxels: Voxels, fabric: Fabric, axis: int) -> _Walls:
    before, behind = (moved(fabric.indoor, axis, by) for by in (1, -1))
    airy = voxels.room_flag("open")[voxels.room]
    opening = (before | behind) & (voxels.room == 0)
    opening &= ~(fabric.shut[axis] | fabric.roof) | fabric.leaf
    cells = (
        opening,
        opening & fabric.leaf,
        before & behind,
        fabric.shut[axis] & ~fabric.leaf,
        fabric.shut[2],
        (2 * fabric.outlines.much[2] >= SQUARES)[voxels.form],
        moved(fabric.floor, axis, 1) | moved(fabric.floor, axis, -1),
        _sheets(voxels, fabric)[voxels.form] * fabric.leaf,
        moved(airy, axis, 1) | moved(airy, axis, -1),
    )
    return _Walls(*(np.ascontiguousarray(_turned(one, axis)) for one in cells))


def _sheets(voxels: Voxels, fabric: Fabric) -> npt.NDArray[np.int16]:
    """Of how many leaves each form is; a door that swings is one, however thick, and shuts its own cell."""
    swings = np.array([form.piece == "door leaf" for form in voxels.about.forms])
    return np.where(swings, np.int16(1), fabric.outlines.fill // SQUARES)


def _ill_formed(walls: _Walls) -> Bool:
    """RULE 1."""
    here = walls.opening
    below, above = moved(here, 1, 1), moved(here, 1, -1)
    foot, top = here & ~below, here & ~above
    faults = foot & top | foot & ~(moved(walls.bears, 1, 1) & walls.level)
    faults |= top & ~moved(walls.bridges, 1, -1)
    for by in (1, -1):
        beside = moved(here, 2, by)
        faults |= here & ~beside & ~moved(walls.shut, 2, by)
        uneven = (above ^ moved(above, 2, by)) | (below ^ moved(below, 2, by))
        faults |= here & beside & uneven
    return faults


def _without_leaves(walls: _Walls) -> Bool:
    """RULE 2: along each layer of an opening as many leaves as cells, or none between rooms and before one
    that stands open; each leaf as high as the opening."""
    here = walls.opening
    above = moved(here, 1, -1)
    faults = here & above & (walls.leaf ^ moved(walls.leaf, 1, -1))
    flat = np.flatnonzero(here)
    if not flat.size:
        return faults
    number = (here & ~moved(here, 2, 1)).reshape(-1)[flat].cumsum() - 1
    needed = np.bincount(number)
    leaves = np.bincount(number, walls.sheets.reshape(-1)[flat])
    inner = np.bincount(number, (walls.inner | walls.airy).reshape(-1)[flat]) == needed
    short = (leaves < needed) & ~(inner & (leaves == 0))
    faults.reshape(-1)[flat] |= short[number]
    return faults


def _ceilings(fabric: Fabric) -> tuple[Finding, ...]:
    """RULE 3: a ceiling is whole but for the well of a stair; it is one, and no roof, where it goes on
    beside the hole."""
    top = fabric.indoor.copy()
    top[:, :, :-1] &= ~fabric.indoor[:, :, 1:]
    top[:, :, -1] = False
    over = moved(fabric.shut[2], 2, -1)
    ceiling = top & over & ~moved(fabric.roof, 2, -1)
    holes = top & ~over & ~fabric.told & beside(ceiling)
    return finding(NAME, holes, "a room has a hole in its ceiling")
