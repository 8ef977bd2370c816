"""Traditions that no folder of the shelf holds: tables put there for a while, folders from outside, and
those that installed packages bring.

A folder from outside is only read: TOML, and the trades of a shipped builder.  Trades of its own are code,
and run where that is trusted.  Its name follows from all that it says, so that the same name always means
the same house, on whatever machine its folder is given.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Mapping
from importlib import import_module, metadata, util
from pathlib import Path
from types import ModuleType
from typing import Any

from genhouse.core.errors import BriefError, TraditionError
from genhouse.core.kept import once
from genhouse.core.reading import said
from genhouse.traditions import folders
from genhouse.traditions.folders import HEAD, told

GROUP = "genhouse.traditions"
"""Entry points of packages that bring a tradition: a name, and the package in whose folder it stands."""
PLACES = "GENHOUSE_TRADITIONS"
"""The variable that names folders of traditions beside the shelf, so that workers have them too."""
TRUSTED = "GENHOUSE_TRUSTED"
"""The same of those whose own trades may run."""
TRADES = "trades.py"
"""What a folder's own trades stand in."""
OWN = "own"
"""What ``builders`` says where these build it."""
_LENT: dict[str, str] = {}
_FROM: dict[str, Path] = {}
_TRUSTED: dict[str, Path] = {}


def lend(data: Mapping[str, Any], called: str = "lent") -> str:
    """Put a way of building that no file holds on the shelf, for as long as this process runs.

    data: its tables.  Its name follows from them, so that the same name always means the same.
    """
    text = json.dumps(data, ensure_ascii=False)
    name = f"{called}-{_hash(text.encode())}"
    _LENT.setdefault(name, text)
    return name


def text_of(name: str) -> str | None:
    """The tables that were lent under a name, as JSON; of one of the folders beside the shelf too."""
    if name not in _LENT and is_lent(name):
        for place in _listed(PLACES):
            take_in(Path(place), trust=place in _listed(TRUSTED))
    return _LENT.get(name)


def is_lent(name: str) -> bool:
    """Whether a name is one that follows from what a tradition says."""
    return re.fullmatch(r".+-[0-9a-f]{16}", name) is not None


def is_path(words: str) -> bool:
    """Whether a tradition is told by its folder.

    >>> is_path("./barn"), is_path("barn")
    (True, False)
    """
    return words.startswith(".") or "/" in words or os.sep in words


def take_in(folder: Path, *, trust: bool = False) -> str:
    """The name of a tradition whose folder is given, which is on the shelf from now on.

    trust: whether trades of its own may run.  Raises BriefError where there is no such folder, and
    TraditionError, with its file, for what is amiss in it.
    """
    if not folder.is_dir():
        raise BriefError(
            f"tradition: there is no folder {said(folder)}; genhouse traditions new writes one"
        )
    if not (folder / HEAD).is_file():
        raise BriefError(
            f"tradition: {said(folder)} has no {HEAD}; genhouse traditions new writes one"
        )
    data = folders.read_folder(folder)
    if data.get("builders") == OWN:
        data["builders"] = _own_builders(folder, trust)
    name = lend(
        data, re.sub(r"[^a-z0-9]+", "-", folder.resolve().name.lower()).strip("-") or "lent"
    )
    _FROM[name] = folder
    _list(PLACES, folder)
    return name


def folder_of(name: str) -> Path | None:
    """The folder of a tradition from outside, or that a package brings."""
    return _FROM.get(name) or installed().get(name)


@once
def installed() -> Mapping[str, Path]:
    """The folders of traditions that installed packages bring, by name."""
    found: dict[str, Path] = {}
    for point in metadata.entry_points(group=GROUP):
        spec = util.find_spec(point.module)
        if spec is not None and spec.submodule_search_locations:
            found[point.name] = Path(next(iter(spec.submodule_search_locations)))
    return found


def own_trades(builders: str) -> ModuleType | None:
    """The trades of a trusted folder, or of an installed tradition."""
    if builders in _TRUSTED:
        return _run(_TRUSTED[builders], builders)
    for point in metadata.entry_points(group=GROUP) if builders in installed() else ():
        if point.name == builders:
            return import_module(f"{point.module}.trades")
    return None


def own_builders() -> tuple[str, ...]:
    """Whose trades there are beside those of the shelf."""
    return (*_TRUSTED, *(n for n, at in installed().items() if (at / TRADES).exists()))


def _own_builders(folder: Path, trust: bool) -> str:
    """A name for the trades of a folder, which follows from them.  Raises TraditionError."""
    where = f"{told(folder / HEAD)}: builders"
    if not (folder / TRADES).is_file():
        raise TraditionError(f"{where}: there is no {TRADES} beside it; name builders of the shelf")
    if not trust:
        raise TraditionError(
            f"{where}: {TRADES} beside it is code that would run here; --trust lets it, or name "
            f"builders of the shelf, {', '.join(folders.builders())}"
        )
    name = f"{OWN}-{_hash((folder / TRADES).read_bytes())}"
    _TRUSTED[name] = folder
    _list(TRUSTED, folder)
    return name


@once
def _run(folder: Path, name: str) -> ModuleType:
    """Once for what stands in it, after which its name is called."""
    spec = util.spec_from_file_location(name.replace("-", "_"), folder / TRADES)
    if spec is None or spec.loader is None:
        raise TraditionError(f"{told(folder / TRADES)}: it is no module")
    module = util.module_from_spec(spec)
    try:
        spec.loader.exec_module(module)
        _ = module.TRADES, module.USES
    except Exception as error:  # whatever a stranger's code raises
        raise TraditionError(f"{told(folder / TRADES)}: {type(error).__name__}: {error}") from error
    return module


def _listed(variable: str) -> list[str]:
    return [place for place in os.environ.get(variable, "").split(os.pathsep) if place]


def _list(variable: str, folder: Path) -> None:
    places = dict.fromkeys([*_listed(variable), str(folder.resolve())])
    os.environ[variable] = os.pathsep.join(places)


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:16]
