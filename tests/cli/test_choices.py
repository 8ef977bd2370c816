"""``genhouse choices``: every name there is, from the data."""

from __future__ import annotations

import json

import pytest

from genhouse.model.brief import STAGE_NAMES
from genhouse.outputs.figures.named_figures import NAMED
from tests.cli.conftest import Run
from tests.houses import TIMBER


def test_every_group_is_listed_from_the_data(run: Run) -> None:
    found = json.loads(run("choices", "--json").stdout)
    assert list(found["kinds"]) == [name for name, _ in TIMBER.kinds]
    assert list(found["palettes"]) == [palette.name for palette in TIMBER.palettes]
    assert list(found["profiles"]) == [profile.name for profile in TIMBER.roof.profiles]
    assert list(found["stages"]) == list(STAGE_NAMES)
    better = {f.name: "more" if f.more else "less" for f in NAMED}
    assert {name: text.split()[-3] for name, text in found["figures"].items()} == better
    words = run("choices").stdout
    assert all(name in words for rows in found.values() for name in rows)


def test_one_group_is_listed_alone(run: Run) -> None:
    assert run("choices", "gardens").stdout.split()[0] == "pond"


@pytest.mark.parametrize("words", [["roofs"], ["kinds", "--tradition", "stone"]])
def test_what_there_is_not_is_refused(run: Run, words: list[str]) -> None:
    result = run("choices", *words)
    assert result.exit_code == 2
    assert "try " in result.output
