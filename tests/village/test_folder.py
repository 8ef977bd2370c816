"""The folder of a village, judged from its files alone, and by other programs."""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pytest
import zarr
from PIL import Image
from shapely.geometry import shape
from shapely.ops import unary_union

from genhouse.village.roster import COLUMNS, remade
from tests.outside.village import Village, check
from tests.repo.imports import ROOT
from tests.village.made import HOUSES, SMALL, folder, laid

SEEDS = (1, 2)


@pytest.mark.parametrize("seed", SEEDS)
def test_an_outside_program_finds_nothing(seed: int) -> None:
    assert check(folder(seed)) == []


def test_a_house_is_made_again_from_its_row_byte_for_byte() -> None:
    place = folder(1)
    group = zarr.open_group(place / "village.zarr", mode="r")
    with (place / "houses.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert tuple(rows[0]) == COLUMNS
    names = [m["name"] for m in group.attrs["materials"]]  # type: ignore[union-attr, index, call-overload]
    for row in rows[:2]:
        house = remade(row).voxels
        x, y, z, w, d = (int(row[key]) for key in ("x", "y", "z", "width", "depth"))
        part = np.s_[x : x + w, y : y + d, z : z + house.size[2]]
        own_cells = np.asarray(group["house"][part]) == int(row["house"])
        assert (own_cells[:, :, 0] == (house.material[:, :, 0] > 0)).all()
        for name in ("form", "stage", "room"):
            assert (np.asarray(group[name][part]) == getattr(house, name))[own_cells].all()
            assert (getattr(house, name)[~own_cells] == 0).all()
        own = np.array([m.name for m in house.about.materials])[house.material]
        assert (np.array(names)[np.asarray(group["material"][part])] == own)[own_cells].all()
        assert int(row["gate_x"]) - x == house.about.gate[0]
        assert int(row["gate_z4"]) - 4 * z == house.about.gate[2]


def test_the_store_is_zarr_3_chunked_and_sharded() -> None:
    meta = json.loads((folder(1) / "village.zarr" / "form" / "zarr.json").read_text("utf-8"))
    assert meta["zarr_format"] == 3
    assert meta["node_type"] == "array"
    assert meta["data_type"] == "uint16"
    assert meta["chunk_grid"]["configuration"]["chunk_shape"][:2] == [128, 128]
    [codec] = meta["codecs"]
    assert codec["name"] == "sharding_indexed"
    assert codec["configuration"]["chunk_shape"][:2] == [64, 64]
    assert meta["dimension_names"] == ["x", "y", "z"]


def test_the_plan_is_geojson_of_whole_shapes() -> None:
    plan = json.loads((folder(1) / "plan.geojson").read_text("utf-8"))
    assert plan["type"] == "FeatureCollection"
    assert plan["bbox"] == [0, 0, *SMALL]
    assert "cells" in plan["crs_note"]
    kinds: dict[str, list[object]] = {}
    for feature in plan["features"]:
        found = shape(feature["geometry"])
        assert found.is_valid
        assert not found.is_empty
        if feature["geometry"]["type"] == "Polygon":
            assert found.exterior.is_ccw
            assert all(not hole.is_ccw for hole in found.interiors)
        kinds.setdefault(feature["properties"]["kind"], []).append(found)
    assert len(kinds["house"]) == len(kinds["plot"]) == len(kinds["gate"]) == HOUSES
    water = unary_union(kinds["water"])
    columns = np.count_nonzero(Village(folder(1)).water)
    assert 0 <= water.area - columns <= 6  # some are under the wheel of a mill
    assert not water.intersects(unary_union(kinds["plot"]))


READER = """
import sys
from cjio.cityjson import CityJSON
with open(sys.argv[1], encoding="utf-8") as file:
    reader = CityJSON(file)
print(reader.get_version(), reader.number_city_objects_level1())
"""
"""In a process of its own: cjio changes how json writes numbers, for all who come after it."""


def test_the_city_is_of_the_published_schema_and_a_general_reader_knows_it() -> None:
    text = (folder(1) / "village.city.json").read_text("utf-8")
    schema = json.loads((ROOT / "shared" / "schemas" / "cityjson-2.0.min.schema.json").read_bytes())
    city = json.loads(text)
    jsonschema.Draft7Validator(schema).validate(_some_of(city))
    command = [sys.executable, "-c", READER, str(folder(1) / "village.city.json")]
    read = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    buildings = sum(entry["type"] == "Building" for entry in city["CityObjects"].values())
    assert read == ["2.0", str(buildings + 1)]
    assert buildings == HOUSES
    kinds = {entry["type"] for entry in city["CityObjects"].values()}
    assert kinds == {"Building", "BuildingRoom", "TINRelief"}
    told: dict[str, set[str]] = {}
    count = len(city["vertices"])
    assert len({tuple(v) for v in city["vertices"]}) == count
    for entry in city["CityObjects"].values():
        for geometry in entry["geometry"]:
            rings = [ring for surface in geometry["boundaries"] for ring in surface]
            assert all(len(set(ring)) == len(ring) >= 3 for ring in rings)
            assert max(max(ring) for ring in rings) < count
            values = geometry.get("semantics", {}).get("values", [])
            assert len(values) in (0, len(geometry["boundaries"]))
            names = [s["type"] for s in geometry.get("semantics", {}).get("surfaces", [])]
            told.setdefault(entry["type"], set()).update(names)
    assert told["Building"] == {"RoofSurface", "WallSurface", "GroundSurface"}
    assert {"FloorSurface", "CeilingSurface", "InteriorWallSurface"} <= told["BuildingRoom"]


def test_pictures_are_there_and_the_page_needs_no_network() -> None:
    for name, least in (("map.png", 1500), ("night.png", 1500), ("plan.png", 1500)):
        with Image.open(folder(1) / name) as picture:
            assert picture.width > least
            assert len(picture.convert("RGB").resize((64, 64)).getcolors(4096) or []) > 400
    day, night = (
        Image.open(folder(1) / n).convert("L").resize((1, 1)).getpixel((0, 0))
        for n in ("map.png", "night.png")
    )
    assert night < day  # type: ignore[operator]
    page = (folder(1) / "village.html").read_text("utf-8")
    assert page.count("data-house=") == HOUSES
    assert "http://" not in page
    assert "https://" not in page


def test_the_document_lists_every_file() -> None:
    told = json.loads((folder(1) / "village.json").read_text("utf-8"))
    assert told["format"] == "genhouse-village"
    assert abs(told["cut"] - told["fill"]) * 20 <= told["cut"] + told["fill"]
    assert told["alike"] == []
    assert not any(p.name.startswith(".") for p in folder(1).iterdir())
    assert len(told["files"]) == sum(p.is_file() for p in folder(1).rglob("*"))
    assert told["houses"] == len(laid(1).plots)


def _some_of(city: dict[str, Any]) -> dict[str, Any]:
    """A building with its rooms, and a corner of the terrain: the schema is slow on many triangles."""
    some = {k: v for k, v in city["CityObjects"].items() if k.startswith(("house-1", "terrain"))}
    [net] = some["terrain"]["geometry"]
    terrain = {**some["terrain"], "geometry": [{**net, "boundaries": net["boundaries"][:40]}]}
    return {**city, "CityObjects": {**some, "terrain": terrain}, "vertices": city["vertices"][:400]}


def rows_of(place: Path) -> list[dict[str, str]]:
    with (place / "houses.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


Harm = Callable[[zarr.Group, list[dict[str, str]]], None]


def _flooded(group: zarr.Group, rows: list[dict[str, str]]) -> None:
    """Water at a gate, and about it in place of all that bears nothing."""
    x, y, z4 = (int(rows[0][key]) for key in ("gate_x", "gate_y", "gate_z4"))
    water = next(n for n, m in enumerate(group.attrs["materials"]) if m["name"] == "stream water")
    stage = list(group.attrs["stages"]).index("water")
    part, above = (np.s_[x - 3 : x + 4, y - 3 : y + 4, z4 // 4 + n] for n in (0, 1))
    free = np.asarray(group["form"][above]) == 0
    free[3, 3] = True
    for name, value in (("material", water), ("form", 1), ("stage", stage), ("house", 0)):
        group[name][part] = np.where(free, value, np.asarray(group[name][part]))


def _dug(group: zarr.Group, rows: list[dict[str, str]]) -> None:
    """A pit in every lane."""
    lane = list(group.attrs["stages"]).index("lane")
    stage = np.asarray(group["stage"][:])
    x, y, z = np.argwhere(stage[20:-20, 20:-20] == lane)[40].tolist()
    for name in ("material", "form", "stage"):
        array = np.asarray(group[name][:])
        array[x + 20 : x + 22, y + 20 : y + 22, z - 1 : z + 2] = 0
        array[x + 20 : x + 22, y + 20 : y + 22, z - 2] = array[x + 20, y + 20, z - 3]
        group[name][:] = array
    array = np.asarray(group["stage"][:])
    array[x + 20 : x + 22, y + 20 : y + 22, z - 2] = lane
    group["stage"][:] = array


def _cut_loose(group: zarr.Group, rows: list[dict[str, str]]) -> None:
    for name, value in (("material", 2), ("form", 1), ("stage", 12)):
        group[name][5, 5, -2] = value


def _walled(group: zarr.Group, rows: list[dict[str, str]]) -> None:
    x, y, w, d = (int(rows[0][key]) for key in ("x", "y", "width", "depth"))
    z = int(rows[0]["gate_z4"]) // 4
    for name, value in (("material", 1), ("form", 1), ("stage", 12)):
        array = np.asarray(group[name][:])
        ring = np.zeros(array.shape[:2], dtype=bool)
        ring[x - 1 : x + w + 1, y - 1 : y + d + 1] = True
        ring[x : x + w, y : y + d] = False
        array[ring, z : z + 6] = value
        group[name][:] = array


@pytest.mark.parametrize(
    ("harm", "checks"),
    [
        (_flooded, {"water", "gate", "buried", "bill", "rooms", "materials"}),
        (_dug, {"rain", "materials"}),
        (_cut_loose, {"standing", "materials"}),
        (_walled, {"walk", "buried", "rain", "materials"}),
    ],
)
def test_harm_is_found(harm: Harm, checks: set[str], tmp_path: Path) -> None:
    place = tmp_path / "village"
    shutil.copytree(folder(1), place)
    harm(zarr.open_group(place / "village.zarr", mode="r+"), rows_of(place))
    found = {finding.check for finding in check(place)}
    assert found == checks
