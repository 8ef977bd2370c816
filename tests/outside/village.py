"""An outside program's inspection of a village folder, written from the file contract alone.

It imports nothing of the project.  A finding names the check that made it, some cells, and what is wrong.

    python -m tests.outside.village DIR...
"""

from __future__ import annotations

import csv
import json
import sys
from collections.abc import Iterator
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import zarr
from scipy import sparse
from scipy.sparse import csgraph
from skimage.morphology import reconstruction

from tests.outside.cells import House
from tests.outside.tables import SUB, Bits, Finding, some
from tests.outside.walk import reached, walk

TALL, CLIMB = 7, 2
"""Quarters that a body needs above its feet; that it goes up or down a step."""
FILES = (
    "houses.csv", "materials.csv", "plan.geojson", "village.city.json", "map.png", "plan.png", "night.png",
    "village.html",
)  # fmt: skip
GROUND = ("land", "water", "lane", "terrace")
"""Stages that set ground."""
NEAR = 40
"""Cells from a gate to a lane, at most."""


class Village:
    """The arrays and the roster of a folder."""

    def __init__(self, folder: Path) -> None:
        group = zarr.open_group(folder / "village.zarr", mode="r")
        self.about: dict[str, Any] = dict(group.attrs)
        for name in ("material", "form", "stage", "house", "room", "shapes"):
            setattr(self, name, np.asarray(group[name][:]))
        with (folder / "houses.csv").open(newline="", encoding="utf-8") as file:
            self.rows = list(csv.DictReader(file))
        with (folder / "materials.csv").open(newline="", encoding="utf-8") as file:
            self.bill = list(csv.DictReader(file))
        self.plan = json.loads((folder / "plan.geojson").read_text("utf-8"))

    material: npt.NDArray[np.uint8]
    form: npt.NDArray[np.uint16]
    stage: npt.NDArray[np.uint8]
    house: npt.NDArray[np.uint16]
    room: npt.NDArray[np.uint16]
    shapes: Bits

    def flag(self, name: str) -> Bits:
        """Which materials carry a flag."""
        return np.array([bool(m.get(name)) for m in self.about["materials"]])

    def of_stages(self, *names: str) -> Bits:
        """Cells that some stages set."""
        numbers = [n for n, known in enumerate(self.about["stages"]) if known in names]
        return np.isin(self.stage, numbers) & (self.material > 0)

    @cached_property
    def heights(self) -> npt.NDArray[np.int64]:
        """Quarters up to the top of the ground of each column, houses as high as what lies round them."""
        ground = self.of_stages(*GROUND)
        top = ground.shape[2] - 1 - ground[:, :, ::-1].argmax(axis=2)
        form = np.take_along_axis(self.form, top[:, :, None], axis=2)[:, :, 0]
        layers = self.shapes.any(axis=(1, 2)).sum(axis=1)
        found = SUB * top + layers[form]
        for row in self.rows:
            x, y, w, d = (int(row[key]) for key in ("x", "y", "width", "depth"))
            found[x : x + w, y : y + d] = int(row["gate_z4"])
        return np.asarray(found, dtype=np.int64)

    @cached_property
    def water(self) -> Bits:
        """Columns with water on top that is not of a house."""
        wet = self.flag("liquid")[self.material] & self.of_stages("water")
        return np.asarray(wet.any(axis=2))


def check(folder: Path) -> list[Finding]:
    """Every finding in a village folder."""
    missing = [name for name in FILES if not (folder / name).is_file()]
    if missing or not (folder / "village.zarr").exists():
        return [Finding("files", (), f"{name} is missing") for name in missing or ["village.zarr"]]
    village = Village(folder)
    checks = (_cells, _standing, _walk, _rooms, _ground, _rain, _bill, _lanes, _backs)
    return [finding for each in checks for finding in each(village)]


