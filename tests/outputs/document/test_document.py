"""The design document against its schema, its cells, and an outside reader."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from inspect import cleandoc
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from genhouse.core.errors import UnreadableError
from genhouse.generate.recipe import design_house
from genhouse.model.brief import Brief, Recipe
from genhouse.model.raster import raster
from genhouse.outputs.bill import bill
from genhouse.outputs.document.document import Finding, document, room_graph, schema
from genhouse.outputs.document.reading import read_recipe
from tests.outputs.houses import LARGE, SEEDS, SMALL, built, designed

HOUSES = [*((seed, None) for seed in SEEDS), (9, SMALL), (11, SMALL), (5, LARGE)]
SHIPPED = Path(__file__).parents[3] / "shared" / "schemas" / "house.schema.json"
FINDINGS = (
    Finding(check="weather", kept=True, sentence="every column is covered"),
    Finding(check="access", kept=False, sentence="no way", where=((1, 2, 3),), count=1),
)


def written(seed: int, plot: tuple[int, int] | None = None) -> dict[str, Any]:
    value: dict[str, Any] = json.loads(document(designed(seed, plot), built(seed, plot), FINDINGS))
    return value


def test_the_shipped_schema_is_what_the_program_states() -> None:
    assert settled(json.loads(SHIPPED.read_bytes())) == settled(schema())


def settled(value: Any) -> Any:
    """A schema whose alternatives stand in an order of their own, and whose words lie flush: msgspec's
    differ by version."""
    if isinstance(value, dict):
        plain = {key: settled(inner) for key, inner in value.items()}
        return (
            plain | {"anyOf": sorted(plain["anyOf"], key=json.dumps)} if "anyOf" in plain else plain
        )
    if isinstance(value, list):
        return [settled(inner) for inner in value]
    return cleandoc(value) if isinstance(value, str) else value


@pytest.mark.parametrize("house", HOUSES, ids=str)
def test_documents_are_valid(house: tuple[int, tuple[int, int] | None]) -> None:
    from jsonschema import Draft202012Validator

    Draft202012Validator.check_schema(schema())
    Draft202012Validator(schema()).validate(written(*house))


def test_the_schema_refuses_what_is_wrong() -> None:
    from jsonschema import Draft202012Validator

    validator = Draft202012Validator(schema())
    good = written(7)
    for change in ({"format": "other"}, {"plot": [1]}, {"gate_side": "up"}, {"rooms": {}}):
        assert not validator.is_valid(good | change), change


def test_findings_are_taken_as_values_or_as_mappings() -> None:
    plain = [
        {"check": "weather", "kept": True, "sentence": "every column is covered"},
        {"check": "access", "kept": False, "sentence": "no way", "where": [[1, 2, 3]], "count": 1},
    ]
    design, voxels = designed(7), built(7)
    assert document(design, voxels, plain) == document(design, voxels, FINDINGS)
    assert written(7)["checks"][1]["where"] == [[1, 2, 3]]


def test_bytes_do_not_depend_on_the_hash_seed() -> None:
    code = (
        "import hashlib\n"
        "from tests.outputs.houses import built, designed\n"
        "from genhouse.outputs.document.document import document\n"
        "print(hashlib.sha256(document(designed(3), built(3), ())).hexdigest())\n"
    )
    here = hashlib.sha256(document(designed(3), built(3), ())).hexdigest()
    for hash_seed in ("0", "1"):
        found = subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": hash_seed},
            cwd=Path(__file__).parents[3],
            capture_output=True,
            text=True,
            check=True,
        )
        assert found.stdout.strip() == here


def test_digests_are_what_the_schema_says_they_are() -> None:
    """Recomputed cell by cell, without numpy's help."""
    voxels, said = built(7), written(7)["digests"]
    for name in ("frame", "stair", "court"):
        number = voxels.about.stages.index(name)
        where, material, form = b"", b"", b""
        for x, y, z in zip(*(a.tolist() for a in np.nonzero(voxels.stage == number)), strict=True):
            where += b"".join(n.to_bytes(2, "little") for n in (x, y, z))
            material += bytes([voxels.material[x, y, z]])
            form += int(voxels.form[x, y, z]).to_bytes(2, "little")
        assert said["stages"][name] == hashlib.sha256(where + material + form).hexdigest()


def test_another_seed_for_a_late_stage_leaves_earlier_digests_alone() -> None:
    recipe = Recipe(seed=7, stage_seeds=(("fittings", 3),))
    design = design_house(recipe)
    other = json.loads(document(design, raster(design), ()))["digests"]
    first = written(7)["digests"]
    changed = {name for name, value in first["stages"].items() if other["stages"][name] != value}
    assert "fittings" in changed <= {"fittings", "lamps"}
    assert other["whole"] != first["whole"]


