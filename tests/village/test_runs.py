"""Runs that are stopped, lose workers, find the disk full or write elsewhere: the same in the end."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
import zarr

from genhouse.core.errors import BriefError, WriteError
from genhouse.village import folder
from genhouse.village.folder import write_village
from genhouse.village.public import site
from tests.repo.imports import ROOT
from tests.village.made import SMALL, alone, digests

POSIX = pytest.mark.skipif(os.name != "posix", reason="ends a process by signal")


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    place = tmp_path_factory.mktemp("whole") / "village"
    write_village(site(2, SMALL, 3), place, processes=1)
    return digests(place)


def stopped(place: Path, number: int, once: str = ".houses/*.house") -> tuple[int, str]:
    """What a run returns and says that is sent a signal once a file is there: its first house."""
    run = alone(place)
    kept = place.with_name(f".{place.name}.unfinished")
    while run.poll() is None and not any(file.stat().st_size for file in kept.glob(once)):
        time.sleep(0.01)
    assert run.poll() is None
    os.kill(run.pid, number)
    said = run.communicate(timeout=60)[1]
    return run.returncode, said


@POSIX
def test_what_was_killed_goes_on_with_nothing_lost_or_done_twice(
    tmp_path: Path, whole: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "village"
    assert stopped(place, signal.SIGKILL)[0] == -signal.SIGKILL
    assert not place.exists()
    kept = list((tmp_path / ".village.unfinished" / ".houses").glob("*.house"))
    again: list[str] = []
    put = folder.Shelf.put

    def noted(self: folder.Shelf, built: object) -> None:
        again.append(self._file(built.recipe).name)  # type: ignore[attr-defined]
        put(self, built)  # type: ignore[arg-type]

    monkeypatch.setattr(folder.Shelf, "put", noted)
    write_village(site(2, SMALL, 3), place, processes=1)
    assert kept
    assert not {file.name for file in kept} & set(again)
    assert digests(place) == whole
    assert [entry.name for entry in tmp_path.iterdir()] == ["village"]


@POSIX
def test_what_was_killed_while_pieces_were_written_goes_on_behind_them(
    tmp_path: Path, whole: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "village"
    assert stopped(place, signal.SIGKILL, ".done")[0] == -signal.SIGKILL
    done = (tmp_path / ".village.unfinished" / ".done").read_text("ascii").split()
    again: list[str] = []
    put = folder.put

    def noted(store: Path, box: tuple[int, ...], found: object) -> None:
        again.append("-".join(map(str, box)))
        put(store, box, found)  # type: ignore[arg-type]

    monkeypatch.setattr(folder, "put", noted)
    write_village(site(2, SMALL, 3), place, processes=1)
    assert done
    assert len(again) == len(set(again)) == 4 - len(done)
    assert not set(done) & set(again)
    assert digests(place) == whole


@POSIX
def test_an_interrupt_is_followed_without_a_word_too_many(tmp_path: Path) -> None:
    code, said = stopped(tmp_path / "village", signal.SIGINT)
    assert code == 130
    assert "Traceback" not in said
    assert not (tmp_path / "village").exists()


def test_a_full_disk_is_told_in_a_sentence_and_gone_on_from(
    tmp_path: Path, whole: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "village"
    written: list[object] = []
    put = folder.put

    def full(store: Path, box: object, found: object) -> None:
        if written:
            raise OSError(errno.ENOSPC, "No space left on device")
        written.append(box)
        put(store, box, found)  # type: ignore[arg-type]

    monkeypatch.setattr(folder, "put", full)
    with pytest.raises(WriteError, match="begun again, it goes on where it was") as error:
        write_village(site(2, SMALL, 3), place, processes=1)
    assert "\n" not in str(error.value)
    assert not place.exists()
    monkeypatch.setattr(folder, "put", put)
    write_village(site(2, SMALL, 3), place, processes=1)
    assert digests(place) == whole


@POSIX
def test_a_cluster_that_loses_a_worker_makes_the_same(
    tmp_path: Path, whole: dict[str, str]
) -> None:
    pytest.importorskip("distributed")
    place = tmp_path / "village"
    command = [sys.executable, "-m", "tests.village.on_cluster", str(place)]
    done = subprocess.run(
        command, cwd=ROOT, capture_output=True, text=True, timeout=300, check=False
    )
    assert (done.returncode, done.stdout) == (0, "written\n"), done.stderr
    assert digests(place) == whole


def test_cells_may_go_to_any_address(tmp_path: Path, whole: dict[str, str]) -> None:
    place, address = tmp_path / "village", f"file://{tmp_path / 'elsewhere' / 'cells.zarr'}"
    write_village(site(2, SMALL, 3), place, processes=1, store=address)
    inner = digests(tmp_path / "elsewhere" / "cells.zarr")
    own = {name.removeprefix("village.zarr/"): code for name, code in whole.items()}
    assert inner == {name: own[name] for name in inner}
    assert not (place / "village.zarr").exists()
    assert {n for n in whole if n not in digests(place)} == {
        n for n in whole if n.startswith("village.zarr/")
    }
    with pytest.raises(BriefError, match="store: 'ftq://x' is no address"):
        write_village(site(2, SMALL, 3), tmp_path / "other", processes=1, store="ftq://x")


def test_each_house_has_its_folder_and_each_quarter_may_have_its_tradition(tmp_path: Path) -> None:
    place, mixed = tmp_path / "village", (("timber", 1), ("farm", 1))
    made = write_village(site(3, SMALL, 4, traditions=mixed), place, processes=1, folders=True)
    names = {house.recipe.brief.tradition for house in made.houses}
    assert names == {"timber", "farm"}
    group = zarr.open_group(place / "village.zarr", mode="r")
    told = [entry["name"] for entry in group.attrs["materials"]]  # type: ignore[union-attr, index, call-overload]
    for house in made.houses:
        alone_ = np.load(place / "houses" / f"{house.plot.number:04d}" / "house.npz")
        x0, y0, _, _ = house.rect
        z = made.levels[house.plot.number - 1] - 2
        w, d, h = house.size
        part = np.s_[x0 : x0 + w, y0 : y0 + d, z : z + h]
        own = np.array([m.name for m in house.voxels.about.materials])[alone_["material"]]
        there = np.array(told)[np.asarray(group["material"][part])]
        assert (there == own)[house.covers].all()