def _cells(v: Village) -> Iterator[Finding]:
    """The arrays agree, and their numbers point somewhere."""
    if ((v.form > 0) != (v.material > 0)).any():
        yield Finding("cells", some((v.form > 0) != (v.material > 0)), "a form without a material")
    for name, table in (("material", "materials"), ("form", "forms"), ("stage", "stages")):
        if int(getattr(v, name).max()) >= len(v.about[table]):
            yield Finding("cells", (), f"{name} points beyond its table")
    boxes = np.zeros(v.house.shape[:2], dtype=np.int64)
    for row in v.rows:
        x, y, w, d = (int(row[key]) for key in ("x", "y", "width", "depth"))
        boxes[x : x + w, y : y + d] += 1
        if set(np.unique(v.house[x : x + w, y : y + d]).tolist()) - {0, int(row["house"])}:
            yield Finding(
                "cells", ((x, y, 0),), f"house {row['house']} is not where the roster says"
            )
    if (boxes > 1).any():
        yield Finding("overlap", some(boxes > 1), "two houses claim one column")
    if ((boxes == 0) & (v.house > 0).any(axis=2)).any():
        yield Finding("cells", (), "there are cells of houses outside all their bounds")


def _standing(v: Village) -> Iterator[Finding]:
    """All but water hangs together, face to face at quarters of a cell, with the lowest layer."""
    solid = (v.material > 0) & ~v.flag("liquid")[v.material]
    number = np.cumsum(solid.reshape(-1)).reshape(solid.shape) * solid
    pairs = []
    for axis in range(3):
        low, high = (
            np.moveaxis(v.shapes, axis + 1, 1)[:, at].reshape(-1, SUB * SUB) for at in (0, -1)
        )
        weights = 1 << np.arange(SUB * SUB)
        faces = (high @ weights, low @ weights)
        a, b = (np.moveaxis(v.form, axis, 0)[part] for part in (np.s_[:-1], np.s_[1:]))
        touch = (faces[0][a] & faces[1][b]) > 0
        m, n = (np.moveaxis(number, axis, 0)[part] for part in (np.s_[:-1], np.s_[1:]))
        touch &= (m > 0) & (n > 0)
        pairs.append((m[touch], n[touch]))
    a, b = (np.concatenate(ends) for ends in zip(*pairs, strict=True))
    count = int(number.max()) + 1
    graph = sparse.coo_array((np.ones(len(a), dtype=bool), (a, b)), shape=(count, count))
    parts = csgraph.connected_components(graph, directed=False)[1]
    grounded = np.isin(parts, np.unique(parts[number[:, :, 0][solid[:, :, 0]]]))
    loose = solid & ~grounded[number]
    if loose.any():
        names = {v.about["materials"][m]["name"] for m in np.unique(v.material[loose]).tolist()}
        yield Finding("standing", some(loose), f"{int(loose.sum())} cells hang in the air: {names}")


