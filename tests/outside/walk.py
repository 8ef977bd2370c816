"""What always holds on foot: from the gate to every room and beside every fitting."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
from scipy import ndimage, sparse
from scipy.sparse import csgraph

from tests.outside.cells import House
from tests.outside.tables import SUB, Bits, Finding, some

TALL = 7
"""Quarters that a body needs above its feet."""
CLIMB = 2
"""Quarters up or down a step."""


def reached(house: House) -> npt.NDArray[np.int64] | None:
    """Places in quarters of a cell [N, 3] that a visitor gets to; None if nobody stands at the gate."""
    x, y, z4 = house.about["gate"]
    stand, clear = _footing(house)
    if not stand[SUB * x, SUB * y, z4]:
        return None
    return _reached(stand, clear, (SUB * x, SUB * y, z4))


def walk(house: House, reached: npt.NDArray[np.int64] | None) -> Iterator[Finding]:
    """Each walkable room is reached, and each fitting can be stood beside."""
    if reached is None:
        x, y, z4 = house.about["gate"]
        yield Finding("gate", ((x, y, z4 // SUB),), f"nobody can stand at the gate {x, y, z4}")
        return
    trod = _trod(house, reached)
    ids = set(_rooms_of(house, reached).tolist())
    for room in house.about["rooms"]:
        name = f"room {room['id']} ({room['kind']})"
        if room["walkable"] and room["id"] not in ids:
            where = some(house.room == room["id"])[:1]
            yield Finding("rooms", where, f"{name} cannot be reached on foot from the gate")
        elif room["walkable"]:
            for group in _lonely(house, room["id"], trod):
                yield Finding("fittings", some(group), f"nobody can stand by a fitting of {name}")


def _spread(cells: Bits) -> Bits:
    """Whether anything is under the 4 x 4 footprint whose low corner is here: [X-3, Y-3, Z]."""
    cells = cells[:-1] | cells[1:]
    cells = cells[:-2] | cells[2:]
    cells = cells[:, :-1] | cells[:, 1:]
    return cells[:, :-2] | cells[:, 2:]


def _above(cells: Bits, low: int, high: int) -> Bits:
    """Whether anything is from ``low`` up to, not including, ``high`` sub-cells above here."""
    deep = cells.shape[2]
    found = np.zeros_like(cells)
    for k in range(low, high):
        found[:, :, : deep - k] |= cells[:, :, k:]
    return found


def _footing(house: House) -> tuple[Bits, dict[int, Bits]]:
    """Where feet can stand, and what is clear for 7, 8 and 9 quarters, by (x4, y4, z4)."""
    sky = ((0, 0), (0, 0), (0, TALL + CLIMB + 1))
    block = _spread(np.pad(house.solid & ~house.flag("passable"), sky))
    flood = _spread(np.pad(house.liquid, sky))
    clear = {TALL: ~_above(block, 0, TALL)}
    for n in range(TALL, TALL + CLIMB):
        clear[n + 1] = clear[n] & ~_above(block, n, n + 1)
    stand = clear[TALL] & ~_above(flood, 1, TALL)
    stand[:, :, 1:] &= block[:, :, :-1]
    stand[:, :, 0] = False
    return stand, clear


def _reached(
    stand: Bits, clear: dict[int, Bits], start: tuple[int, int, int]
) -> npt.NDArray[np.int64]:
    """Every standing position reached from the start: [n, 3]."""
    number = np.zeros(stand.shape, dtype=np.int32)
    places = np.argwhere(stand)
    number[stand] = np.arange(len(places))
    links = [pair for axis in (0, 1) for pair in _links(stand, clear, number, axis)]
    a, b = (np.concatenate(ends) for ends in zip(*links, strict=True))
    graph = sparse.coo_array((np.ones(len(a), dtype=bool), (a, b)), shape=(len(places),) * 2)
    body = csgraph.connected_components(graph, directed=False)[1]
    return np.asarray(places[body == body[number[start]]])


def _links(
    stand: Bits, clear: dict[int, Bits], number: npt.NDArray[np.int32], axis: int
) -> Iterator[tuple[npt.NDArray[np.int32], npt.NDArray[np.int32]]]:
    """Neighbouring positions; the lower one must be clear up to the head of the higher one."""
    ends = [(slice(None),) * axis + (part,) for part in (slice(None, -1), slice(1, None))]
    deep = stand.shape[2]
    for low, high in (ends, ends[::-1]):
        for rise in range(CLIMB + 1):
            below, above = np.s_[:, :, : deep - rise], np.s_[:, :, rise:]
            step = (stand & clear[TALL + rise])[low][below] & stand[high][above]
            yield number[low][below][step], number[high][above][step]


def _rooms_of(house: House, places: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    """The room that holds the whole of a body at each place, or 0."""
    room = np.pad(house.room, ((0, 0), (0, 0), (0, SUB)))
    x, y, h = places.T
    held = room[x // SUB, y // SUB, h // SUB].astype(np.int64)
    whole = np.ones(len(held), dtype=bool)
    for dx, dy, dz in np.ndindex(2, 2, 3):
        whole &= room[(x + 3 * dx) // SUB, (y + 3 * dy) // SUB, (h + 3 * dz) // SUB] == held
    return np.where(whole, held, 0)


def _trod(house: House, places: npt.NDArray[np.int64]) -> npt.NDArray[np.uint16]:
    """By x, y and height in quarters: the room of cells that a body's feet are in, or 0."""
    room = np.pad(np.repeat(house.room, SUB, axis=2), ((0, 0), (0, 0), (0, SUB)))
    trod = np.zeros(room.shape, dtype=bool)
    for dx, dy in np.ndindex(2, 2):
        trod[(places[:, 0] + 3 * dx) // SUB, (places[:, 1] + 3 * dy) // SUB, places[:, 2]] = True
    return np.where(trod, room, 0).astype(np.uint16)


def _lonely(house: House, room: int, trod: npt.NDArray[np.uint16]) -> Iterator[Bits]:
    """Groups of fittings that nobody can stand beside: in the same room, in a cell round it, with
    feet from two cells below its base to half a cell above its top.
    """
    groups, count = ndimage.label(house.of_stage("fittings") & (house.room == room))
    for n in range(1, count + 1):
        group = groups == n
        heights = np.flatnonzero(group.any(axis=(0, 1))) * SUB
        near = ndimage.binary_dilation(group.any(axis=2), np.ones((3, 3), dtype=bool))
        feet = trod[near, max(0, heights[0] - 2 * SUB) : heights[-1] + SUB + CLIMB + 1]
        if not (feet == room).any():
            yield group
