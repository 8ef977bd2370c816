"""Access: a visitor walks from the gate to every room and beside every fitting.

A body is one cell square and seven quarter-cells tall; it goes up or down half a cell at a step,
opens what can be opened, and does not wade.  Its possible places are marked once: where it stands,
and up to half a cell above, wherever nothing is in the way.  Two neighbouring places of that set are
one step apart, whichever of them is higher, so one labelling by faces answers every question.
"""

from __future__ import annotations

import cc3d
import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.inspection.fabric import beside, moved
from genhouse.inspection.subcells import (
    SUB,
    WHOLE,
    Bool,
    Quarters,
    Subcells,
    cut,
    lowered,
    raised,
    subcells,
)
from genhouse.inspection.verdict import Finding, Verdict, finding
from genhouse.model.voxels import Voxels

NAME = "access"
TALL, CLIMB = 7, 2
"""Height of a body and of a step, in quarter-cells."""


class Walk(Struct, frozen=True, kw_only=True):
    """reached: bool [X, Y, Z], cells in which a visitor from the gate can stand square.

    could: the same for anyone, from anywhere.  places: x, y of those reached and the height of the feet in
    them, in quarters [N, 3].
    """

    reached: Bool
    could: Bool
    places: npt.NDArray[np.intp]


def walk(voxels: Voxels, sub: Subcells) -> Walk:
    """Where a visitor gets to."""
    body = _under_feet(sub.blocked)
    free = _tall(body) ^ WHOLE
    stand = free & raised(body, 1)
    water = _under_feet(sub.liquid)
    stand[:, :, : water.shape[2]] &= ~lowered(water, 1)
    square = cut(stand[::SUB, ::SUB])
    could = _cells(square)
    gate = voxels.about.gate
    reached = np.zeros_like(square)
    if all(0 <= at < size for at, size in zip(gate, square.shape, strict=True)) and square[gate]:
        rooms = (could & voxels.room_flag("walkable")[voxels.room]).any(axis=(0, 1))
        above = max(gate[2] // SUB, int(np.flatnonzero(rooms).max(initial=0))) + 2
        linked, higher = _linked(free[:, :, :above].copy(), stand[:, :, :above].copy(), gate)
        if higher:
            linked, _ = _linked(free, stand, gate)
        reached[:, :, : linked.shape[2]] = linked
    reached &= square
    return Walk(reached=_cells(reached), could=could, places=np.argwhere(reached))


def walked(voxels: Voxels) -> Bool:
    """bool [X, Y, Z]: where a visitor from the gate gets to; where anyone could stand if none gets in."""
    way = walk(voxels, subcells(voxels))
    return way.reached if way.reached.any() else way.could


def _linked(free: Quarters, stand: Quarters, gate: tuple[int, int, int]) -> tuple[Bool, bool]:
    """The square places that are linked with the gate; whether any at the very top is."""
    x, y, z = gate
    hover = stand | free & raised(stand, 1) | free & raised(free, 1) & raised(stand, CLIMB)
    labels = cc3d.connected_components(cut(hover), connectivity=6)
    here = labels[SUB * x, SUB * y, z]
    return np.asarray(labels[::SUB, ::SUB] == here), bool((labels[:, :, -1] == here).any())


def _under_feet(solid: Quarters) -> Quarters:
    """What a body's square, from each place on, touches: [4X - 3, 4Y - 3, Z]."""
    for n in (1, 2):
        solid = np.bitwise_or(solid[:-n], solid[n:])
    for n in (1, 2):
        solid = np.bitwise_or(solid[:, :-n], solid[:, n:])
    return solid


def _tall(body: Quarters) -> Quarters:
    """What any of a body's seven quarters, from each height on, touches; the sky is free."""
    two = body | lowered(body, 1)
    four = two | lowered(two, 2)
    return four | lowered(four, TALL - 4)


def _cells(places: Bool) -> Bool:
    """Cells in which there is one of some places [X, Y, 4Z]."""
    return np.asarray(np.ascontiguousarray(places).view(np.uint32) > 0)


def access(voxels: Voxels, way: Walk) -> Verdict:
    """Three rules: [1] the gate; [2] every walkable room; [3] beside every fitting."""
    x, y, z4 = voxels.about.gate
    if not way.reached.any():
        gate = Finding(
            check=NAME, where=((x, y, z4 // SUB),), count=1, sentence="nobody can stand at the gate"
        )
        return Verdict(check=NAME, findings=(gate,), evidence="no walk was possible")
    return Verdict(
        check=NAME,
        findings=(*_rooms(voxels, way), *_fittings(voxels, way)),
        evidence=f"{int(way.reached.sum())} cells reached of {int(way.could.sum())} in which one can stand",
    )


def _rooms(voxels: Voxels, way: Walk) -> tuple[Finding, ...]:
    found: list[Finding] = []
    visited = set(voxels.room[way.reached].tolist())
    for entry in voxels.about.rooms:
        if entry.walkable and entry.id not in visited:
            sentence = f"room {entry.id} ({entry.kind}) cannot be reached from the gate"
            found += finding(NAME, voxels.room == entry.id, sentence) or (
                Finding(
                    check=NAME,
                    where=(),
                    count=0,
                    sentence=f"room {entry.id} ({entry.kind}) has no cells",
                ),
            )
    return tuple(found)


def _fittings(voxels: Voxels, way: Walk) -> tuple[Finding, ...]:
    """RULE 3: each group of touching pieces has a reached cell beside it, at most a cell up or down."""
    pieces = voxels.set_by("fittings")
    groups = cc3d.connected_components(pieces, connectivity=6)
    level = way.reached | moved(way.reached, 2, 1) | moved(way.reached, 2, -1)
    near = level | beside(level)
    served = np.zeros(int(groups.max()) + 1, dtype=bool)
    served[groups[near]] = True
    served[0] = True
    return finding(NAME, ~served[groups], "a fitting cannot be reached")
