"""``genhouse village``: a folder, or one sentence; killed, it goes on."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from genhouse.cli.main import main

SMALL = ("--size", "192x192", "--houses", "3")


def run(*words: object) -> Result:
    return CliRunner().invoke(main, ["village", *map(str, words)])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("7", "--size", "500"), "size: '500' is not a width and a depth, such as 512x512"),
        (("7", "--size", "200x256"), "both are multiples of 64; 256x256 would work"),
        (("7", "--size", "64x64"), "size: 64 is not a whole number from 192 to 4096"),
        (("7", "--houses", "0"), "houses: 0 is not a whole number from 1 to 5000"),
        (("7", "--tradition", "straw"), "tradition"),
        (("7", "--tradition", "timber:x"), "tradition: 'x' is not a weight from 1 to 1000"),
        (("7", "--engine", "steam"), "engine: 'steam' is none"),
        (("7", "--terrain", "missing.npy"), "missing.npy cannot be read: no such file"),
        (("7", "--out", "nowhere/there"), "the folder nowhere does not exist"),
        ((*("7", "--size", "192x192"), "--houses", "400"), "fit on this ground, not 400"),
    ],
)
def test_what_cannot_be_is_one_sentence(
    words: tuple[str, ...], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    result = run(*words)
    assert result.exit_code == 2, result.output
    assert said in result.output
    assert result.output.count("\n") == 1
    assert not list(tmp_path.iterdir())


def test_terrain_that_is_no_picture_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "hills.png"
    file.write_bytes(b"not a picture")
    result = run(7, "--terrain", file, "--out", tmp_path / "v")
    assert (result.exit_code, result.output.count("\n")) == (2, 1)
    assert "neither a npy file nor a picture of heights" in result.output


def test_a_killed_run_goes_on_and_ends_in_the_same_bytes(tmp_path: Path) -> None:
    """Killed while its houses are made; what was made is not made twice, nothing is left beside it."""
    words = ["village", "2", *SMALL, "--out"]
    starts = "from genhouse.cli.start import start; start()"
    env = {**os.environ, "PYTHONPATH": str(Path.cwd())}
    command = [sys.executable, "-c", starts, *words]
    first = subprocess.Popen([*command, str(tmp_path / "one")], env=env, stdout=subprocess.DEVNULL)
    shelf = tmp_path / ".one.unfinished" / ".houses"
    for _ in range(1200):
        if any(shelf.glob("*.house")) or first.poll() is not None:
            break
        time.sleep(0.05)
    first.send_signal(signal.SIGKILL)
    first.wait()
    made = {p.name: p.stat().st_mtime_ns for p in shelf.glob("*.house")}
    if not (tmp_path / "one").exists():  # it was stopped in time
        assert made
    assert run("2", *SMALL, "--out", tmp_path / "one", "--force").exit_code == 0
    assert run("2", *SMALL, "--out", tmp_path / "two", "--engine", "here").exit_code == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["one", "two"]
    one, two = (
        {p.relative_to(d).as_posix(): p.read_bytes() for p in d.rglob("*") if p.is_file()}
        for d in (tmp_path / "one", tmp_path / "two")
    )
    assert one.keys() == two.keys()
    assert all(one[name] == two[name] for name in one)
    told = json.loads(one["village.json"])
    assert (told["houses"], told["size"]) == (3, [192, 192])


def test_heights_and_a_mask_of_ones_own(tmp_path: Path) -> None:
    x, y = np.indices((192, 192))
    np.save(tmp_path / "hills.npy", (5 + np.abs(y - 90) / 10 + x / 50).astype(np.float32))
    np.save(tmp_path / "mask.npy", x < 50)
    result = run(
        5, "--terrain", tmp_path / "hills.npy", "--keep-out", tmp_path / "mask.npy",
        "--houses", 2, "--out", tmp_path / "v",
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    assert "2 houses on 192 x 192 cells" in result.output
