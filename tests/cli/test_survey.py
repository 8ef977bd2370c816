"""``genhouse survey``: rows, a page and a document, gone on with, or one sentence."""

from __future__ import annotations

import json
import re
import sqlite3
from pathlib import Path

import pytest

from genhouse.model.brief import Recipe
from genhouse.sound import Sound, sound
from genhouse.survey import row
from tests.cli.conftest import Run

SMALL = ("--plot", "18x20:21x24", "--engine", "here")


def rows(folder: Path, *columns: str) -> list[tuple[object, ...]]:
    with sqlite3.connect(folder / "rows.sqlite") as table:
        return table.execute(f"SELECT {', '.join(columns)} FROM rows ORDER BY n").fetchall()


def test_a_survey_is_written_and_gone_on_with(run: Run, tmp_path: Path) -> None:
    result = run("survey", "3:9", *SMALL, "--out", "s")
    assert result.exit_code == 0, result.output
    assert re.fullmatch(
        r"s: 6 houses, \d refused, 0 at fault; \d+\.\d\d s of a processor each\n", result.output
    )
    out = tmp_path / "s"
    assert sorted(p.name for p in out.iterdir()) == ["rows.sqlite", "survey.html", "survey.json"]
    said = json.loads((out / "survey.json").read_bytes())
    assert said["rows"] == {
        "file": "rows.sqlite",
        "kind": "SQLite 3",
        "table": "rows",
        "order": "n",
    }
    assert said["request"]["brief"] == {"plot_least": [18, 20], "plot_most": [21, 24]}
    found = rows(out, "seed", "width", "length")
    assert [seed for seed, *_ in found] == ["3", "4", "5", "6", "7", "8"]
    assert all(18 <= w <= 21 and 20 <= d <= 24 for _, w, d in found if w)
    page = (out / "survey.html").read_text("utf-8")
    assert "http://" not in page.replace("http://www.w3.org", "")
    linked = set(re.findall(r'href="#(cell-[0-9]+-[0-9]+)"', page))
    assert linked
    assert linked == set(re.findall(r'id="(cell-[0-9]+-[0-9]+)"', page))
    before = rows(out, "*")
    again = run("survey", "3:9", *SMALL, "--out", "s", "--range", "walk,floor")
    assert again.output == result.output
    assert rows(out, "*") == before
    assert "Walk" in (out / "survey.html").read_text("utf-8")


def test_mixed_briefs_are_the_rules_own(run: Run, tmp_path: Path) -> None:
    from genhouse.generate.mixed import RULE, brief
    from genhouse.generate.remade import read_recipe

    result = run("survey", "0:3", "--sample", 2, "--out", "s", "--engine", "here")
    assert result.exit_code == 0, result.output
    said = json.loads((tmp_path / "s" / "survey.json").read_bytes())["request"]
    assert (said["sample"], said["rule"]) == (2, RULE)
    found = [read_recipe(str(text)) for (text,) in rows(tmp_path / "s", "recipe")]
    assert found == [Recipe(seed=n, brief=brief(n % 2)) for n in range(3)]


def test_all_traditions_are_surveyed(run: Run, tmp_path: Path) -> None:
    from genhouse.generate.remade import read_recipe
    from genhouse.traditions.shelf import names

    result = run("survey", "3:4", "--tradition", "all", *SMALL, "--out", "s")
    assert f"{len(names())} houses" in result.output
    found = [read_recipe(str(text)) for (text,) in rows(tmp_path / "s", "recipe")]
    assert [recipe.brief.tradition for recipe in found] == list(names())


def test_a_fault_is_told_with_its_line_and_the_smallest_brief(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def planted(recipe: Recipe) -> Sound:
        if recipe.brief.garden == "pond":
            raise KeyError("the pond of 4 cells")
        return sound(recipe)

    monkeypatch.setattr(row, "sound", planted)
    result = run("survey", "3:5", *SMALL, "--garden", "pond", "--palette", "cedar", "--out", "s")
    assert result.exit_code == 1
    assert "2 at fault" in result.output
    page = (tmp_path / "s" / "survey.html").read_text("utf-8")
    assert "KeyError: &#39;the pond of 4 cells&#39;" in page
    assert "genhouse.design(3, {&#39;plot_least&#39;: (18, 20)" in page
    assert "Smallest: <code>genhouse.design(0, {&#39;garden&#39;: &#39;pond&#39;})</code>" in page


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["7"], "not a first seed and an end, such as 0:60"),
        (["0:9999999999"], "1000000000 are the most"),
        (["0:4", "--engine", "steam"], "'steam' is none; it is here, pool, dask or the address"),
        (["0:4", "--range", "walk"], "range: it wants two figures"),
        (["0:4", "--range", "walk,hat"], "there is none called 'hat'"),
        (["0:4", "--sample", "2", "--garden", "pond"], "sample: its briefs are drawn"),
        (["0:4", "--plot", "20x24:9"], "nor two such, such as 20x24:30x40"),
        (["0:4", "--plot", "30x40:20x24"], "plot_"),
        (["0:4", "--palette", "smok"], "palette"),
        (["0:4", "--out", "nowhere/s"], "the folder nowhere does not exist"),
        (["0:4", "--processes", "0"], "processes"),
    ],
)
def test_bad_words_are_refused_in_a_sentence(
    run: Run, tmp_path: Path, words: list[str], said: str
) -> None:
    result = run("survey", *words)
    assert result.exit_code == 2, result.output
    assert said in result.output
    assert result.output.count("\n") == 1
    assert list(tmp_path.iterdir()) == []
