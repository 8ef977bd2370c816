"""The file contract as it is written in ``shared/contract.md``, held to what is written to disk."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path

import numpy as np

from tests.houses import anyhow

TEXT = (Path(__file__).parents[2] / "shared" / "contract.md").read_text("utf-8")


def rows(heading: str) -> list[list[str]]:
    """The cells of the first table after a heading, its own heading left out."""
    table = TEXT.split(f"\n{heading}\n", 1)[1].split("\n|", 1)[1].split("\n\n", 1)[0]
    lines = table.splitlines()[2:]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


def test_every_file_of_a_house_folder_is_told_and_is_there() -> None:
    told = {name for row in rows("## A house folder") for name in re.findall("`([^`]+)`", row[0])}
    files = set(anyhow(7).files())
    assert told == {re.sub(r"^sheets/level-\d\d\.svg$", "sheets/*.svg", name) for name in files}


def test_the_arrays_are_as_told() -> None:
    with np.load(io.BytesIO(anyhow(7).files()["house.npz"]), allow_pickle=False) as archive:
        arrays = {name: archive[name] for name in archive.files}
    told = {row[0].strip("`"): row[1] for row in rows("## house.npz")}
    assert list(told) == list(arrays)
    for name, words in told.items():
        kind, _, shape = words.replace("`", "").partition(" ")
        kind = kind.rstrip(",")
        array = arrays[name]
        assert (array.dtype.kind == "U") if kind == "str" else (array.dtype == np.dtype(kind)), name
        assert array.ndim == shape.count(",") + 1 if "[" in shape else array.ndim == 0, name


def test_the_record_has_the_keys_that_are_told() -> None:
    told = re.search(r'^`about`: `(\{"format".*\})`$', TEXT, re.M)
    assert told is not None
    about = json.loads(
        np.load(io.BytesIO(anyhow(7).files()["house.npz"]), allow_pickle=False)["about"].item()
    )
    materials = re.search(r'"materials": \[\{([^}]*)\}', told[1])
    assert materials is not None
    allowed = set(re.findall(r'"(\w+)"\??', materials[1]))
    assert {key for entry in about["materials"] for key in entry} <= allowed
    outer = re.sub(r"\[\{[^]]*\]", "[]", told[1])
    assert list(about) == re.findall(r'"(\w+)"(?::|,|\})', outer.replace('"genhouse-voxels"', "x"))
    version = re.search(r'"version": (\d+)', told[1])
    assert version is not None
    assert about["version"] == int(version[1])
