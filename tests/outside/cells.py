"""What always holds of the cells: they stand, hold water, and keep rain and sky out."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from tests.outside.neighbours import neighbours
from tests.outside.tables import DTYPES, SUB, Arrays, Bits, Finding, some


def _fine(cells: npt.NDArray[Any]) -> npt.NDArray[Any]:
    """Each cell's value on all its sub-cells: [4X, 4Y, 4Z]."""
    x, y, z = cells.shape
    whole = np.broadcast_to(cells[:, None, :, None, :, None], (x, SUB, y, SUB, z, SUB))
    return whole.reshape(SUB * x, SUB * y, SUB * z)


class House:
    """Arrays whose tables are in order, with what several checks share."""

    def __init__(self, arrays: Arrays) -> None:
        self.material, self.form, self.stage, self.room = (arrays[key] for key in DTYPES)
        self.shapes = arrays["shapes"]
        self.about = json.loads(str(arrays["about"]))

    def flag(self, name: str) -> Bits:
        """Sub-cells of materials that carry this flag."""
        flags = np.array([bool(m.get(name, False)) for m in self.about["materials"]])
        return np.asarray(self.filled & _fine(flags[self.material]))

    def of_stage(self, name: str) -> Bits:
        """Cells that this stage set; none where there is no such stage."""
        numbers = [n for n, known in enumerate(self.about["stages"]) if known == name]
        return np.isin(self.stage, numbers) & (self.material > 0)

    @cached_property
    def filled(self) -> Bits:
        x, y, z = self.form.shape
        parts = self.shapes[self.form].transpose(0, 3, 1, 4, 2, 5)
        return parts.reshape(SUB * x, SUB * y, SUB * z)

    @cached_property
    def liquid(self) -> Bits:
        return self.flag("liquid")

    @cached_property
    def solid(self) -> Bits:
        return self.filled & ~self.liquid

    @cached_property
    def indoor(self) -> Bits:
        """Cells of indoor rooms."""
        return np.isin(self.room, [r["id"] for r in self.about["rooms"] if r["indoor"]])


def cells(house: House) -> list[Finding]:
    """Every finding in the cells that needs no walking."""
    checks = (_standing, _water, _rain, _sky, _floors, _open, neighbours)
    return [f for check in checks for f in check(house)]


def beyond(house: House, corners: Sequence[Sequence[int]]) -> Iterator[Finding]:
    """Nothing lies beyond the outline of the plot: who goes from a cell due west, from its middle, crosses
    that an odd number of times where the cell is within."""
    if not corners:
        return
    x, y = (np.arange(n) + 0.5 for n in house.form.shape[:2])
    crossed = np.zeros((len(x), len(y)), dtype=int)
    for (x0, y0), (x1, y1) in zip(corners, [*corners[1:], corners[0]], strict=True):
        if x0 == x1:
            crossed += np.outer(x > x0, (y > min(y0, y1)) & (y < max(y0, y1)))
    off = ((house.material > 0) | (house.room > 0)) & (crossed % 2 == 0)[:, :, None]
    if off.any():
        yield Finding("outline", some(off), "something lies beyond the outline of the plot")


def _floors(house: House) -> Iterator[Finding]:
    """Something lies under the lowest cell of each column of a walkable room, or, in the well of a stair,
    a piece of that further down."""
    walkable = np.isin(house.room, [r["id"] for r in house.about["rooms"] if r["walkable"]])
    lowest = walkable[:, :, 1:] & (house.room[:, :, 1:] != house.room[:, :, :-1])
    stair = np.logical_or.accumulate(house.of_stage("stair"), axis=2)
    gap = lowest & (house.material[:, :, :-1] == 0) & ~stair[:, :, :-1]
    if gap.any():
        yield Finding("floors", some(np.pad(gap, ((0, 0), (0, 0), (1, 0)))), "a floor has a hole")


def _open(house: House) -> Iterator[Finding]:
    """Beside an indoor cell, below the eaves, what belongs to no room is a piece or part of an opening: two
    free cells high at least, on a piece, and toward the open air with a leaf beside it, but for rooms that
    are told to stand open."""
    free = house.material == 0
    leaves = np.array([bool(m.get("passable", False)) for m in house.about["materials"]])
    leaf = leaves[house.material]
    high = np.pad(free[:, :, 1:], ((0, 0), (0, 0), (0, 1)))
    high |= np.pad(free[:, :, :-1], ((0, 0), (0, 0), (1, 0)))
    told = [r["id"] for r in house.about["rooms"] if r.get("open")]
    airy = np.isin(house.room, told)
    for axis in (0, 1):
        sides = [_beside(house.indoor, axis, by) for by in (1, -1)]
        open_ = _beside(airy, axis, 1) | _beside(airy, axis, -1)
        gap = (sides[0] | sides[1]) & free & (house.room == 0)
        gap[:, :, house.about["eaves"] :] = False
        hung = _beside(leaf, 1 - axis, 1) | _beside(leaf, 1 - axis, -1)
        for _ in range(2):  # a leaf is at most two free cells away
            hung |= free & (_beside(hung & free, 1 - axis, 1) | _beside(hung & free, 1 - axis, -1))
        holes = gap & ~(high & (hung | open_ | (sides[0] & sides[1])))
        if holes.any():
            yield Finding("open", some(holes), "a room's wall has a hole")
            return


