"""``genhouse ideas``: a sheet, a page and a list, or one sentence."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from genhouse.cli.main import main

BRIEF = '[[rooms]]\nkind = "sleeping"\ncount = 9\n'


def run(*words: object) -> Result:
    return CliRunner().invoke(main, ["ideas", *map(str, words)])


def test_a_sheet_a_page_and_a_list_are_written(tmp_path: Path) -> None:
    out = tmp_path / "sheet"
    result = run("0:4", "--best", 2, "--by", "privacy,-pieces", "--out", out)
    assert result.exit_code == 0, result.output
    assert "2 houses of 4 seeds" in result.output
    assert sorted(p.name for p in out.iterdir()) == ["ideas.html", "ideas.json", "sheet.png"]
    said = json.loads((out / "ideas.json").read_bytes())
    assert said["format"] == "genhouse-ideas"
    assert [pick["distances"][n] for n, pick in enumerate(said["picks"])] == [0, 0]
    page = (out / "ideas.html").read_text("utf-8")
    for pick in said["picks"]:
        assert f"House {pick['recipe']['seed']}" in page
        assert f"genhouse design {pick['recipe']['seed']}" in page
    assert page.count("<article") == 2
    assert "src=" in page
    assert 'src="http' not in page
    picture = Image.open(io.BytesIO((out / "sheet.png").read_bytes()))
    assert picture.width > 900
    again = run("0:4", "--best", 2, "--by", "privacy,-pieces", "--out", tmp_path / "again")
    assert again.exit_code == 0
    for name in ("ideas.html", "ideas.json", "sheet.png"):
        assert (tmp_path / "again" / name).read_bytes() == (out / name).read_bytes()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["7"], "not a first seed and an end, such as 0:60"),
        (["5:5"], "holds none"),
        (["a:b"], "not a whole number"),
        (["0:3", "--by", "beauty"], "try floor, privacy"),
        (["0:3", "--by", ""], "no figure"),
        (["0:3", "--best", "0"], "not 1 or more"),
        (["0:3", "--brief", "nowhere.toml"], "cannot be read"),
    ],
)
def test_bad_words_are_refused_in_a_sentence(words: list[str], said: str, tmp_path: Path) -> None:
    result = run(*words, "--out", tmp_path / "sheet")
    assert result.exit_code == 2
    assert said in result.output
    assert result.output.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_nothing_feasible_is_said_with_a_reason(tmp_path: Path) -> None:
    brief = tmp_path / "brief.toml"
    brief.write_text("plot = [17, 19]\n" + BRIEF)
    result = run("0:2", "--brief", brief, "--out", tmp_path / "sheet")
    assert result.exit_code == 2
    assert "none of the 2 seeds makes a house: " in result.output
    assert not (tmp_path / "sheet").exists()


def test_only_a_sheet_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "house.json").write_text('{"format": "genhouse-house"}')
    result = run("0:2", "--out", tmp_path, "--force")
    assert result.exit_code == 2
    assert "no sheet of ideas" in result.output


def test_the_options_of_design_hold_for_ideas(tmp_path: Path) -> None:
    """Every house answers them, and the line that makes it says them again."""
    out = tmp_path / "sheet"
    asked = ["--plot", "21x26", "--gate", "east", "--palette", "frost", "--set", "fittings=3"]
    assert run("0:3", "--best", 2, *asked, "--out", out).exit_code == 0
    said = json.loads((out / "ideas.json").read_bytes())
    for pick in said["picks"]:
        brief = pick["recipe"]["brief"]
        assert (brief["plot"], brief["gate"], brief["palette"]) == ([21, 26], "east", "frost")
        assert pick["recipe"]["stage_seeds"] == [["fittings", 3]]
    line = f"genhouse design {said['picks'][0]['recipe']['seed']} {' '.join(asked)}"
    assert line in (out / "ideas.html").read_text("utf-8")
