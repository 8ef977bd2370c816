"""Folders of traditions: one rests on another, row by row, and whatever is amiss is told by its file."""

from __future__ import annotations

from pathlib import Path

import pytest

from genhouse.core.errors import TraditionError
from genhouse.traditions import folders
from genhouse.traditions.folders import SHELF, file_of, files, joined, names, read_folder, told
from genhouse.traditions.loader import parse_tradition
from genhouse.traditions.shelf import tables

BELOW = """
title = "Below"
[kind.hall]
level = 1
most = 2
[kind.loft]
level = 2
[front]
doors = ["blank"]
[front.look.blank]
head = ["", "", ""]
[[step]]
name = "walls"
title = "Build walls"
[[step]]
name = "roof"
title = "Cover it"
"""


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shelf with a folder of tables below, that is no tradition."""
    monkeypatch.setattr(folders, "SHELF", tmp_path)
    put(tmp_path, "below/tables.toml", BELOW)
    return tmp_path


def put(shelf: Path, name: str, text: str) -> Path:
    path = shelf / name
    path.parent.mkdir(exist_ok=True)
    path.write_text(text)
    return path.parent


def test_a_row_stands_in_place_of_the_one_below_as_a_whole(shelf: Path) -> None:
    own = put(
        shelf,
        "barn/tradition.toml",
        'like = "below"\ntitle = "Barn"\n[kind.hall]\nlevel = 3\n'
        '[front.look.slit]\nhead = ["", "", "bar"]\n',
    )
    found = read_folder(own)
    assert found["title"] == "Barn"
    assert found["kind"] == {"hall": {"level": 3}, "loft": {"level": 2}}
    assert found["front"]["doors"] == ["blank"]
    assert set(found["front"]["look"]) == {"blank", "slit"}
    assert "like" not in found
    assert names() == ("barn",)


def test_what_is_dropped_is_not_there(shelf: Path) -> None:
    own = put(
        shelf,
        "barn/tradition.toml",
        'like = "below"\ndrop = ["kind", "front.look.blank"]\n[kind.byre]\nlevel = 1\n',
    )
    found = read_folder(own)
    assert found["kind"] == {"byre": {"level": 1}}
    assert found["front"]["look"] == {}
    assert read_folder(shelf / "below")["kind"].keys() == {"hall", "loft"}


def test_a_step_stands_in_place_of_its_name_or_after_the_one_before_it() -> None:
    below = {"step": [{"name": "walls"}, {"name": "roof"}]}
    own = {"step": [{"name": "walls", "say": 1}, {"name": "dry"}]}
    assert joined(below, own)["step"] == [
        {"name": "walls", "say": 1},
        {"name": "dry"},
        {"name": "roof"},
    ]
    assert joined(below, {"step": [{"name": "clear"}]})["step"][0] == {"name": "clear"}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('like = "belw"', r"^barn/tradition\.toml: like: .*'belw'; did you mean 'below'"),
        ("like = 3", r"^barn/tradition\.toml: like: "),
        ('like = "barn"', r"^barn/tradition\.toml: like: 'barn' rests on this one"),
        (
            'like = "below"\ndrop = ["kind.hal"]',
            r"^barn/tradition\.toml: drop: .*'kind\.hal'; did you mean 'hall'",
        ),
        ('like = "below"\ndrop = "kind"', r"^barn/tradition\.toml: drop: it is a list"),
        ('like = "below"\ndrop = ["title.long"]', r"^barn/tradition\.toml: drop: .*'title\.long'"),
    ],
)
def test_what_is_amiss_is_told_by_its_file(shelf: Path, text: str, said: str) -> None:
    own = put(shelf, "barn/tradition.toml", text)
    with pytest.raises(TraditionError, match=said):
        read_folder(own)


def test_a_key_is_found_where_most_of_its_way_stands(shelf: Path) -> None:
    put(shelf, "barn/tradition.toml", 'like = "below"\n[kind.byre]\nlevel = 1\n')
    barn = put(shelf, "barn/fittings.toml", "[fitting.bed]\nclear = 1\n")
    assert file_of(barn, "kind.byre.level: too low") == "barn/tradition.toml"
    assert file_of(barn, "kind.hall.level: too low") == "below/tables.toml"
    assert file_of(barn, "kind: none") == "barn/tradition.toml"
    assert file_of(barn, "fitting.bed.layers[0]: ragged") == "barn/fittings.toml"
    assert file_of(barn, "heights: it lacks them") == "barn/tradition.toml"


def test_a_folder_without_a_head_is_for_others_to_rest_on() -> None:
    assert "common" not in names()
    assert (SHELF / "common" / "uses.toml").exists()


def test_a_refusal_names_the_file_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each key by the file in which it stands, or would stand; a file that is no TOML by itself."""
    for of in ("timber", "common"):
        for path in files(SHELF / of):
            (tmp_path / told(path)).parent.mkdir(exist_ok=True)
            (tmp_path / told(path)).write_text(path.read_text("utf-8"))
    (tmp_path / "timber" / "trades").mkdir()
    monkeypatch.setattr(folders, "SHELF", tmp_path)
    for file, old, new, said in IN_FILES:
        text = (tmp_path / file).read_text()
        assert old in text
        (tmp_path / file).write_text(text.replace(old, new, 1))
        with pytest.raises(TraditionError, match=said):
            parse_tradition("timber", tables.__wrapped__("timber"))
        (tmp_path / file).write_text(text)


IN_FILES = (
    (
        "timber/tradition.toml",
        "gaps = [3, 4, 5]",
        "gaps = [3]",
        r"^timber/tradition\.toml: bays\.gaps",
    ),
    ("timber/tradition.toml", '"common"', '"comon"', r"^timber/tradition\.toml: like: .*'common'"),
    (
        "timber/fittings.toml",
        'against = "wall"',
        'against = "sky"',
        r"^timber/fittings\.toml: fitting\.",
    ),
    ("common/uses.toml", "tread =", "treat =", r"^common/uses\.toml: use: .*'tread'"),
    ("timber/words.toml", "{side}", "{site}", r"^timber/words\.toml: words\.flight"),
    ("common/uses.toml", "[use]", "[use", r"^common/uses\.toml: .*line"),
    (
        "common/uses.toml",
        "[duty]",
        "[role]",
        r"^common/uses\.toml: role stands in another file too",
    ),
)
"""File, what is written over there, with what, and how the refusal begins."""
