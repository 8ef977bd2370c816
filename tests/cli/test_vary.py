"""``genhouse vary``: whole houses that share what was kept."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from genhouse.cli.main import main
from genhouse.outputs.document.document import document
from genhouse.outputs.document.reading import read_saved
from tests.outputs.houses import built, designed


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "first").mkdir()
    (tmp_path / "first" / "house.json").write_bytes(document(designed(7), built(7), ()))
    return tmp_path / "first"


def run(*words: object) -> Result:
    return CliRunner().invoke(main, ["vary", *map(str, words)])


def test_variants_are_houses_that_agree_in_what_was_kept(folder: Path) -> None:
    result = run(folder, "--keep", "rooms,roof", "-n", 1)
    assert result.exit_code == 0, result.output
    out = folder.with_name("first-variants")
    assert sorted(p.name for p in out.iterdir()) == [
        "sheet.png",
        "variant-1",
        "variants.html",
        "variants.json",
    ]
    said = json.loads((out / "variants.json").read_bytes())
    first = read_saved(folder).digests.stages
    found = read_saved(out / "variant-1").digests.stages
    assert found == said["variants"][0]["digests"]
    assert all(found[stage] == first[stage] for stage in said["identical"])
    assert found["fittings"] != first["fittings"]
    assert said["identical"][-1] == "roof"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--keep", "rooff"], "did you mean 'roof'"),
        (["--keep", "lamps"], "nothing would be left to vary"),
        (["-n", "0"], "not 1 or more"),
    ],
)
def test_bad_words_are_refused_in_a_sentence(folder: Path, words: list[str], said: str) -> None:
    result = run(folder, *words)
    assert result.exit_code == 2
    assert said in result.output
    assert result.output.count("\n") == 1
    assert [p.name for p in folder.parent.iterdir()] == ["first"]


def test_no_house_is_refused(tmp_path: Path) -> None:
    result = run(tmp_path / "nowhere")
    assert result.exit_code == 2
    assert "cannot be read" in result.output
