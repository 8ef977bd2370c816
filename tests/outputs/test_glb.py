"""house.glb, read by hand, by trimesh and by the format owner's validator."""

from __future__ import annotations

import io
import json
import shutil
import struct
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from genhouse.core.forms import FORMS, NUMBER
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from genhouse.model.voxels import Voxels
from genhouse.outputs.glb import glb_bytes, linear
from genhouse.outputs.steps.steps import Steps, building_steps
from genhouse.traditions.shelf import names
from tests.outputs.houses import built
from tests.outputs.houses import designed as plan
from tests.outputs.specimens import (
    COURT,
    LAMP,
    PAPER,
    WATER,
    Yard,
    block,
    court_house,
    designed,
    every_form,
    heap,
)

HERE = Path(__file__).parent / "validator"
HOUSES = {
    "block": block(2, 3, 4),
    "forms": every_form(),
    "court house": court_house(),
    "heap": heap(2, (9, 8, 7)),
    "designed": designed(),
}
Report = Callable[[bytes], dict[str, Any]]


def opened(data: bytes) -> tuple[dict[str, Any], bytes]:
    """The JSON and the binary chunk."""
    size = struct.unpack_from("<I", data, 12)[0]
    return json.loads(data[20 : 20 + size]), data[20 + size + 8 :]


def read(document: dict[str, Any], binary: bytes, number: int) -> np.ndarray:
    """One accessor's values, as the specification lays them out."""
    accessor = document["accessors"][number]
    view = document["bufferViews"][accessor["bufferView"]]
    kind = {5126: "<f4", 5125: "<u4", 5123: "<u2"}[accessor["componentType"]]
    width = {"VEC4": 4, "VEC3": 3, "SCALAR": 1}[accessor["type"]]
    start = view["byteOffset"] + accessor.get("byteOffset", 0)
    values = np.frombuffer(binary, kind, accessor["count"] * width, start)
    return values.reshape(-1, width)


def triangles(data: bytes, stage: str | None = None) -> np.ndarray:
    """float [T, 3, 3]: corners of all triangles, or of one stage's node."""
    document, binary = opened(data)
    found = []
    for node in document["nodes"]:
        if stage in (None, node["name"]):
            for primitive in document["meshes"][node["mesh"]]["primitives"]:
                places = read(document, binary, primitive["attributes"]["POSITION"])
                corners = read(document, binary, primitive["indices"])
                found.append(places[corners.reshape(-1, 3)])
    return np.concatenate(found).astype(float)


def volume(corners: np.ndarray) -> float:
    """Signed volume by trimesh, in cubic metres."""
    faces = np.arange(len(corners) * 3).reshape(-1, 3)
    return float(trimesh.Trimesh(corners.reshape(-1, 3), faces, process=False).volume)


def filled(voxels: Voxels, where: np.ndarray) -> float:
    return sum(FORMS[number].fill for number in voxels.form[where].tolist()) / 64