@pytest.mark.parametrize(
    "recipe",
    [
        Recipe(seed=0),
        Recipe(seed=2**64 - 1, stage_seeds=(("fittings", 3), ("roof", 2**63))),
        Recipe(seed=5, brief=Brief(client="Ōta", plot=(20, 25), gate="north", palette="cedar")),
    ],
    ids=["plain", "seeds", "brief"],
)
def test_the_recipe_comes_back(tmp_path: Path, recipe: Recipe) -> None:
    design = design_house(recipe)
    (tmp_path / "house.json").write_bytes(document(design, raster(design), ()))
    assert read_recipe(tmp_path) == recipe
    assert read_recipe(tmp_path / "house.json") == recipe


@pytest.mark.parametrize(
    ("contents", "said"),
    [
        (b"", "no house document"),
        (b"{]", "no house document"),
        (b"\xff\xfe", "no house document"),
        (b'{"format": "genhouse-voxels", "version": 1, "recipe": {}}', "no house document"),
        (b'{"format": "genhouse-house", "version": 1}', "version 1"),
        (b'{"format": "genhouse-house", "version": 6}', "recipe"),
    ],
)
def test_what_is_no_document_is_named(tmp_path: Path, contents: bytes, said: str) -> None:
    (tmp_path / "house.json").write_bytes(contents)
    with pytest.raises(UnreadableError, match=said):
        read_recipe(tmp_path)


def changed(tmp_path: Path, **recipe: Any) -> Path:
    value = written(7)
    value["recipe"] |= recipe
    (tmp_path / "house.json").write_text(json.dumps(value))
    return tmp_path


def test_a_recipe_that_cannot_be_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match="64 bits"):
        read_recipe(changed(tmp_path, seed=2**64))
    with pytest.raises(UnreadableError, match="cellar"):
        read_recipe(changed(tmp_path, stage_seeds={"cellar": 1}))
    with pytest.raises(UnreadableError, match="seed"):
        read_recipe(changed(tmp_path, seed=-1))


def test_a_later_version_is_refused(tmp_path: Path) -> None:
    (tmp_path / "house.json").write_text(json.dumps(written(7) | {"version": 99}))
    with pytest.raises(UnreadableError, match="version 99"):
        read_recipe(tmp_path)


def test_a_missing_document_is_named(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match="cannot be read"):
        read_recipe(tmp_path)


@pytest.mark.parametrize("house", HOUSES, ids=str)
def test_metrics_agree_with_the_bill(house: tuple[int, tuple[int, int] | None]) -> None:
    metrics = written(*house)["metrics"]
    lines = bill(built(*house))
    assert metrics["solid"] == sum(line.count for line in lines)
    for name, stage in metrics["stages"].items():
        assert stage["cells"] == sum(line.count for line in lines if line.stage == name)
        for piece, count in stage["pieces"].items():
            mine = (line for line in lines if (line.stage, line.piece) == (name, piece))
            assert count == sum(line.count for line in mine)
    for name, count in metrics["materials"].items():
        assert count == sum(line.count for line in lines if line.material == name)


def test_figures_of_one_house_counted_on_its_plan() -> None:
    """House 7: 426 clear cells in its schedules of rooms; gaps and court as dimensioned there."""
    said = written(7)
    assert said["metrics"]["floor"] == sum(r["area"] for r in said["rooms"] if r["indoor"])
    assert sum(said["metrics"]["areas"].values()) == sum(r["area"] for r in said["rooms"])
    for side, n in (("south", 0), ("west", 1)):
        gaps = said["bays"][side]["gaps"]
        length = max(w[n + 2] for w in said["wings"]) - min(w[n] for w in said["wings"])
        assert sum(gaps) + len(gaps) + 1 == length


@pytest.mark.parametrize("house", HOUSES, ids=str)
def test_every_room_is_reached_in_the_graph(house: tuple[int, tuple[int, int] | None]) -> None:
    import networkx as nx

    design = designed(*house)
    graph = room_graph(design)
    assert list(graph) == [0, *sorted(r.id for r in design.rooms)]
    assert nx.is_connected(graph)
    stairs = sum("stair" in ways for _, _, ways in graph.edges(data="ways"))
    assert stairs == len(design.stairs) == max(r.level for r in design.rooms) - 1
    assert graph.degree(0) >= 2  # the gate or front door, and the second entrance


def test_the_graph_in_the_document_is_the_graph() -> None:
    said, graph = written(7)["graph"], room_graph(designed(7))
    assert said["nodes"] == list(graph)
    assert {(e["low"], e["high"]) for e in said["edges"]} == set(graph.edges)
    for edge in said["edges"]:
        if edge["segment"] is not None:
            segment = designed(7).segments[edge["segment"]]
            assert {segment.low, segment.high} == {edge["low"], edge["high"]}
            assert segment.opening == edge["kind"]