def _walk(v: Village) -> Iterator[Finding]:
    """On foot from every edge of the map, but one that is water from end to end, to every gate; whole cells
    are trodden."""
    blocked = v.shapes.any(axis=(1, 2))[v.form] & ~v.flag("passable")[v.material][..., None]
    flood = blocked & v.flag("liquid")[v.material][..., None]
    n, m, deep, _ = blocked.shape
    blocked = blocked.reshape(n, m, SUB * deep)
    flood = flood.reshape(n, m, SUB * deep)
    sky = np.zeros((n, m, TALL + CLIMB), dtype=bool)
    free = np.ones_like(blocked)
    tall = np.concatenate((blocked, sky), axis=2)
    for k in range(TALL):
        free &= ~tall[:, :, k : k + SUB * deep]
    stand = np.zeros_like(free)
    stand[:, :, 1:] = free[:, :, 1:] & blocked[:, :, :-1] & ~flood[:, :, :-1]
    label = _joined(stand, tall)
    edges: list[set[int]] = []
    for part in (np.s_[0], np.s_[-1], np.s_[:, 0], np.s_[:, -1]):
        if not v.water[part].all():
            edges.append(set(np.unique(label[part]).tolist()) - {0})
    for row in v.rows:
        x, y, z4 = (int(row[key]) for key in ("gate_x", "gate_y", "gate_z4"))
        here = int(label[x, y, z4])
        if not here:
            yield Finding("gate", ((x, y, z4 // SUB),), f"nobody can stand at gate {row['house']}")
        elif not all(here in edge for edge in edges):
            yield Finding(
                "walk", ((x, y, z4 // SUB),), f"gate {row['house']} is cut off from an edge"
            )


def _joined(stand: Bits, tall: Bits) -> npt.NDArray[np.int32]:
    """Standing places by the body of them that they belong to; 0 where nobody can stand."""
    number = np.cumsum(stand.reshape(-1), dtype=np.int32).reshape(stand.shape) * stand
    deep = stand.shape[2]
    pairs = []
    for axis in (0, 1):
        one, two = ((slice(None),) * axis + (part,) for part in (slice(None, -1), slice(1, None)))
        for low, high in ((one, two), (two, one)):
            clear = stand.copy()
            for rise in range(CLIMB + 1):
                if rise:
                    clear &= ~tall[:, :, TALL + rise - 1 : TALL + rise - 1 + deep]
                step = clear[low][:, :, : deep - rise] & stand[high][:, :, rise:]
                pairs.append(
                    (number[low][:, :, : deep - rise][step], number[high][:, :, rise:][step])
                )
    a, b = (np.concatenate(ends) for ends in zip(*pairs, strict=True))
    count = int(number.max()) + 1
    graph = sparse.coo_array((np.ones(len(a), dtype=bool), (a, b)), shape=(count, count))
    body = csgraph.connected_components(graph, directed=False)[1].astype(np.int32) + 1
    return np.where(stand, body[number], 0).astype(np.int32)


def _rooms(v: Village) -> Iterator[Finding]:
    """From each gate on foot to every room and beside every fitting, with what stands round the house."""
    told = {entry["house"]: entry for entry in v.about["houses"]}
    for row in v.rows:
        entry = told[int(row["house"])]
        x, y, z = entry["origin"]
        w, d, h = entry["size"]
        part = np.s_[x : x + w, y : y + d, z : z + h]
        gate = [int(row["gate_x"]) - x, int(row["gate_y"]) - y, int(row["gate_z4"]) - SUB * z]
        about = {**v.about, "rooms": entry["rooms"], "gate": gate, "eaves": h}
        arrays = {name: getattr(v, name)[part] for name in ("material", "form", "stage", "room")}
        house = House({**arrays, "shapes": v.shapes, "about": np.array(json.dumps(about))})
        for finding in walk(house, reached(house)):
            yield Finding("rooms", finding.where, f"house {row['house']}: {finding.sentence}")


def _ground(v: Village) -> Iterator[Finding]:
    """No house is buried, hangs over nothing, or stands in water: round its bounds the ground is level with
    its gate, and below it all is solid."""
    for row in v.rows:
        x, y, z, w, d, z4 = (int(row[key]) for key in ("x", "y", "z", "width", "depth", "gate_z4"))
        if not (v.material[x : x + w, y : y + d, z - 1] > 0).all():
            yield Finding("ground", ((x, y, z - 1),), f"house {row['house']} stands over nothing")
        ring = np.ones((w + 2, d + 2), dtype=bool)
        ring[1:-1, 1:-1] = False
        about = v.heights[x - 1 : x + w + 1, y - 1 : y + d + 1][ring]
        if int(about.max()) > z4 + CLIMB:
            yield Finding(
                "buried", ((x, y, z4 // SUB),), f"ground stands against house {row['house']}"
            )
        if np.mean(about < z4 - CLIMB) > 0.2:
            yield Finding(
                "floats", ((x, y, z4 // SUB),), f"house {row['house']} hangs over a slope"
            )
        if v.water[x - 1 : x + w + 1, y - 1 : y + d + 1].any():
            yield Finding("water", ((x, y, z4 // SUB),), f"house {row['house']} stands in water")


def _rain(v: Village) -> Iterator[Finding]:
    """Rain that falls on a lane, or comes out of a house, runs on to water or off the map: where it would
    stand first, ground is filled in thought (Vincent 1993), and none of that lies on lanes or plots."""
    high = v.heights
    out = v.water.copy()
    out[[0, -1]] = True
    out[:, [0, -1]] = True
    filled = reconstruction(np.where(out, high, high.max()), high, method="erosion")
    deep = filled - high
    lanes = v.of_stages("lane").any(axis=2)
    plots = np.zeros(lanes.shape, dtype=bool)
    for row in v.rows:
        x, y, w, d = (int(row[key]) for key in ("x", "y", "width", "depth"))
        plots[x : x + w, y : y + d] = True
    for name, where in (("a lane", lanes), ("a plot", plots)):
        wet = where & (deep > 0)
        if wet.any():
            yield Finding(
                "rain", some(wet), f"water stands on {name}, {int(wet.sum())} columns of it"
            )


def _bill(v: Village) -> Iterator[Finding]:
    """The roster's count of pieces is that of the cells."""
    counts = np.bincount(v.house[v.material > 0], minlength=len(v.rows) + 1)
    for row in v.rows:
        if int(row["pieces"]) != int(counts[int(row["house"])]):
            there = int(counts[int(row["house"])])
            told = f"house {row['house']}: {row['pieces']} pieces are told, {there} are there"
            yield Finding("bill", (), told)
    names = {(s, m["name"]) for s in v.about["stages"] for m in v.about["materials"]}
    there = dict.fromkeys(names, 0)
    filled = np.unravel_index(np.flatnonzero(v.form), v.form.shape)
    pairs = np.bincount(v.stage[filled].astype(np.int64) * 256 + v.material[filled])
    for pair in np.flatnonzero(pairs).tolist():
        stage, material = divmod(pair, 256)
        key = v.about["stages"][stage], v.about["materials"][material]["name"]
        there[key] += int(pairs[pair])
    for line in v.bill:
        there[line["stage"], line["material"]] -= int(line["count"])
    if wrong := sorted(key for key, left in there.items() if left):
        yield Finding("materials", (), f"materials.csv tells another count of {wrong[0]}")


def _lanes(v: Village) -> Iterator[Finding]:
    """The lanes of the plan end in junctions or at the map's edge, and each gate is near one."""
    wide, deep = v.plan["bbox"][2:]
    of_kind: dict[str, list[Any]] = {}
    for feature in v.plan["features"]:
        of_kind.setdefault(feature["properties"]["kind"], []).append(feature)
    lines = [
        np.array(f["geometry"]["coordinates"]) for k in ("road", "lane") for f in of_kind.get(k, [])
    ]
    if not lines:
        yield Finding("lanes", (), "there is no lane")
        return
    degree: dict[int, int] = {}
    for kind in ("road", "lane"):
        for feature in of_kind.get(kind, []):
            for end in ("from", "to"):
                at = feature["properties"][end]
                degree[at] = degree.get(at, 0) + 1
    for n, feature in enumerate(of_kind["junction"]):
        x, y = feature["geometry"]["coordinates"]
        inside = min(x, y, wide - 4 - x, deep - 4 - y) > 0
        if inside and degree.get(n, 0) < 2:
            yield Finding("lanes", ((int(x), int(y)),), "a lane ends nowhere")
    every = np.concatenate(lines)
    for feature in of_kind["gate"]:
        at = np.array(feature["geometry"]["coordinates"])
        if float(np.abs(every - at).max(axis=1).min()) > NEAR:
            yield Finding("lanes", (tuple(at.astype(int).tolist()),), "a gate has no lane")


def _backs(v: Village) -> Iterator[Finding]:
    """Back lanes are dry, and walked from one column to the next."""
    for feature in v.plan["features"]:
        if feature["properties"]["kind"] == "back lane":
            x, y = np.array(feature["geometry"]["coordinates"]).T - 1
            steps = np.abs(np.diff(v.heights[x, y]))
            apart = np.abs(np.diff(x)) + np.abs(np.diff(y))
            if v.water[x, y].any() or int(steps.max()) > CLIMB or (apart != 1).any():
                told = f"a back lane behind {feature['properties']['houses']} is not walked"
                yield Finding("lanes", ((int(x[0]), int(y[0])),), told)


def main(folders: list[str]) -> int:
    """Print the findings; 0 where there are none."""
    found = [(name, f) for name in folders for f in check(Path(name))]
    for name, f in found:
        print(f"{name}: {f.check}: {f.sentence}{f' at {f.where[0]}' if f.where else ''}")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
