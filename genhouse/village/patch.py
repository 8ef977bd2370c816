"""What an inspector sees of one piece of a village: who can walk where in it, what hangs together, how
high its ground is.  It knows the cells and the tables beside them, and nothing of how they came there.

Out of doors whole columns are trodden: a body is a cell square, seven quarters tall, and goes up or down
two quarters at a step.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.forms import SUB, shapes
from genhouse.village.bill import Counted, counted
from genhouse.village.cells import Box, Cells
from genhouse.village.together import Ints, Masks, bodies_of, joined, where

TALL, CLIMB = 7, 2
"""Quarters that a body needs over its feet; that it goes up or down a step."""
GROUND = ("land", "water", "lane", "terrace")
"""Stages that set ground."""
STEPS = ((1, 0), (-1, 0), (0, 1), (0, -1))


class House(Struct, frozen=True, kw_only=True):
    """What the tables tell of a house.  origin, size: of its cells.  gate: x, y, quarters up, of the map.
    pieces: how many it is of.  rooms: as the store tells them."""

    number: int
    origin: tuple[int, int, int]
    size: tuple[int, int, int]
    gate: tuple[int, int, int]
    pieces: int
    rooms: tuple[dict[str, Any], ...]

    @property
    def rect(self) -> Box:
        (x, y, _), (wide, deep, _) = self.origin, self.size
        return x, y, x + wide, y + deep


class Tables(Struct, frozen=True, kw_only=True):
    """size: of the map.  materials, stages: as the store tells them."""

    size: tuple[int, int, int]
    materials: tuple[dict[str, Any], ...]
    stages: tuple[str, ...]
    houses: tuple[House, ...]

    @classmethod
    def of(cls, about: Mapping[str, Any], rows: Sequence[Mapping[str, Any]]) -> Tables:
        """From the attributes of a store and the rows of a roster."""
        told = {entry["house"]: entry for entry in about["houses"]}
        return cls(
            size=tuple(about["size"]),
            materials=tuple(about["materials"]),
            stages=tuple(about["stages"]),
            houses=tuple(
                House(
                    number=int(row["house"]),
                    origin=tuple(told[int(row["house"])]["origin"]),
                    size=tuple(told[int(row["house"])]["size"]),
                    gate=(int(row["gate_x"]), int(row["gate_y"]), int(row["gate_z4"])),
                    pieces=int(row["pieces"]),
                    rooms=tuple(told[int(row["house"])]["rooms"]),
                )
                for row in rows
            ),
        )

    def flag(self, name: str) -> Masks:
        return np.array([bool(entry.get(name)) for entry in self.materials])


class Side(Struct, frozen=True, kw_only=True):
    """The outermost columns on one side of a piece, from low to high.

    form, body: of each of their cells, [L, Z].  along, up, label, rise: of each place to stand.
    """

    form: npt.NDArray[np.uint16]
    body: Ints
    along: Ints
    up: Ints
    label: Ints
    rise: Ints


class Patch(Struct, frozen=True, kw_only=True):
    """One piece.  high: quarters up to the top of each column's ground.  wet, lane: columns with water, and
    of lanes.  bodies, labels: how many there are.  loose: a cell of each body that is not on the ground
    here.  sides: west, east, south, north.  gates: label at each house's gate that lies in it, 0 where
    nobody can stand.  counts: pieces by house.  bill: of what all is.  wrong: cells whose numbers
    are of nothing.
    """

    box: Box
    high: npt.NDArray[np.int16]
    wet: Masks
    lane: Masks
    bodies: int
    labels: int
    loose: tuple[tuple[int, tuple[int, int, int], int], ...]
    sides: tuple[Side, ...]
    gates: tuple[tuple[int, int], ...]
    counts: tuple[tuple[int, int], ...]
    bill: Counted
    wrong: tuple[tuple[int, int, int], ...]


def patch(tables: Tables, box: Box, found: Cells) -> Patch:
    """Look a piece over."""
    liquid = tables.flag("liquid")
    astray = found.material >= len(tables.materials)
    wrong = ((found.form > 0) != (found.material > 0)) | astray | (found.form >= len(shapes()))
    if wrong.any():
        found = _without(found, wrong)
    wet = liquid[found.material]
    body, bodies, loose = bodies_of(np.where(wet, 0, found.form))
    low, high = _layers(found.form)
    stand, number, rise, labels = _labels(tables, found, wet, low, high)
    of = {name: n for n, name in enumerate(tables.stages)}
    ground = np.isin(found.stage, [of[name] for name in GROUND]) & (found.form > 0)
    x0, y0, x1, y1 = box
    gates = []
    for house in tables.houses:
        x, y, z4 = house.gate
        if x0 <= x < x1 and y0 <= y < y1:
            up = z4 - SUB * low
            inside = 0 <= up < number.shape[2]
            gates.append((house.number, int(number[x - x0, y - y0, up]) if inside else 0))
    counts = np.bincount(found.house[found.form > 0])
    corner = np.array([x0, y0, 0])
    return Patch(
        box=box,
        high=_high(found, ground),
        wet=(wet & (found.stage == of["water"])).any(axis=2),
        lane=((found.stage == of["lane"]) & (found.form > 0)).any(axis=2),
        bodies=bodies,
        labels=labels,
        loose=tuple((n, tuple((at + corner).tolist()), many) for n, at, many in loose),
        sides=tuple(
            _side(part, found.form * ~wet, body, stand, number, rise, SUB * low)
            for part in ((0, 0), (0, -1), (1, 0), (1, -1))
        ),
        gates=tuple(gates),
        counts=tuple((n, int(counts[n])) for n in np.flatnonzero(counts).tolist() if n),
        bill=counted(found),
        wrong=tuple(map(tuple, (np.argwhere(wrong) + corner).tolist())),
    )


def _without(found: Cells, wrong: Masks) -> Cells:
    return Cells(
        **{
            name: np.where(wrong, 0, getattr(found, name)).astype(getattr(found, name).dtype)
            for name in ("material", "form", "stage", "house", "room")
        }
    )


def _high(found: Cells, ground: Masks) -> npt.NDArray[np.int16]:
    layers = shapes().any(axis=(1, 2)).sum(axis=1)
    top = ground.shape[2] - 1 - ground[:, :, ::-1].argmax(axis=2)
    form = np.take_along_axis(found.form, top[:, :, None], axis=2)[:, :, 0]
    return np.where(ground.any(axis=2), SUB * top + layers[form], 0).astype(np.int16)


def _layers(form: npt.NDArray[np.uint16]) -> tuple[int, int]:
    """Layers in and on which one might stand: neither buried throughout nor clear over all there is."""
    whole: Masks = np.asarray(shapes().all(axis=(1, 2, 3)))
    buried = int(np.logical_and.accumulate(whole[form].all(axis=(0, 1))).sum())
    top = int(np.flatnonzero(form.any(axis=(0, 1))).max(initial=0))
    return max(0, buried - 1), min(form.shape[2], top + 2)


def _labels(
    tables: Tables, found: Cells, wet: Masks, low: int, high: int
) -> tuple[Ints, Ints, Ints, int]:
    """Places to stand, [N, 3] in cells and quarters; the label of each in its place; how far up one may
    step from each; and how many labels there are.  Labels begin at 2, quarters at the lowest layer."""
    form, stuff, wet = (
        found.form[:, :, low:high],
        found.material[:, :, low:high],
        wet[:, :, low:high],
    )
    filled: Masks = np.asarray(shapes().any(axis=(1, 2)))
    wide, deep, layers = form.shape
    shape = (wide, deep, SUB * layers)
    shut = ~tables.flag("passable")[stuff]
    blocked = filled[form] & shut[..., None]
    flood = (blocked & wet[..., None]).reshape(shape)
    tall = np.zeros((wide, deep, SUB * layers + TALL + CLIMB), dtype=bool)
    tall[:, :, : SUB * layers] = blocked.reshape(shape)
    stand = np.zeros(shape, dtype=bool)
    stand[:, :, 1:] = tall[:, :, : SUB * layers - 1] & ~flood[:, :, :-1]
    stand &= ~_any(tall, TALL)[:, :, : SUB * layers]
    at = where(stand).astype(np.int32)
    x, y, z = at.T
    over = [~tall[x, y, z + TALL + n] for n in range(CLIMB)]
    rise = np.asarray(over[0] * (1 + over[1].astype(np.int32)))
    number = np.zeros(shape, dtype=np.int32)
    number[x, y, z] = np.arange(2, 2 + len(at))
    pairs = [(np.zeros(0, dtype=np.int32),) * 2]
    for dx, dy in STEPS:
        for up in range(CLIMB + 1):
            i, j, k = x + dx, y + dy, z + up
            inside = (i >= 0) & (j >= 0) & (i < wide) & (j < deep) & (k < shape[2]) & (rise >= up)
            a = number[x[inside], y[inside], z[inside]]
            b = number[i[inside], j[inside], k[inside]]
            pairs.append((a[b > 0], b[b > 0]))
    part, count = joined(pairs, 2 + len(at))
    number[x, y, z] = part[number[x, y, z]]
    return at, number, rise, count


def _any(filled: Masks, many: int) -> Masks:
    """Whether any is filled of so many upward from each; by twos, fours and so on."""
    found, reach = filled, 1
    while reach < many:
        step = min(reach, many - reach)
        found, reach = found[:, :, :-step] | found[:, :, step:], reach + step
    return found


def _side(
    side: tuple[int, int],
    form: npt.NDArray[np.uint16],
    body: Ints,
    stand: Ints,
    number: Ints,
    rise: Ints,
    base: int,
) -> Side:
    axis, end = side
    edge = 0 if end == 0 else form.shape[axis] - 1
    own = stand[:, axis] == edge
    places = stand[own]
    return Side(
        form=np.ascontiguousarray(form.take(edge, axis=axis)),
        body=np.ascontiguousarray(body.take(edge, axis=axis)),
        along=places[:, 1 - axis],
        up=places[:, 2] + base,
        label=number[tuple(places.T)],
        rise=rise[own],
    )
