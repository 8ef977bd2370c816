"""A real house's arrays, to be changed by hand, and places in it found by what stands there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache

import networkx as nx
import numpy as np

from genhouse.core.box import Rect
from genhouse.core.forms import NUMBER
from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe, RoofWish, Sides
from genhouse.model.digests import digests
from genhouse.model.elements import Wall
from genhouse.model.record import Record
from genhouse.model.room import Room
from genhouse.model.voxels import Voxels
from tests.houses import TIMBER, cells, rows

Cell = tuple[int, int, int]
Rows = list[tuple[str, str, str, int]]
LOW, HIGH = TIMBER.storeys
ARRAYS = ("material", "form", "stage", "room")
AROUND = [(i, j) for i in (-1, 0, 1) for j in (-1, 0, 1) if i or j]


GABLED = RoofWish(form="gable", profile="steepening", dormers=0)


@cache
def subject() -> House:
    """The house in which faults are planted: with a front wing, a pond and a gable to each side."""
    return make(
        Recipe(
            seed=26,
            brief=Brief(
                plot=(27, 36),
                gate="south",
                arrangement="ring",
                storeys=2,
                low=(),
                garden="pond",
                roof=GABLED,
            ),
        )
    )


@cache
def neighboured() -> House:
    """A house whose left wing stands on the edge to a neighbour."""
    brief = Brief(plot=(25, 34), gate="south", arrangement="ring", sides=Sides(west="party"))
    return make(Recipe(seed=26, brief=replace(brief, storeys=1, closed=4)))


class Edit:
    """The arrays of the house, to be changed; rows: its materials list, counted anew unless set.  record:
    what they are held to.  outline: corners of its plot.
    """

    def __init__(self, house: House | None = None) -> None:
        self.house = house or subject()
        self.plan = self.house.plan
        self.arrays = {name: getattr(self.house.voxels, name).copy() for name in ARRAYS}
        self.about = self.house.voxels.about
        self.rows: Rows | None = None
        self.record: Record | None = None
        self.outline: tuple[tuple[int, int], ...] = ()

    def set(self, where: Iterable[Cell], material: str, form: str, stage: str) -> None:
        names = [m.name for m in self.about.materials]
        for at in where:
            self.arrays["material"][at] = names.index(material)
            self.arrays["form"][at] = NUMBER[form]
            self.arrays["stage"][at] = self.about.stages.index(stage)

    def clear(self, where: Iterable[Cell]) -> None:
        self.set(where, "air", "air", "air")

    def wall(self, where: Iterable[Cell]) -> None:
        self.set(where, "lime plaster", "whole", "walls")

    def solid(self, at: Cell) -> bool:
        return bool(self.arrays["form"][at])

    def told(self, **words: object) -> None:
        self.about = replace(self.about, **words)  # type: ignore[arg-type]

    def voxels(self) -> Voxels:
        for array in self.arrays.values():
            array.flags.writeable = False
        return Voxels(**self.arrays, shapes=self.house.voxels.shapes, about=self.about)

    def hold(self) -> None:
        """Hold the cells to the house as it was, as if it had been saved."""
        whole = self.house.voxels
        stages, digest = digests(whole)
        self.record = Record(told=whole, stages=stages, whole=digest)

    def list(self) -> Rows:
        return rows(self.voxels()) if self.rows is None else self.rows


def up(cell: tuple[int, int], low: int, high: int) -> list[Cell]:
    return [(*cell, z) for z in range(low, high)]


def ways(edit: Edit, room: Room) -> list[Wall]:
    """The openings that lead into a room."""
    here = [s for s in edit.plan.segments if s.level == room.level and room.id in (s.low, s.high)]
    return [s for s in here if s.passable and s.way is not None]


def aside(edit: Edit, level: int) -> Room:
    """A room of a storey that no other is reached through, and which no stair touches."""
    graph = nx.Graph(
        [(s.low, s.high) for s in edit.plan.segments if s.passable and s.level == level]
    )
    stair = edit.plan.stairs[0].run[0].hull(edit.plan.stairs[0].run[-1])
    for room in edit.plan.rooms:
        if (
            room.indoor
            and room.level == level
            and not room.rect.meet(stair).area
            and room.kind != "entry"
        ):
            rest = graph.copy()
            rest.remove_node(room.id)
            rest.remove_nodes_from([0])
            if nx.number_connected_components(rest) == 1 or level == 1:
                return room
    raise LookupError("no room lies aside")


def shut(edit: Edit, room: Room, low: int, high: int) -> None:
    """Wall up every way into a room from one layer to another."""
    for s in ways(edit, room):
        assert s.way is not None
        edit.wall(at for cell in s.way.cells() for at in up(cell, low, high))


def roof_column(edit: Edit, cell: tuple[int, int]) -> list[Cell]:
    roof = edit.about.stages.index("roof")
    column = edit.arrays["stage"][cell]
    return [(*cell, int(z)) for z in np.flatnonzero(column == roof)]


def upper_cells(edit: Edit, margin: int = 1) -> Iterator[tuple[int, int]]:
    """Cells of upper rooms a little away from their walls, from the flue and from what hangs there."""
    flue = {c[:2] for c in cells(edit.house, "flue")}
    lamps = edit.about.stages.index("lamps")
    for room in edit.plan.rooms:
        if room.level == 2 and room.indoor:
            for x, y in room.rect.grown(-margin).cells():
                hung = (
                    edit.arrays["stage"][x - 1 : x + 2, y - 1 : y + 2, room.floor :] == lamps
                ).any()
                if not hung and all((x + i, y + j) not in flue for i, j in [*AROUND, (0, 0)]):
                    yield x, y


def empty_spot(edit: Edit, z: int) -> tuple[int, int]:
    """A garden cell with nothing round it in this layer, nor above and below it."""
    court = next(r for r in edit.plan.rooms if r.kind == "court")
    for x, y in court.rect.grown(-1).cells():
        box = edit.arrays["form"][x - 1 : x + 2, y - 1 : y + 2, z - 1 : z + 2]
        if not box.any():
            return x, y
    raise LookupError("no empty spot in the garden")


def roles(edit: Edit) -> list[str]:
    return [role for role, _ in edit.plan.palette.roles]


def pieces(edit: Edit, where: Rect) -> list[Cell]:
    fittings = cells(edit.house, *roles(edit), stage="fittings")
    return [c for c in fittings if where.has(*c[:2])]


def reaches(edit: Edit, at: Cell) -> bool:
    """Whether what is in a cell may touch what is beside it: all but thin panels and leaves."""
    piece = edit.about.forms[edit.arrays["form"][at]].piece
    return piece not in ("air", "infill", "lattice", "leaf near", "leaf far", "leaf pair")


def material_of(edit: Edit, role: str) -> str:
    """What a role is made of in this house."""
    return dict(edit.plan.palette.roles)[role].name
