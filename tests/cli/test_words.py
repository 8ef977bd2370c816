"""Words on the command line."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from genhouse.cli.options import SAID
from genhouse.cli.words import FALL, OUTLINE, PLOT, SEED, SEEDS, SETTING, whole
from genhouse.core.errors import BriefError
from genhouse.model.bounds import MOST_SEEDS
from genhouse.model.brief import Ground


@pytest.mark.parametrize(
    ("text", "value"), [("0", 0), ("7", 7), ("007", 7), (str((1 << 64) - 1), (1 << 64) - 1)]
)
def test_seeds(text: str, value: int) -> None:
    assert whole("seed", text) == SEED.convert(text, None, None) == value


@pytest.mark.parametrize("text", ["23x32", "23 x 32", "23x 32", "23×32"])
def test_plots(text: str) -> None:
    assert PLOT.convert(text, None, None) == (23, 32)


def test_outlines() -> None:
    assert OUTLINE.convert("tee", None, None) == "tee"
    square = ((0, 0), (20, 0), (20, 24), (0, 24))
    assert OUTLINE.convert("0,0 20,0  20,24 0,24", None, None) == square
    assert OUTLINE.convert(square, None, None) == square
    for text in ("", "teeth", "0,0 20", "0,0;20,0", "0,0 20,-1"):
        with pytest.raises(
            BriefError, match=r"outline: .* is neither ell, tee, .* nor corners, such as"
        ):
            OUTLINE.convert(text, None, None)


def test_ground_that_falls() -> None:
    found = FALL.convert("northwest=2, northeast = 1", None, None)
    assert found == Ground(northwest=2, northeast=1)
    assert FALL.convert(SAID["ground"](found), None, None) == found
    assert FALL.convert(found, None, None) == found
    for text in (
        "",
        "north",
        "northwest=",
        "northwest=-1",
        "northwest=2;northeast=1",
        "northwest=²",
    ):
        with pytest.raises(BriefError, match=r"ground: .* is not corners .* such as northwest=2"):
            FALL.convert(text, None, None)
    with pytest.raises(BriefError, match="ground: there is no corner 'middle'"):
        FALL.convert("middle=1", None, None)


def test_ground_that_was_measured(tmp_path: Path) -> None:
    np.save(tmp_path / "slope.npy", [[0.0, 1.0], [0.5, 2.0]])
    measured = FALL.convert(str(tmp_path / "slope.npy"), None, None)
    assert measured == Ground(levels=((0, 50), (100, 200)))
    assert SAID["ground"](measured) == "0,50/100,200"
    assert FALL.convert("0,50/100,200", None, None) == measured
    with pytest.raises(BriefError, match=r"ground: none\.png cannot be read"):
        FALL.convert("none.png", None, None)


def test_settings() -> None:
    assert SETTING.convert("fittings=3", None, None) == ("fittings", 3)
    with pytest.raises(BriefError, match="fittings: '3=4'"):
        SETTING.convert("fittings=3=4", None, None)


def test_values_that_are_read_already_pass_through() -> None:
    assert SEED.convert(7, None, None) == 7
    assert PLOT.convert((23, 32), None, None) == (23, 32)
    assert SETTING.convert(("roof", 1), None, None) == ("roof", 1)


@pytest.mark.parametrize("text", ["0:1000000000", f"0:{(1 << 64) - 1}", f"5:{6 + MOST_SEEDS}"])
def test_more_seeds_than_can_be_made_are_refused_at_once(text: str) -> None:
    with pytest.raises(BriefError, match=rf"seeds: .* {MOST_SEEDS} are the most, such as \d:"):
        SEEDS.convert(text, None, None)


def test_ranges_of_seeds() -> None:
    assert SEEDS.convert("3:7", None, None) == range(3, 7)
    assert len(SEEDS.convert(f"5:{5 + MOST_SEEDS}", None, None)) == MOST_SEEDS
