"""``genhouse vary``: whole houses that share what was kept."""

from __future__ import annotations

import json
from base64 import b64encode
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from genhouse.cli.main import main
from genhouse.house import load
from genhouse.many.apart import NEAREST
from genhouse.many.cards import PICTURE
from genhouse.outputs.document.document import document
from genhouse.outputs.document.reading import read_saved
from genhouse.outputs.pictures.picture import png
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
    assert said["view"] == "inside"
    assert said["variants"][0]["nearest"] >= said["nearest"] == float(NEAREST)
    assert "cut open above the lower floor" in result.output
    assert f"none nearer than {float(NEAREST):.2f}" in result.output
    page = (out / "variants.html").read_text("utf-8")
    assert "Variant 1, cut open above the lower floor" in page
    shown = load(out / "variant-1").picture("inside", size=PICTURE)
    assert b64encode(png(shown)).decode() in page


def test_a_house_that_this_version_makes_otherwise_is_not_varied(folder: Path) -> None:
    value = json.loads((folder / "house.json").read_bytes())
    value["digests"]["stages"] |= {"court": "0" * 64, "lamps": "1" * 64}
    (folder / "house.json").write_text(json.dumps(value))
    result = run(folder, "-n", 1)
    assert result.exit_code == 2
    assert "stage court is the first that differs" in result.output
    assert result.output.count("\n") == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--keep", "rooff"], "did you mean 'roof'"),
        (["--keep", "lamps"], "nothing would be left to vary"),
        (["-n", "0"], "from 1 to 1000"),
        (["-n", "1000000000"], "from 1 to 1000"),
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
