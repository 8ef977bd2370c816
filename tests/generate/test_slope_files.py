"""Sloping ground from a file: levels in the recipe, and a refusal of one sentence for what is none."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from genhouse.core.errors import BriefError
from genhouse.generate.briefs import parse_brief, read_brief
from genhouse.generate.slope_files import MOST_POINTS, read_ground
from genhouse.house import load, make
from genhouse.model.bounds import MOST_LEVELS
from genhouse.model.brief import Ground, Recipe

SLOPE = np.array([[0.0, 0.5, 1.0], [0.25, 1.0, 1.75]])
"""By x and y: two points from west to east, three from south to north."""
LEVELS = ((0, 25), (50, 100), (100, 175))
"""The same worked by hand: row by row from the south."""


def kept(path: Path, heights: object) -> Path:
    np.save(path, np.asarray(heights))
    return path


def test_a_table_is_read_by_x_and_y(tmp_path: Path) -> None:
    assert read_ground(kept(tmp_path / "a.npy", SLOPE)) == Ground(levels=LEVELS)
    assert read_ground(kept(tmp_path / "b.npy", np.asfortranarray(SLOPE))).levels == LEVELS
    assert read_ground(kept(tmp_path / "c.npy", SLOPE + 40)).levels == LEVELS
    assert read_ground(kept(tmp_path / "d.npy", [[3, 4], [5, 3]])).levels == ((0, 200), (100, 0))


@pytest.mark.parametrize("dtype", [np.uint8, np.uint16])
def test_a_picture_is_read_with_north_up(tmp_path: Path, dtype: type[np.generic]) -> None:
    """A row of pixels is what lies as far north; the first is the farthest."""
    grey = (np.array([[100, 175], [50, 100], [0, 25]]) + 30).astype(dtype)
    Image.fromarray(grey).save(tmp_path / "slope.png")
    assert read_ground(tmp_path / "slope.png").levels == LEVELS


def test_of_many_points_as_many_are_read_as_a_brief_has(tmp_path: Path) -> None:
    """A plane stays one to a hundredth of a cell and the step of a point; first and last are kept."""
    size = 5 * MOST_LEVELS
    plane = np.linspace(0, 2, size)[:, None] * np.ones(size)
    levels = read_ground(kept(tmp_path / "plane.npy", plane)).levels
    assert levels is not None
    assert len(levels) == len(levels[0]) == MOST_LEVELS
    wanted = np.linspace(0, 200, MOST_LEVELS)
    assert np.abs(np.array(levels) - wanted).max() <= 200 / size + 1
    assert {row[0] for row in levels} == {0}
    assert {row[-1] for row in levels} == {200}


def test_a_brief_names_the_file_beside_it(tmp_path: Path) -> None:
    kept(tmp_path / "slope.npy", SLOPE)
    (tmp_path / "brief.toml").write_text('plot = [30, 40]\nground = "slope.npy"\n')
    brief = read_brief(tmp_path / "brief.toml")
    assert brief.ground == Ground(levels=LEVELS)
    assert parse_brief({"plot": [30, 40], "ground": {"levels": LEVELS}}) == brief


def test_a_house_is_made_again_without_the_file(tmp_path: Path) -> None:
    slope = kept(tmp_path / "slope.npy", SLOPE)
    (tmp_path / "brief.toml").write_text('ground = "slope.npy"\n')
    house = make(Recipe(seed=7, brief=read_brief(tmp_path / "brief.toml")))
    house.save(tmp_path / "house")
    slope.unlink()
    again = load(tmp_path / "house")
    assert again.recipe == house.recipe
    assert (make(again.recipe).voxels.form == house.voxels.form).all()


NO_TABLES: dict[str, tuple[object, str]] = {
    "steep": ([[0.0, 4.01], [0.0, 0.0]], "falls 4.01 cells; a house steps down 4 at the most"),
    "no number": ([[0.0, np.nan], [0.0, 0.0]], "holds what is no number"),
    "endless": ([[0.0, np.inf], [0.0, 0.0]], "holds what is no number"),
    "words": ([["a", "b"], ["c", "d"]], "it holds no numbers"),
    "one row": ([[0.0, 1.0]], f"2 to {MOST_POINTS}"),
    "a line": ([0.0, 1.0], f"2 to {MOST_POINTS}"),
    "deep": (np.zeros((2, 2, 2)), f"2 to {MOST_POINTS}"),
    "wide": (np.zeros((2, MOST_POINTS + 1)), f"2 to {MOST_POINTS}"),
    "nothing": (np.zeros((0, 4)), f"2 to {MOST_POINTS}"),
}


@pytest.mark.parametrize("name", NO_TABLES)
def test_what_is_no_slope_is_refused_in_one_sentence(tmp_path: Path, name: str) -> None:
    heights, words = NO_TABLES[name]
    path = kept(tmp_path / "slope.npy", heights)
    with pytest.raises(BriefError) as refusal:
        read_ground(path)
    assert words in str(refusal.value)
    assert str(refusal.value).startswith("ground: ")
    assert "\n" not in str(refusal.value)


def test_other_files_are_refused(tmp_path: Path) -> None:
    (tmp_path / "bad.npy").write_bytes(b"\x93NUMPY\x01\x00")
    (tmp_path / "bad.png").write_bytes(b"\x89PNG\r\n\x1a\nnothing")
    (tmp_path / "slope.txt").write_text("0 1")
    Image.new("RGB", (4, 4)).save(tmp_path / "colours.png")
    Image.new("L", (2, MOST_POINTS + 1)).save(tmp_path / "wide.png")
    (tmp_path / "folder.npy").mkdir()
    for name, words in {
        "bad.npy": "no whole array",
        "bad.png": "no whole picture",
        "slope.txt": r"give a \.npy or a \.png",
        "colours.png": "shades of grey",
        "wide.png": f"2 to {MOST_POINTS}",
        "folder.npy": "it is a folder",
        "none.npy": "no such file",
    }.items():
        with pytest.raises(BriefError, match=rf"^ground: .*{name}.*{words}"):
            read_ground(tmp_path / name)


def test_words_that_come_from_elsewhere_open_no_file() -> None:
    with pytest.raises(BriefError, match="a table of corners"):
        parse_brief({"ground": "slope.npy"})
