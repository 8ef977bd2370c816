"""Small villages, made once a process."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from functools import cache
from pathlib import Path

from genhouse.village.folder import write_village
from genhouse.village.layout import Site, Village, build
from genhouse.village.public import site

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
