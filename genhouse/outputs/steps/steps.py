"""The order of building as one frozen value: what is set in which step, run after run.

A builder who sets the runs in their order never sets a piece in the air: each touches the ground or one
that stands, face to face.  What touches nothing yet waits for the next step of its building stage; what
still hangs at the stage's end is propped, and its props are struck once it holds by itself.  Within a
step one works from the south-west corner outward, layer by layer or room by room, along rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.kept import fixed
from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.steps._assign import assigned, sooner
from genhouse.outputs.steps._contact import contacts
from genhouse.outputs.steps._order import Run, Site
from genhouse.outputs.steps._props import Props
from genhouse.outputs.steps.parts import parts_of_cells
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.work import Work

AXES = "xyz"
PROP = "prop"
"""Material and piece of a temporary support."""


class Row(Struct, frozen=True, gc=False):
    """A run of equal pieces, as ``steps.csv`` has it.

    step: its number, from 1.  order: of the row among all, from 1.  run: cells along ``axis`` from x,
    y, z. room: whose volume they belong to, 0 for none.  support: ``set`` or ``struck`` where they are
    temporary.
    """

    step: int
    order: int
    x: int
    y: int
    z: int
    run: int
    axis: str
    material: str
    piece: str
    form: str
    room: int
    support: str = ""


class Step(Struct, frozen=True, kw_only=True):
    """What a builder does in one go.  pieces: how many it sets.  rows: its rows, from and up to."""

    number: int
    name: str
    stage: str
    pieces: int
    rows: tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Steps:
    """of: the number of each piece's step, uint8 [X, Y, Z], 0 where there is none; read-only.
    propped: how many bodies had to be held up for a while."""

    steps: tuple[Step, ...]
    rows: tuple[Row, ...]
    propped: int
    of: npt.NDArray[np.uint8] = field(repr=False)

    def rows_of(self, step: Step) -> tuple[Row, ...]:
        return self.rows[slice(*step.rows)]


def building_steps(design: Design, voxels: Voxels) -> Steps:
    """The order of building a house, its cells as they are."""
    works = load_tradition(design.recipe.brief.tradition).steps
    return ordered(design, voxels, works)


def ordered(design: Design, voxels: Voxels, works: Sequence[Work]) -> Steps:
    """The same by some order of work."""
    parts = parts_of_cells(design)
    wanted = assigned(design, voxels, parts, works)
    writing = _Writing(voxels, contacts(voxels), sooner(voxels, parts, wanted, works).tolist())
    for n, work in enumerate(works, 1):
        last = work.stage not in {later.stage for later in works[n:]}
        writing.step(work, np.flatnonzero(wanted == n), last)
    return writing.done()


class _Writing:
    """The rows so far."""

    def __init__(
        self, voxels: Voxels, touch: tuple[npt.NDArray[np.bool_], ...], rank: list[int]
    ) -> None:
        kind = (
            voxels.material.astype(np.int64) << 32
            | voxels.form.astype(np.int64) << 16
            | voxels.room
        )
        kind[voxels.form == 0] = 0
        self.voxels, self.kind, self.rank = voxels, kind.reshape(-1), rank
        self.site = Site(voxels.size, touch, self.kind)
        self.props = Props(self.site, voxels)
        self.steps: list[Step] = []
        self.rows: list[Row] = []
        self.waiting: dict[str, npt.NDArray[np.int64]] = {}
        self.of = np.zeros(kind.size, dtype=np.uint8)

    def step(self, work: Work, own: npt.NDArray[np.int64], last: bool) -> None:
        """Set what can be set of a step's own pieces and those that wait; the last of a stage, all."""
        mine = np.sort(np.concatenate((own, self.waiting.get(work.stage, own[:0]))))
        number, first = len(self.steps) + 1, len(self.rows)
        for run in self._set(mine, last):
            self._write(number, run)
        stands = np.frombuffer(bytes(self.site.stands), dtype=bool)
        done, self.waiting[work.stage] = mine[stands[mine]], mine[~stands[mine]]
        self.of[done] = number
        for run in self.props.struck():
            self._write(number, run, "struck")
        if len(self.rows) > first:
            self.steps.append(
                Step(
                    number=number,
                    name=work.name,
                    stage=work.stage,
                    pieces=len(done),
                    rows=(first, len(self.rows)),
                )
            )

    def _set(self, mine: npt.NDArray[np.int64], last: bool) -> Iterator[Run]:
        yield from self.site.set_all(mine, self.rank)
        while last and (hangs := [at for at in mine.tolist() if not self.site.stands[at]]):
            for run in self.props.put(min(hangs, key=self.rank.__getitem__), hangs):
                self._write(len(self.steps) + 1, run, "set")
            yield from self.site.set_all(np.array(hangs), self.rank)

    def _write(self, step: int, run: Run, support: str = "") -> None:
        x, y, z = (int(n) for n in np.unravel_index(run.place, self.voxels.size))
        if support:
            names = PROP, PROP, "whole", 0
        else:
            kind, about = int(self.kind[run.place]), self.voxels.about
            form = about.forms[kind >> 16 & 0xFFFF]
            names = about.materials[kind >> 32].name, form.piece, form.name, kind & 0xFFFF
        where = (step, len(self.rows) + 1, x, y, z, run.count, AXES[run.axis])
        self.rows.append(Row(*where, *names, support))

    def done(self) -> Steps:
        for run in self.props.struck(all_of_them=True):
            self._write(len(self.steps), run, "struck")
        if self.steps:
            first, _ = self.steps[-1].rows
            self.steps[-1] = replace(self.steps[-1], rows=(first, len(self.rows)))
        return Steps(
            steps=tuple(self.steps),
            rows=tuple(self.rows),
            propped=self.props.count,
            of=fixed(self.of.reshape(self.voxels.size)),
        )