@pytest.fixture(scope="session")
def validator(tmp_path_factory: pytest.TempPathFactory) -> Report:
    """Khronos' own validator, installed once a session; it answers with its report."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if not (node and npm):
        pytest.skip("the validator of glTF files runs on node, installed by npm; one is missing")
    home = tmp_path_factory.mktemp("validator")
    for name in ("package.json", "validate.js"):
        shutil.copy(HERE / name, home)
    quiet = ("--no-audit", "--no-fund", "--no-package-lock", "--loglevel=error")
    subprocess.run([npm, "install", "--prefix", str(home), *quiet], cwd=home, check=True)

    def report(data: bytes) -> dict[str, Any]:
        (home / "house.glb").write_bytes(data)
        command = [node, str(home / "validate.js"), str(home / "house.glb")]
        done = subprocess.run(command, capture_output=True, check=True, text=True)
        answer: dict[str, Any] = json.loads(done.stdout)
        return answer

    return report


class TestContainer:
    def test_header_and_chunks_have_their_magic_numbers(self) -> None:
        # shared/reference.md item 11, GLB: magic 0x46546C67, version 2, chunks JSON 0x4E4F534A
        # and BIN 0x004E4942, padded to 4 bytes with spaces and zeros.
        for voxels in HOUSES.values():
            data = glb_bytes(voxels)
            magic, version, length = struct.unpack_from("<III", data)
            assert (magic, version, length) == (0x46546C67, 2, len(data))
            size, kind = struct.unpack_from("<II", data, 12)
            assert kind == 0x4E4F534A
            assert size % 4 == 0
            assert data[20 : 20 + size].rstrip(b" ").endswith(b"}")
            rest, kind = struct.unpack_from("<II", data, 20 + size)
            assert kind == 0x004E4942
            assert rest % 4 == 0
            assert 20 + size + 8 + rest == len(data)

    def test_the_asset_says_what_made_it(self) -> None:
        document, binary = opened(glb_bytes(block(1, 1, 1)))
        assert document["asset"] == {"version": "2.0", "generator": "genhouse"}
        assert 0 <= len(binary) - document["buffers"][0]["byteLength"] < 4

    def test_the_same_house_gives_the_same_bytes(self) -> None:
        assert glb_bytes(court_house()) == glb_bytes(court_house())

    def test_a_plot_without_a_solid_cell_is_refused(self) -> None:
        with pytest.raises(ValueError, match="no cell is solid"):
            glb_bytes(Yard(2, 2, 2).house())


@pytest.mark.parametrize("name", HOUSES)
class TestEveryHouse:
    def test_the_validator_has_nothing_to_say(self, name: str, validator: Report) -> None:
        report = validator(glb_bytes(HOUSES[name]))
        assert report["issues"]["messages"] == []
        assert report["mimeType"] == "model/gltf-binary"
        assert report["info"]["version"] == "2.0"

    def test_volume_is_the_filled_sub_cells(self, name: str) -> None:
        voxels = HOUSES[name]
        data = glb_bytes(voxels)
        assert volume(triangles(data)) == pytest.approx(filled(voxels, voxels.form > 0), abs=1e-6)
        for number, stage in enumerate(voxels.about.stages):
            here = voxels.stage == number
            if number and here.any():
                shown = volume(triangles(data, stage))
                assert shown == pytest.approx(filled(voxels, here), abs=1e-6)

    def test_nodes_are_the_stages_that_set_cells_in_building_order(self, name: str) -> None:
        voxels = HOUSES[name]
        document, _ = opened(glb_bytes(voxels))
        stages = [voxels.about.stages[n] for n in np.unique(voxels.stage).tolist() if n]
        assert [node["name"] for node in document["nodes"]] == stages
        assert document["scenes"][document["scene"]]["nodes"] == list(range(len(stages)))

    def test_each_finish_of_a_stage_is_one_primitive(self, name: str) -> None:
        voxels = HOUSES[name]
        document, _ = opened(glb_bytes(voxels))
        for node in document["nodes"]:
            primitives = document["meshes"][node["mesh"]]["primitives"]
            drawn = [p["material"] for p in primitives]
            assert len(set(drawn)) == len(drawn)

    def test_colours_at_the_corners_are_those_of_the_materials_there(self, name: str) -> None:
        voxels = HOUSES[name]
        document, binary = opened(glb_bytes(voxels))
        for node in document["nodes"]:
            found = set()
            for primitive in document["meshes"][node["mesh"]]["primitives"]:
                colours = read(document, binary, primitive["attributes"]["COLOR_0"])
                assert (colours[:, 3] == 65535).all()
                found |= {tuple(colour) for colour in np.unique(colours[:, :3], axis=0).tolist()}
            here = voxels.stage == voxels.about.stages.index(node["name"])
            entries = [voxels.about.materials[n] for n in np.unique(voxels.material[here]).tolist()]
            assert found == {tuple(round(65535 * c) for c in linear(e.colour)) for e in entries}

    def test_bounds_are_those_of_the_values(self, name: str) -> None:
        document, binary = opened(glb_bytes(HOUSES[name]))
        bounded = [n for n, a in enumerate(document["accessors"]) if "min" in a]
        assert len(bounded) * 4 == len(document["accessors"])
        for number in bounded:
            values = read(document, binary, number)
            assert document["accessors"][number]["min"] == values.min(axis=0).tolist()
            assert document["accessors"][number]["max"] == values.max(axis=0).tolist()

    def test_normals_are_those_of_the_triangles(self, name: str) -> None:
        document, binary = opened(glb_bytes(HOUSES[name]))
        for mesh in document["meshes"]:
            for primitive in mesh["primitives"]:
                places = read(document, binary, primitive["attributes"]["POSITION"])
                normals = read(document, binary, primitive["attributes"]["NORMAL"])
                corners = read(document, binary, primitive["indices"]).reshape(-1, 3)
                a, b, c = (places[corners[:, n]] for n in range(3))
                across = np.cross(b - a, c - a)
                across /= np.linalg.norm(across, axis=1, keepdims=True)
                for n in range(3):
                    assert np.allclose(normals[corners[:, n]], across, atol=1e-6)

    def test_trimesh_opens_it(self, name: str) -> None:
        voxels = HOUSES[name]
        scene = trimesh.load(io.BytesIO(glb_bytes(voxels)), file_type="glb")
        total = trimesh.util.concatenate(scene.dump()).volume
        assert total == pytest.approx(filled(voxels, voxels.form > 0), abs=1e-6)


class TestPlace:
    def test_east_is_x_up_is_y_and_north_is_minus_z(self) -> None:
        # reference.md item 11, glTF 2.0: right-handed, +Y up.
        corners = triangles(glb_bytes(Yard(5, 6, 7).set((1, 2, 3)).house())).reshape(-1, 3)
        assert corners.min(axis=0).tolist() == [1.0, 3.0, -3.0]
        assert corners.max(axis=0).tolist() == [2.0, 4.0, -2.0]

    def test_a_half_cell_is_half_a_metre(self) -> None:
        corners = triangles(glb_bytes(block(1, 1, 1, form=NUMBER["half course"]))).reshape(-1, 3)
        assert np.ptp(corners, axis=0).tolist() == [1.0, 0.5, 1.0]

    def test_no_zero_has_a_sign(self) -> None:
        document, binary = opened(glb_bytes(block(1, 1, 1)))
        places = read(document, binary, 0)
        assert not np.signbit(places[places == 0]).any()

    def test_a_large_primitive_counts_its_corners_in_32_bits(self, validator: Report) -> None:
        yard = Yard(32, 32, 24)
        yard.set(np.s_[::2, ::2, ::2], form=NUMBER["rail east"])
        data = glb_bytes(yard.house())
        kinds = {a["componentType"] for a in opened(data)[0]["accessors"] if a["type"] == "SCALAR"}
        assert kinds == {5125}
        assert validator(data)["issues"]["messages"] == []


class TestMaterials:
    @pytest.mark.parametrize(
        ("colour", "light"),
        [
            # IEC 61966-2-1 ends and knee; #808080 is 21.586 % and #bcbcbc 50.289 %, from memory.
            ("#000000", 0.0),
            ("#ffffff", 1.0),
            ("#0a0a0a", 0.003035),
            ("#808080", 0.215861),
            ("#bcbcbc", 0.502886),
        ],
    )
    def test_colours_become_linear_light(self, colour: str, light: float) -> None:
        assert linear(colour) == [light] * 3

    def test_no_colour_rounds_differently_on_another_machine(self) -> None:
        # Six decimals hide what the last bit of a platform's power function may be.
        for byte in range(256):
            step = byte / 255
            exact = step / 12.92 if step <= 0.04045 else ((step + 0.055) / 1.055) ** 2.4
            assert abs(exact * 1e6 % 1 - 0.5) > 1e-4

    def test_water_and_paper_are_seen_through_and_timber_is_not(self) -> None:
        yard = Yard(4, 1, 1)
        for x, material in enumerate((1, WATER, PAPER, LAMP)):
            yard.set((x, 0, 0), material=material, stage=COURT)
        document, _ = opened(glb_bytes(yard.house()))
        by_name = {material["name"]: material for material in document["materials"]}
        assert set(by_name) == {"matt", "liquid", "clear", "lamp paper"}
        assert "alphaMode" not in by_name["matt"]
        assert by_name["matt"]["pbrMetallicRoughness"]["baseColorFactor"][3] == 1.0
        for name in ("liquid", "clear", "lamp paper"):
            assert by_name[name]["alphaMode"] == "BLEND"
            assert by_name[name]["pbrMetallicRoughness"]["baseColorFactor"][3] < 1
        roughness = {n: m["pbrMetallicRoughness"]["roughnessFactor"] for n, m in by_name.items()}
        assert roughness["liquid"] < roughness["clear"] < roughness["matt"]
        assert [name for name, m in by_name.items() if "emissiveFactor" in m] == ["lamp paper"]


class TestSteps:
    """A real house, step by step."""

    def data(self) -> tuple[Voxels, Steps, bytes]:
        voxels = built(7)
        steps = building_steps(plan(7), voxels)
        return voxels, steps, glb_bytes(voxels, steps)

    def test_steps_are_nodes_below_their_stages(self) -> None:
        _, steps, data = self.data()
        document, _ = opened(data)
        nodes = document["nodes"]
        tops = [nodes[n] for n in document["scenes"][0]["nodes"]]
        assert [top["name"] for top in tops] == list(dict.fromkeys(s.stage for s in steps.steps))
        for top in tops:
            below = [nodes[n]["name"] for n in top["children"]]
            assert below == [f"{s.number}. {s.name}" for s in steps.steps if s.stage == top["name"]]

    def test_each_step_is_its_own_cells(self) -> None:
        voxels, steps, data = self.data()
        document, binary = opened(data)
        for node in document["nodes"]:
            if "mesh" not in node:
                continue
            corners = [
                read(document, binary, p["attributes"]["POSITION"])[
                    read(document, binary, p["indices"]).reshape(-1, 3)
                ]
                for p in document["meshes"][node["mesh"]]["primitives"]
            ]
            number = int(node["name"].split(".")[0])
            shown = volume(np.concatenate(corners).astype(float))
            assert shown == pytest.approx(filled(voxels, steps.of == number), abs=1e-6)

    def test_triangles_are_at_most_a_fifth_of_the_faces_in_sight(self) -> None:
        """Faces of quarter cells with nothing before them, counted from the arrays."""
        voxels, _, data = self.data()
        solid = voxels.shapes[voxels.form].transpose(0, 3, 1, 4, 2, 5)
        solid = np.pad(solid.reshape([4 * n for n in voxels.size]), 1)
        faces = sum((solid & ~np.roll(solid, s, a)).sum() for a in range(3) for s in (1, -1))
        document, _ = opened(data)
        drawn = [p["indices"] for mesh in document["meshes"] for p in mesh["primitives"]]
        assert sum(document["accessors"][n]["count"] for n in drawn) / 3 <= faces / 5

    @pytest.mark.parametrize("tradition", names())
    def test_triangles_are_at_most_a_fifth_of_the_plain_faces_of_the_same_nodes(
        self, tradition: str
    ) -> None:
        """The same counted step by step, since each is closed by itself, in every way of building."""
        house = make(Recipe(seed=1, brief=Brief(tradition=tradition)))
        voxels, steps = house.voxels, building_steps(house.plan, house.voxels)
        size = [4 * n for n in voxels.size]
        of = np.where(voxels.shapes[voxels.form], steps.of[..., None, None, None], 0)
        of = np.pad(of.transpose(0, 3, 1, 4, 2, 5).reshape(size), 1)
        faces = sum(((of > 0) & (of != np.roll(of, s, a))).sum() for a in range(3) for s in (1, -1))
        scene = trimesh.load(io.BytesIO(glb_bytes(voxels, steps)), file_type="glb", process=False)
        assert sum(len(mesh.faces) for mesh in scene.geometry.values()) <= faces / 5

    def test_the_validator_has_nothing_to_say(self, validator: Report) -> None:
        assert validator(self.data()[2])["issues"]["messages"] == []
