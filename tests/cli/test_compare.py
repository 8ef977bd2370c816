"""``genhouse compare``: which houses changed, at which stage first, and an exit code for it."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Run

PLOT = ("--plot", "20x24", "--gate", "south")


def test_two_houses_are_compared_cell_by_cell(run: Run, house: Path, tmp_path: Path) -> None:
    assert run("design", 9, *PLOT, "--set", "court=2", "--out", "other").exit_code == 0
    result = run("compare", house, "other", "--fail-on", "roof", "--out", "page.html")
    assert result.exit_code == 0, result.output
    assert result.output.startswith("1 of 1 recipes make another house")
    assert "from the court on: court" in result.output
    page = (tmp_path / "page.html").read_text("utf-8")
    assert page.count("<img") == 3
    assert "cells differ" in page
    assert run("compare", house, "other", "--fail-on", "court").exit_code == 1
    same = run("compare", house, house, "--fail-on", "any")
    assert (same.exit_code, same.output[:2]) == (0, "0 ")


def test_two_surveys_are_compared_recipe_by_recipe(run: Run) -> None:
    words = ("--engine", "here", "--plot", "18x20")
    assert run("survey", "3:6", *words, "--out", "a").exit_code == 0
    assert run("survey", "4:8", *words, "--out", "b").exit_code == 0
    result = run("compare", "a", "b", "--fail-on", "any")
    assert result.exit_code == 0, result.output
    assert result.output == "0 of 2 recipes make another house; 1 are gone, 2 have come\n"


def test_two_installed_versions_are_compared(run: Run) -> None:
    result = run("compare", sys.executable, sys.executable, "--seeds", "4:5", "--fail-on", "any")
    assert result.exit_code == 0, result.output
    assert result.output.startswith("0 of 1 recipes make another house")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["a"], "Missing argument 'NEW'"),
        (["a", "b"], "a is none of a survey, a house's folder and a Python with genhouse"),
        (["a", "b", "--fail-on", "smoke"], "'smoke' is none; try any, outcome"),
        (["/bin/false", "/bin/false"], "cannot survey with its genhouse"),
        (["a", "b", "--seeds", "3"], "not a first seed and an end"),
    ],
)
def test_bad_words_are_refused_in_a_sentence(run: Run, words: list[str], said: str) -> None:
    result = run("compare", *words)
    assert result.exit_code == 2, result.output
    assert said in result.output
    assert result.output.count("\n") == 1
