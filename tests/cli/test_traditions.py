"""``genhouse traditions``: a list, a start that holds as it is, and an exam that names each fault."""

from __future__ import annotations

from pathlib import Path

import pytest

from genhouse.traditions.folders import HEAD
from genhouse.traditions.lent import take_in
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.shelf import names, tables
from tests.cli.conftest import Run


def test_they_are_listed_with_their_titles(run: Run) -> None:
    lines = run("traditions").stdout.splitlines()
    assert [line.split("  ")[0].strip() for line in lines] == list(names())
    assert all(
        str(tables(name)["title"]) in line for name, line in zip(names(), lines, strict=True)
    )


def test_a_new_one_makes_houses_as_it_is(run: Run, tmp_path: Path) -> None:
    told = run("traditions", "new", str(tmp_path / "old-barn"))
    assert "genhouse design 7 --tradition" in told.stdout
    known = load_tradition(take_in(tmp_path / "old-barn"))
    assert known.title == "Old barn"
    assert "sunroom" in dict(known.kinds)
    assert "@" not in (tmp_path / "old-barn" / HEAD).read_text()
    checked = run("traditions", "check", str(tmp_path / "old-barn"), "--seeds", "1")
    assert (checked.exit_code, checked.stdout.split(": ")[-1].strip()) == (0, "it holds")


def test_what_does_not_hold_is_told(run: Run, tmp_path: Path) -> None:
    run("traditions", "new", str(tmp_path / "hut"))
    head = tmp_path / "hut" / HEAD
    head.write_text(head.read_text().replace("tail = 1", "lookout = 1"))
    checked = run("traditions", "check", str(tmp_path / "hut"), "--seeds", "1")
    assert checked.exit_code == 1
    assert f"{head}: plan.arrangements.lookout: no house of" in checked.stdout


@pytest.mark.parametrize("name", ["Bad", "a b", "9"])
def test_what_is_no_name_is_refused(run: Run, tmp_path: Path, name: str) -> None:
    refused = run("traditions", "new", str(tmp_path / name))
    assert refused.exit_code == 2
    assert "small letters, digits and hyphens" in refused.stderr
    assert not (tmp_path / name).exists()


def test_what_is_there_is_kept(run: Run, tmp_path: Path) -> None:
    (tmp_path / "hut").mkdir()
    refused = run("traditions", "new", str(tmp_path / "hut"))
    assert refused.exit_code == 2
    assert "it is there already" in refused.stderr
    refused = run("traditions", "check", str(tmp_path / "hut"))
    assert "has no tradition.toml" in refused.stderr
