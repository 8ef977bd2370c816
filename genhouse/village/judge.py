"""The inspection of a whole village from its cells, piece by piece: what of each piece goes over its
borders is joined with what lies beside it, and let go of.

From each edge of the map one comes on foot to every gate, and from there to every room; no house overlaps
another, lies buried, hangs over nothing or stands in water; rain leaves each lane and plot; nothing hangs
in the air; and the roster counts its pieces rightly.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from genhouse.core.forms import SUB, shapes
from genhouse.inspection import Finding, Report
from genhouse.inspection.access import access, walk
from genhouse.inspection.subcells import subcells
from genhouse.inspection.verdict import SHOWN, Verdict
from genhouse.model.raster import FORM_TABLE
from genhouse.model.voxels import About, MaterialEntry, RoomEntry, Voxels
from genhouse.village.bill import Counted, Key, differing, named
from genhouse.village.cells import Box, Cells
from genhouse.village.fills import filled
from genhouse.village.patch import CLIMB, House, Patch, Side, Tables
from genhouse.village.together import FALLEN, Masks, Parts, faces

EDGES = ("west", "east", "south", "north")
HANGING = 5
"""One in so many columns round a house may lie lower than its gate by more than a step."""
Cell = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Whole:
    """A village as far as it was looked over.  beside: sides that still wait for what lies next to them,
    with the first numbers of their bodies and labels."""

    tables: Tables
    high: npt.NDArray[np.int16]
    wet: Masks
    lane: Masks
    bodies: Parts = field(default_factory=Parts)
    labels: Parts = field(default_factory=Parts)
    beside: dict[tuple[int, int, int], tuple[Side, int, int]] = field(default_factory=dict)
    loose: list[tuple[int, Cell, int]] = field(default_factory=list)
    gates: dict[int, int] = field(default_factory=dict)
    edges: tuple[set[int], ...] = field(default_factory=lambda: tuple(set() for _ in EDGES))
    counts: dict[int, int] = field(default_factory=dict)
    parts: list[Counted] = field(default_factory=list)
    wrong: list[Cell] = field(default_factory=list)

    @classmethod
    def of(cls, tables: Tables) -> Whole:
        shape = tables.size[:2]
        wet, lane = (np.zeros(shape, dtype=bool) for _ in range(2))
        whole = cls(tables, np.zeros(shape, dtype=np.int16), wet, lane)
        whole.bodies.more(FALLEN + 1)
        whole.labels.more(1)
        return whole

    def add(self, one: Patch) -> None:
        """A piece more."""
        x0, y0, x1, y1 = one.box
        part = np.s_[x0:x1, y0:y1]
        self.high[part], self.wet[part], self.lane[part] = one.high, one.wet, one.lane
        # Bodies of all pieces share the ground, 1; their own begin at 2, and so do labels.
        body, label = self.bodies.more(one.bodies - 2) - 2, self.labels.more(one.labels - 2) - 2
        self.loose.extend((body + n, at, many) for n, at, many in one.loose)
        self.wrong.extend(one.wrong)
        for house, n in one.gates:
            self.gates[house] = label + n if n else 0
        self.parts.append(one.bill)
        for house, many in one.counts:
            self.counts[house] = self.counts.get(house, 0) + many
        wide, deep, _ = self.tables.size
        ends = ((0, x0, 0), (0, x1, wide), (1, y0, 0), (1, y1, deep))
        for n, (side, (axis, at, border)) in enumerate(zip(one.sides, ends, strict=True)):
            if at == border:
                self.edges[n].update((side.label + label).tolist())
                continue
            key = (axis, at, (y0, x0)[axis])
            other = self.beside.pop(key, None)
            mine = (side, body, label)
            if other is None:
                self.beside[key] = mine
            else:
                low, high = (mine, other) if n % 2 else (other, mine)
                self._meet(axis, low, high)

    def _meet(self, axis: int, low: tuple[Side, int, int], high: tuple[Side, int, int]) -> None:
        """Two sides that lie against each other."""
        (one, body, label), (two, its_body, its_label) = low, high
        face = faces()
        touch = (face[1][axis][one.form] & face[0][axis][two.form]) > 0
        a, b = one.body[touch], two.body[touch]
        a, b = np.where(a > FALLEN, a + body, a), np.where(b > FALLEN, b + its_body, b)
        self.bodies.join(set(zip(a[a != b].tolist(), b[a != b].tolist(), strict=True)))
        places: dict[int, list[tuple[int, int, int]]] = {}
        for along, up, n, rise in zip(
            *(part.tolist() for part in (two.along, two.up, two.label, two.rise)), strict=True
        ):
            places.setdefault(along, []).append((up, n + its_label, rise))
        pairs = set()
        for along, up, n, rise in zip(
            *(part.tolist() for part in (one.along, one.up, one.label, one.rise)), strict=True
        ):
            for its_up, m, its_rise in places.get(along, ()):
                most = rise if its_up > up else its_rise
                if abs(its_up - up) <= most:
                    pairs.add((n + label, m))
        self.labels.join(pairs)

    def bill(self) -> dict[Key, int]:
        """What all of it is made of."""
        return named(self.parts, self.tables.materials, self.tables.stages)

    def report(
        self, rooms: Iterable[Sequence[Finding]], told: Mapping[Key, int] | None = None
    ) -> Report:
        """All verdicts.  rooms: findings inside of each house.  told: the bill that its folder tells."""
        tables = self.tables
        inside = tuple(found for each in rooms for found in each)
        hanging = [(n, at, many) for n, at, many in self.loose if self.bodies.root(n) != FALLEN]
        air = tuple(
            _finding("standing", at, many, "a piece hangs in the air") for _, at, many in hanging
        )
        many = len(tables.houses)
        plots = self._plots()
        standing, leaves, asked = self._ground(), self._rain(plots), int((self.lane | plots).sum())
        return Report(
            verdicts=(
                Verdict(
                    check="cells",
                    findings=_some("cells", self.wrong, "a number is of nothing"),
                    evidence=f"{tables.size[0]} x {tables.size[1]} columns",
                ),
                Verdict(check="standing", findings=air[:SHOWN], evidence="all but water"),
                Verdict(
                    check="walk",
                    findings=tuple(self._walk()),
                    evidence=f"from each edge with land to {many} gates",
                ),
                Verdict(check="rooms", findings=inside, evidence=f"of {many} houses"),
                Verdict(check="ground", findings=standing, evidence=f"about {many} houses"),
                Verdict(
                    check="rain", findings=leaves, evidence=f"{asked} columns of lanes and plots"
                ),
                Verdict(
                    check="bill", findings=tuple(self._bill(told)), evidence=f"of {many} houses"
                ),
            )
        )

    def _walk(self) -> Iterable[Finding]:
        borders = (self.wet[0], self.wet[-1], self.wet[:, 0], self.wet[:, -1])
        edges = [
            (name, {self.labels.root(n) for n in edge})
            for name, edge, wet in zip(EDGES, self.edges, borders, strict=True)
            if not wet.all()  # over the open sea nobody comes on foot
        ]
        for house in self.tables.houses:
            x, y, z4 = house.gate
            n = self.gates.get(house.number, 0)
            if not n:
                sentence = f"nobody can stand at gate {house.number}"
                yield _finding("walk", (x, y, z4 // SUB), 1, sentence)
                continue
            for name, edge in edges:
                if self.labels.root(n) not in edge:
                    sentence = f"gate {house.number} is cut off from the {name} edge"
                    yield _finding("walk", (x, y, z4 // SUB), 1, sentence)

    def _plots(self) -> Masks:
        found = np.zeros(self.high.shape, dtype=bool)
        for house in self.tables.houses:
            x0, y0, x1, y1 = house.rect
            found[x0:x1, y0:y1] = True
        return found

    def _levelled(self) -> npt.NDArray[np.int16]:
        """The ground, a house as high as its gate."""
        high = self.high.copy()
        for house in self.tables.houses:
            x0, y0, x1, y1 = house.rect
            high[x0:x1, y0:y1] = house.gate[2]
        return high

    def _ground(self) -> tuple[Finding, ...]:
        """Round each house the ground is level with its gate, dry, and no other house's."""
        found, taken = [], np.zeros(self.high.shape, dtype=np.uint16)
        high = self._levelled()
        for house in self.tables.houses:
            x0, y0, x1, y1 = house.rect
            x, y, z4 = house.gate
            own = taken[x0:x1, y0:y1]
            said = []
            if own.any():
                said.append(f"house {house.number} overlaps house {int(own.max())}")
            own[:] = house.number
            low = max(0, x0 - 1), max(0, y0 - 1)
            around = np.s_[low[0] : x1 + 1, low[1] : y1 + 1]
            ring = np.ones(high[around].shape, dtype=bool)
            ring[x0 - low[0] : x1 - low[0], y0 - low[1] : y1 - low[1]] = False
            about = high[around][ring]
            if int(about.max()) > z4 + CLIMB:
                said.append(f"ground stands against house {house.number}")
            if HANGING * int(np.count_nonzero(about < z4 - CLIMB)) > len(about):
                said.append(f"house {house.number} hangs over a slope")
            if self.wet[around].any():
                said.append(f"house {house.number} stands in water")
            found += [_finding("ground", (x, y, z4 // SUB), 1, sentence) for sentence in said]
        return tuple(found)

    def _rain(self, plots: Masks) -> tuple[Finding, ...]:
        """Where water would stand first before it runs to water or off the map, a house as high as its
        gate: none of that is a lane or a plot."""
        high = self._levelled()
        deep = filled(high, self.wet) - high
        return tuple(
            found
            for name, where in (("a lane", self.lane), ("a plot", plots))
            for found in _some(
                "rain",
                [
                    (x, y, int(high[x, y]) // SUB)
                    for x, y in np.argwhere(where & (deep > 0)).tolist()
                ],
                f"water stands on {name}",
            )
        )

    def _bill(self, told: Mapping[Key, int] | None) -> Iterable[Finding]:
        wrong = [] if told is None else list(differing(told, self.bill()))
        for sentence in wrong[:SHOWN]:
            yield Finding(check="bill", where=(), count=len(wrong), sentence=sentence)
        for house in self.tables.houses:
            there = self.counts.get(house.number, 0)
            if there != house.pieces:
                sentence = (
                    f"house {house.number}: {house.pieces} pieces are told, {there} are there"
                )
                yield _finding("bill", house.origin, 1, sentence)
        for number in sorted(self.counts.keys() - {house.number for house in self.tables.houses}):
            yield Finding(
                check="bill", where=(), count=1, sentence=f"house {number} is not in the roster"
            )


def inside(tables: Tables, cells_of: Callable[[Box], Cells], house: House) -> tuple[Finding, ...]:
    """From a house's gate on foot to every room of it and beside each fitting.  cells_of: of a piece."""
    found = cells_of(house.rect)
    (x, y, low), (gx, gy, z4) = house.origin, house.gate
    part = np.s_[:, :, low : low + house.size[2]]
    own = found.house[part] == house.number
    if not own.any():
        return (_finding("rooms", house.origin, 1, f"house {house.number} is not there"),)
    names = ("name", "colour", "liquid", "passable", "clear", "lumens")
    about = About(
        seed=0,
        materials=tuple(
            MaterialEntry(**{n: entry[n] for n in names if n in entry})
            for entry in tables.materials
        ),
        forms=FORM_TABLE,
        stages=tables.stages,
        rooms=tuple(RoomEntry(**room) for room in house.rooms),
        eaves=house.size[2],
        gate=(gx - x, gy - y, z4 - SUB * low),
    )
    arrays = {name: getattr(found, name)[part] for name in ("material", "form", "stage", "room")}
    voxels = Voxels(**arrays, shapes=shapes(), about=about)
    told = access(voxels, walk(voxels, subcells(voxels))).findings
    return tuple(
        Finding(
            check="rooms",
            where=tuple((a + x, b + y, c + low) for a, b, c in each.where),
            count=each.count,
            sentence=f"house {house.number}: {each.sentence}",
        )
        for each in told
    )


def _finding(check: str, where: Cell, count: int, sentence: str) -> Finding:
    return Finding(check=check, where=(where,), count=count, sentence=sentence)


def _some(check: str, where: Sequence[Cell], sentence: str) -> tuple[Finding, ...]:
    if not where:
        return ()
    first = tuple(where[:SHOWN])
    return (Finding(check=check, where=first, count=len(where), sentence=sentence),)