def _beside(cells: Bits, axis: int, by: int) -> Bits:
    """Cells whose neighbour along an axis is one of some."""
    moved = np.zeros_like(cells)
    line, to = np.moveaxis(cells, axis, 0), np.moveaxis(moved, axis, 0)
    to[max(0, by) : len(to) + min(0, by)] = line[max(0, -by) : len(to) + min(0, -by)]
    return moved


def _standing(house: House) -> Iterator[Finding]:
    """All but water hangs together, face to face, with what lies in the lowest layer."""
    pieces, count = ndimage.label(house.solid)
    grounded = np.zeros(count + 1, dtype=bool)
    grounded[pieces[:, :, 0]] = True
    grounded[0] = True
    loose = ~grounded[pieces]
    if loose.any():
        sentence = f"{np.count_nonzero(~grounded)} bodies do not hang together with the ground"
        yield Finding("standing", some(loose, SUB), sentence)


def _water(house: House) -> Iterator[Finding]:
    """Each liquid sub-cell has something solid or liquid below it and on its four sides."""
    held = np.pad(house.filled, ((1, 1), (1, 1), (0, 0)))
    held = np.pad(held, ((0, 0), (0, 0), (1, 0)), constant_values=True)
    sides = held[:-2, 1:-1, 1:] & held[2:, 1:-1, 1:] & held[1:-1, :-2, 1:] & held[1:-1, 2:, 1:]
    spilt = house.liquid & ~(sides & held[1:-1, 1:-1, :-1])
    if spilt.any():
        yield Finding("water", some(spilt, SUB), "water has nothing beside or below to hold it")


def _rain(house: House) -> Iterator[Finding]:
    covered = np.logical_or.accumulate(house.solid[:, :, ::-1], axis=2)[:, :, ::-1]
    wet = _fine(house.indoor) & ~covered
    if wet.any():
        yield Finding("rain", some(wet, SUB), "rain from straight above reaches an indoor cell")


def _sky(house: House) -> Iterator[Finding]:
    """From the eaves up, the sky keeps out of the roof: face to face, then round corners too."""
    low = SUB * house.about["eaves"]
    inside = (_void(house) | _lofty(house))[:, :, low:]
    air = np.pad(~house.solid[:, :, low:], ((1, 1), (1, 1), (0, 1)), constant_values=True)
    for check, across, touch in (("sky", 1, "faces"), ("corners", 3, "edges or corners")):
        flood, _ = ndimage.label(air, ndimage.generate_binary_structure(3, across))
        leak = (flood == flood[0, 0, -1])[1:-1, 1:-1, :-1] & inside
        if leak.any():
            where = tuple((x, y, z + house.about["eaves"]) for x, y, z in some(leak, SUB))
            yield Finding(check, where, f"the sky meets the air under the roof through {touch}")
            return


def _void(house: House) -> Bits:
    """Air sub-cells of no room, over an indoor room and under the roof that first covers it.

    What lies over the open floor of another room, above that one, is no void.
    """
    cells = house.of_stage("roof") if "roof" in house.about["stages"] else house.material > 0
    roof = house.solid & _fine(cells)
    passed = np.cumsum(roof, axis=2, dtype=np.int16)
    layers = np.arange(passed.shape[2])
    last = np.maximum.accumulate(np.where(_fine(house.room > 0), layers, 0), axis=2)
    over = np.take_along_axis(_fine(house.indoor), last, axis=2)
    at_room = np.where(over, np.take_along_axis(passed, last, axis=2), np.int16(-1))
    air = ~house.solid & _fine(house.room == 0)
    return np.asarray(air & (passed == at_room) & (passed < passed[:, :, -1:]))


def _lofty(house: House) -> Bits:
    """Air of those indoor rooms that begin below the eaves; higher rooms may have windows."""
    low = np.unique(house.room[:, :, : house.about["eaves"]])
    return _fine(house.indoor & np.isin(house.room, low)) & ~house.solid
