"""Small villages, made once a process."""

from __future__ import annotations

import atexit
import hashlib
import shutil
import subprocess
import sys
import tempfile
from functools import cache
from pathlib import Path

from genhouse.village.folder import write_village
from genhouse.village.layout import Site, Village, build
from genhouse.village.public import site
from tests.repo.imports import ROOT

SMALL = (192, 192)
HOUSES = 4


@cache
def laid(seed: int) -> Site:
    return site(seed, SMALL, HOUSES)


@cache
def built(seed: int) -> Village:
    return build(laid(seed), processes=1)


@cache
def folder(seed: int) -> Path:
    """A village's folder, gone when the process ends."""
    place = Path(tempfile.mkdtemp(prefix="village-"))
    atexit.register(shutil.rmtree, place, ignore_errors=True)
    write_village(laid(seed), place / "village", processes=1)
    return place / "village"


def alone(place: Path) -> subprocess.Popen[str]:
    """The command in a process of its own, on a small village of three houses."""
    words = ["village", "2", "--size", "192x192", "--houses", "3", "--out", str(place)]
    run = "from genhouse.cli.start import start; start()"
    return subprocess.Popen(
        [sys.executable, "-c", run, *words],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def digests(place: Path) -> dict[str, str]:
    """Of all files of a folder, by name."""
    return {
        path.relative_to(place).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(place.rglob("*"))
        if path.is_file()
    }
