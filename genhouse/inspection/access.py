"""Access: a visitor walks from the gate to every room and beside every fitting.

A body is one cell square and seven quarter-cells tall; it goes up or down half a cell at a step,
opens what can be opened, and does not wade.  Its possible places are marked once: where it stands,
and up to half a cell above, wherever nothing is in the way.  Two neighbouring places of that set are
one step apart, whichever of them is higher, so one labelling by faces answers every question.
"""

from __future__ import annotations

from dataclasses import dataclass

import cc3d
import numpy as np

from genhouse.inspection.subcells import SUB, Bool, Subcells
from genhouse.inspection.verdict import Finding, Verdict, finding
from genhouse.model.voxels import Voxels

NAME = "access"
TALL, CLIMB = 7, 2
"""Height of a body and of a step, in quarter-cells."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """reached: bool [X, Y, Z], cells in which a visitor from the gate can stand square.

    could: the same for anyone, from anywhere.
    """

    reached: Bool
    could: Bool


def walk(voxels: Voxels, sub: Subcells) -> Walk:
    """Where a visitor gets to."""
    body = _under_feet(sub.blocked)
    free = ~_tall(body)
    stand = np.zeros_like(free)
    stand[:, :, 1:] = free[:, :, 1:] & body[:, :, :-1]
    stand[:, :, :-1] &= ~_under_feet(sub.liquid)[:, :, 1:]
    hover = stand.copy()
    hover[:, :, 1:] |= free[:, :, 1:] & stand[:, :, :-1]
    hover[:, :, 2:] |= free[:, :, 2:] & free[:, :, 1:-1] & stand[:, :, :-2]
    labels = cc3d.connected_components(hover, connectivity=6)
    x, y, z4 = voxels.about.gate
    inside = (
        0 <= x < sub.indoor.shape[0] and 0 <= y < sub.indoor.shape[1] and 0 <= z4 < labels.shape[2]
    )
    place = (SUB * x, SUB * y, z4)
    here = int(labels[place]) if inside and stand[place] else 0
    reached = stand & (labels == here) if here else np.zeros_like(stand)
    return Walk(reached=_square(reached), could=_square(stand))


def _under_feet(solid: Bool) -> Bool:
    """Whether a body's square, from each place on, touches something: bool [4X - 3, 4Y - 3, 4Z]."""
    pairs = solid[:-1] | solid[1:]
    rows = pairs[:-2] | pairs[2:]
    pairs = rows[:, :-1] | rows[:, 1:]
    return pairs[:, :-2] | pairs[:, 2:]


def _tall(body: Bool) -> Bool:
    """Whether any of a body's seven quarters, from each height on, touches something; the sky is free."""
    high = np.pad(body, ((0, 0), (0, 0), (0, TALL - 1)))
    two = high[:, :, :-1] | high[:, :, 1:]
    four = two[:, :, :-2] | two[:, :, 2:]
    return four[:, :, : body.shape[2]] | four[:, :, 3 : 3 + body.shape[2]]


def _square(places: Bool) -> Bool:
    """Places that fill a cell's square, by cell."""
    aligned = places[::SUB, ::SUB]
    x, y, z = aligned.shape
    return np.asarray(aligned.reshape(x, y, z // SUB, SUB).any(axis=3))


def access(voxels: Voxels, sub: Subcells, way: Walk) -> Verdict:
    """Three rules: [1] the gate; [2] every walkable room; [3] beside every fitting indoors."""
    x, y, z4 = voxels.about.gate
    if not way.reached.any():
        gate = Finding(
            check=NAME, where=((x, y, z4 // SUB),), count=1, sentence="nobody can stand at the gate"
        )
        return Verdict(check=NAME, findings=(gate,), evidence="no walk was possible")
    return Verdict(
        check=NAME,
        findings=(*_rooms(voxels, way), *_fittings(voxels, sub, way)),
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


def _fittings(voxels: Voxels, sub: Subcells, way: Walk) -> tuple[Finding, ...]:
    """RULE 3: each group of touching pieces has a reached cell beside it, at most a cell up or down."""
    pieces = (voxels.stage == voxels.about.stages.index("fittings")) & sub.indoor
    groups = cc3d.connected_components(pieces, connectivity=6)
    beside = way.reached.copy()
    beside[:, :, 1:] |= way.reached[:, :, :-1]
    beside[:, :, :-1] |= way.reached[:, :, 1:]
    near = beside.copy()
    near[1:] |= beside[:-1]
    near[:-1] |= beside[1:]
    near[:, 1:] |= beside[:, :-1]
    near[:, :-1] |= beside[:, 1:]
    served = np.zeros(int(groups.max()) + 1, dtype=bool)
    served[groups[near]] = True
    served[0] = True
    return finding(NAME, ~served[groups], "a fitting cannot be reached")
