"""Every door through which something comes in, 5,000 cases; ``FUZZ=20`` tries twenty times as many."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from genhouse.cli.main import main
from genhouse.core.errors import InfeasibleError
from genhouse.generate.briefs import parse_brief, read_brief
from genhouse.house import design
from genhouse.inspection import inspect
from genhouse.outputs.arrays import parse_voxels, voxels_bytes
from genhouse.outputs.bill import bill, csv_bytes, read_rows
from genhouse.outputs.document.document import document
from genhouse.outputs.document.reading import read_design, read_recipe, read_saved, read_told
from genhouse.outputs.names import starter
from tests.fuzz.law import answered, check_result, little_memory, tried
from tests.fuzz.spoil import (
    ODD_TEXT,
    odd_values,
    spoilt_arrays,
    spoilt_bytes,
    spoilt_values,
)
from tests.houses import arrays
from tests.outputs.specimens import heap

pytestmark = pytest.mark.filterwarnings("ignore:Generating overly large repr")

BRIEFS = sorted((Path(__file__).parents[2] / "shared" / "briefs").glob("*.toml"))
HOUSE = design(2, {"plot": [17, 19], "storeys": 1})
TEXT = document(HOUSE.plan, HOUSE.voxels, ()).decode()
TOLD = spoilt_values(json.loads(TEXT)).map(lambda value: json.dumps(value).encode())
HEAP = arrays(heap(3))
WHOLE = voxels_bytes(HOUSE.voxels)
BILL = csv_bytes(bill(HOUSE.voxels))
NAMES = starter(HOUSE.voxels).replace(b",*,,", b",*,a log,")
KEYS = {
    "client": "Ada",
    "plot": [20, 24],
    "plot_least": [17, 19],
    "plot_most": [30, 40],
    "closed": 3,
    "courts": 2,
    "storeys": 2,
    "low": ["left"],
    "gallery": True,
    "service": True,
    "gate": "east",
    "mirror": True,
    "tradition": "timber",
    "palette": "cedar",
    "garden": "pond",
    "light": 10,
    "roof": {"form": "hip", "left": "gable", "profile": "straight", "swept": True, "dormers": 2},
    "rooms": [
        {"kind": "bath", "count": 1, "area": [4, 9], "storey": 1, "beside": ["kitchen"]},
        {"kind": "sleeping", "away": ["kitchen"], "court": True, "quiet": True},
    ],
}


@pytest.fixture(autouse=True, scope="module")
def _little_memory() -> Iterator[None]:
    with little_memory():
        yield


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("doors") / "file"


@tried(1000)
@given(st.one_of([spoilt_bytes(path.read_bytes()) for path in BRIEFS] + [st.binary(max_size=40)]))
def test_briefs(file: Path, data: bytes) -> None:
    file.write_bytes(data)
    answered(read_brief, file)


@tried(900)
@given(spoilt_values(KEYS))
def test_mappings(value: Any) -> None:
    if isinstance(value, dict):
        answered(parse_brief, value)


@tried(700)
@given(spoilt_arrays(HEAP))
def test_arrays(data: bytes) -> None:
    voxels = answered(parse_voxels, data)
    if voxels is not None:
        inspect(
            voxels,
            rows=[(line.stage, line.material, line.piece, line.count) for line in bill(voxels)],
        )
        assert np.array_equal(parse_voxels(voxels_bytes(voxels)).form, voxels.form)


@tried(600)
@given(spoilt_bytes(WHOLE))
def test_archives(data: bytes) -> None:
    answered(parse_voxels, data)


@tried(800)
@given(st.one_of(TOLD, TOLD, spoilt_bytes(TEXT.encode())))
def test_documents(file: Path, data: bytes) -> None:
    file.write_bytes(data)
    for door in (read_recipe, read_saved, read_design, read_told):
        answered(door, file)


@tried(400)
@given(spoilt_bytes(BILL))
def test_bills(file: Path, data: bytes) -> None:
    file.write_bytes(data)
    answered(read_rows, file)


@tried(400)
@given(spoilt_bytes(NAMES))
def test_tables_of_names(file: Path, data: bytes) -> None:
    file.write_bytes(data)
    answered(HOUSE.names, file)


COMMANDS = (
    "design",
    "ideas",
    "inspect",
    "show",
    "rooms",
    "names",
    "publish",
    "light",
    "vary",
    "choices",
)
OPTIONS = (
    *(
        "--out",
        "--brief",
        "--plot",
        "--gate",
        "--mirror",
        "--tradition",
        "--palette",
        "--garden",
        "--set",
        "--names",
        "--bundle",
    ),
    *(
        "--force",
        "--best",
        "--by",
        "--keep",
        "-n",
        "--json",
        "--drawing",
        "--floor-level",
        "--help",
        "--",
    ),
)
WORDS = (
    "7",
    "0:3",
    "18446744073709551616",
    "0:18446744073709551615",
    "17x19",
    "roof=3",
    "nowhere",
    ".",
)


def refuses(*_words: Any, **_more: Any) -> None:
    raise InfeasibleError("nothing is designed here", stage="site")


@tried(550)
@given(
    st.sampled_from(COMMANDS),
    st.lists(
        st.one_of(
            st.sampled_from((*OPTIONS, *WORDS)),
            odd_values().map(str),
            st.sampled_from(ODD_TEXT),
        ),
        max_size=5,
    ),
)
def test_words(file: Path, command: str, words: list[str]) -> None:
    """Up to where the work would begin."""
    with (
        patch("genhouse.sound.design_house", refuses),
        patch("genhouse.many.folder.best_ideas", refuses),
        patch("os.getcwd", lambda: str(file.parent)),
    ):
        check_result(CliRunner().invoke(main, [command, *words]), command)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return HOUSE.save(tmp_path_factory.mktemp("doors") / "house")


@tried(50)
@given(
    st.sampled_from((["inspect"], ["show"], ["show", "--json"], ["light"], ["rooms"])),
    st.one_of(
        TOLD.map(lambda data: {"house.json": data}),
        spoilt_arrays(arrays(HOUSE.voxels)).map(lambda data: {"house.npz": data}),
        spoilt_arrays(HEAP).map(lambda data: {"house.npz": data}),
    ),
)
def test_folders(folder: Path, command: list[str], spoilt: dict[str, bytes]) -> None:
    """A saved house in which one file is another's, or spoilt."""
    copy = folder.with_name("copy")
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(folder, copy)
    for name, data in spoilt.items():
        (copy / name).write_bytes(data)
    check_result(CliRunner().invoke(main, [command[0], str(copy), *command[1:]]), command[0])
