"""Killed at any moment: there stands the old house or the new one, and the next run clears the rest."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from genhouse.core import system
from genhouse.outputs.files import HOUSE, check_target, write_folder
from genhouse.outputs.leftovers import held, tidy
from genhouse.outputs.written import sealed

pytestmark = pytest.mark.skipif(os.name != "posix", reason="kills by signal, and locks")
OLD = sealed({"house.json": b'{"format": "genhouse-house"}'}, "house.json")

KILLS = 60
LOOP = """
import os, signal, sys, time
from pathlib import Path
from genhouse.core.errors import WriteError
from genhouse.outputs import files
from genhouse.outputs.leftovers import tidy
from genhouse.outputs.written import sealed
target, own = Path(sys.argv[1]), b"mine"
if sys.argv[2] == "moved":
    files.exchange = lambda one, other: False
def house(n):
    told = b'{"format": "genhouse-house", "seed": %d}' % n
    return sealed({"house.json": told, "a": b"%d" % n * 999, "b": b"%d" % n * 9}, "house.json")
houses = [house(n) for n in (1, 2)]
files.write_folder(target, houses[0], force=0)
begun = time.monotonic()
files.write_folder(target, houses[0], force=1)
took = time.monotonic() - begun
(target / "notes.txt").write_bytes(own)
seen = set()
for n in range(int(sys.argv[3])):
    child = os.fork()
    if not child:
        while True:
            for found in houses[::-1]:
                files.write_folder(target, found, force=1)
    time.sleep(took / 20 * (1 + n * 7 % 61))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    if sys.argv[2] == "moved":
        tidy(target)
    there = {p.name: p.read_bytes() for p in target.iterdir()}
    assert there.pop("notes.txt") == own, n
    assert there in houses, (n, sorted(there))
    seen.add(houses.index(there))
    tidy(target)
    assert [p.name for p in target.parent.iterdir()] == [target.name], n
assert seen == {0, 1}
"""


@pytest.mark.parametrize("way", ["exchanged", "moved"])
def test_a_kill_leaves_the_old_house_or_the_new_one(tmp_path: Path, way: str) -> None:
    """Where names are exchanged, at every moment; elsewhere, once the next run has put it back."""
    command = [sys.executable, "-c", LOOP, str(tmp_path / "h"), way, str(KILLS)]
    run = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (run.returncode, run.stderr) == (0, "")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="of the Linux kernel")
def test_two_names_are_exchanged_in_one_step(tmp_path: Path) -> None:
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        (tmp_path / name / name).touch()
    assert system.exchange(tmp_path / "a", tmp_path / "b")
    assert (tmp_path / "a" / "b").exists()
    with pytest.raises(FileNotFoundError):
        system.exchange(tmp_path / "a", tmp_path / "none")


def test_what_another_run_still_writes_is_left_alone(tmp_path: Path) -> None:
    """Its number says nothing, for numbers are given anew: here it is that of this very process."""
    dead, alive = (tmp_path / f".a.partial-{os.getpid()}{end}" for end in ("", "-1"))
    for folder in (dead, alive):
        folder.mkdir()
    with held(alive) as mine:
        assert mine
        check_target(tmp_path / "a", force=0)
        assert list(tmp_path.iterdir()) == [alive]
        write_folder(tmp_path / "a", OLD, force=0)
        assert sorted(tmp_path.iterdir()) == [alive, tmp_path / "a"]
    tidy(tmp_path / "a")
    assert [p.name for p in tmp_path.iterdir()] == ["a"]


def test_what_was_moved_aside_is_put_back(tmp_path: Path) -> None:
    write_folder(tmp_path / ".a.replaced-7", OLD, force=0)
    tidy(tmp_path / "a")
    assert list(tmp_path.iterdir()) == [tmp_path / "a"]
    write_folder(tmp_path / ".a.replaced-8", OLD, force=0)
    tidy(tmp_path / "a")
    assert list(tmp_path.iterdir()) == [tmp_path / "a"]


@pytest.mark.parametrize(
    "name", [".a.partial-x", ".a.partial-1.txt", ".ab.partial-1", "a.partial-1"]
)
def test_names_that_are_not_ours_are_left_alone(tmp_path: Path, name: str) -> None:
    (tmp_path / name).mkdir()
    check_target(tmp_path / "a", force=0, marker=HOUSE)
    assert list(tmp_path.iterdir()) == [tmp_path / name]
