"""Traditions from outside: their folders are only read, their names follow from what they say."""

from __future__ import annotations

import os
import sys
from importlib import metadata
from pathlib import Path

import pytest

from genhouse.core.errors import BriefError, TraditionError, UnreadableError
from genhouse.generate.briefs import parse_brief, read_brief
from genhouse.house import design, load
from genhouse.traditions import folders, lent, shelf
from genhouse.traditions.building import trades_of
from genhouse.traditions.lent import OWN, PLACES, TRADES, TRUSTED, take_in
from genhouse.traditions.loader import load_tradition

BARN = 'like = "timber"\ntitle = "Barn house"\ndrop = ["palette"]\n[palette.plain]\npost = "pine"\n'


@pytest.fixture(autouse=True)
def alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is taken in here is forgotten afterwards."""
    monkeypatch.setattr(lent, "_LENT", {})
    monkeypatch.setattr(lent, "_FROM", {})
    monkeypatch.setattr(lent, "_TRUSTED", {})
    monkeypatch.setenv(PLACES, "")
    monkeypatch.setenv(TRUSTED, "")


@pytest.fixture
def barn(tmp_path: Path) -> Path:
    folder = tmp_path / "Old Barn"
    folder.mkdir()
    (folder / "tradition.toml").write_text(BARN)
    return folder


def test_its_name_follows_from_all_that_it_says(barn: Path) -> None:
    name = take_in(barn)
    assert name.startswith("old-barn-")
    assert take_in(barn) == name
    assert [p.name for p in load_tradition(name).palettes] == ["plain"]
    (barn / "more.toml").write_text('[role]\nledge = "pine"\n')
    assert take_in(barn) != name


def test_tables_of_no_tradition_are_refused_before_any_is_asked(barn: Path) -> None:
    (barn / "tradition.toml").write_text(BARN.replace('["palette"]', '["palette", "plan"]'))
    with pytest.raises(TraditionError, match="plan"):
        design(7, {"tradition": str(barn)})


def test_a_brief_names_it_by_its_path_from_where_the_brief_lies(barn: Path) -> None:
    (barn.parent / "brief.toml").write_text('tradition = "./Old Barn"\n')
    name = read_brief(barn.parent / "brief.toml").tradition
    assert parse_brief({"tradition": str(barn)}).tradition == name == take_in(barn)


def test_a_saved_house_is_read_and_made_again_without_the_folder(
    barn: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    house = design(7, {"tradition": str(barn), "plot": (20, 24), "storeys": 1})
    house.save(tmp_path / "house")
    monkeypatch.setattr(lent, "_LENT", {})
    monkeypatch.setenv(PLACES, "")
    again = load(tmp_path / "house")
    assert again.inspect().findings == ()
    assert design(again.recipe.seed, again.recipe.brief).digest == house.digest
    text = (tmp_path / "house" / "house.json").read_text()
    assert "Barn house" in text
    (tmp_path / "house" / "house.json").write_text(text.replace("Barn house", "Bern house"))
    with pytest.raises(UnreadableError, match="has tables of another tradition than its own"):
        load(tmp_path / "house")


def test_whoever_has_its_folder_in_the_variable_has_it(
    barn: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = take_in(barn)
    assert os.environ[PLACES] == str(barn)
    monkeypatch.setattr(lent, "_LENT", {})
    assert lent.text_of(name) is not None
    monkeypatch.setattr(lent, "_LENT", {})
    monkeypatch.setenv(PLACES, "")
    with pytest.raises(BriefError, match=f"the folder of '{name}' is not at hand; give it with"):
        shelf.tables.__wrapped__(name)


def test_what_is_no_folder_of_a_tradition_is_refused(barn: Path) -> None:
    with pytest.raises(BriefError, match=r"there is no folder .*nowhere"):
        take_in(barn / "nowhere")
    with pytest.raises(BriefError, match=r"has no tradition\.toml"):
        take_in(barn.parent)
    (barn / "tradition.toml").write_text('like = "timbre"\n')
    with pytest.raises(TraditionError, match=r"Old Barn/tradition\.toml: like: .*'timber'"):
        take_in(barn)


def test_what_is_amiss_in_it_is_told_by_its_file(barn: Path) -> None:
    (barn / "heights.toml").write_text("[heights]\nground = 2\nfull = { tie = 2, head = 9 }\n")
    with pytest.raises(TraditionError, match=r"Old Barn/heights\.toml: heights\.full\.head"):
        load_tradition(take_in(barn))


def test_its_own_trades_run_where_they_are_trusted_and_nowhere_else(barn: Path) -> None:
    (barn / "tradition.toml").write_text(f'builders = "{OWN}"\n{BARN}')
    with pytest.raises(TraditionError, match=rf"builders: there is no {TRADES} beside it"):
        take_in(barn)
    (barn / TRADES).write_text(
        "from genhouse.traditions.timber.trades import TRADES, USES\nTRADES = TRADES[:]\n"
    )
    with pytest.raises(TraditionError, match=r"is code that would run here; --trust lets it"):
        take_in(barn)
    assert len(trades_of(load_tradition(take_in(barn, trust=True)))) > 5
    (barn / TRADES).write_text("1 / 0\n")
    with pytest.raises(TraditionError, match=rf"{TRADES}: ZeroDivisionError"):
        load_tradition(take_in(barn, trust=True))


def test_a_package_brings_one_by_an_entry_point(
    barn: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = barn.parent / "barns"
    barn.rename(package)
    (package / "__init__.py").write_text("")
    monkeypatch.syspath_prepend(str(package.parent))
    point = metadata.EntryPoint("barn", "barns", lent.GROUP)
    monkeypatch.setattr(metadata, "entry_points", lambda **_: [point])
    monkeypatch.setattr(lent, "installed", lent.installed.__wrapped__)
    monkeypatch.delitem(sys.modules, "barns", raising=False)
    assert shelf.names() == tuple(sorted((*folders.names(), "barn")))
    assert shelf.tables.__wrapped__("barn")["title"] == "Barn house"
