"""The folders of traditions: TOML files that are one set of tables, resting on those of another folder.

``like`` names a folder of the shelf whose rows hold wherever a tradition says nothing else: a row of a
table (``[kind.kitchen]``) stands in place of the one under it as a whole, a step in place of the one of
its name.  ``drop`` names tables and rows (``"kind"``, ``"fitting.bed"``) that are left out of what lies
below, before anything is said.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from genhouse.core.errors import TraditionError
from genhouse.core.reading import TABLE, read_text
from genhouse.core.sentences import closest, quoted

SHELF = Path(__file__).parent
HEAD = "tradition.toml"
"""What makes a folder a tradition; one without it has tables for others to rest on."""
NESTED = ("front", "words")
"""Tables of tables: their rows lie one deeper."""
Tables = Mapping[str, Any]


def read_folder(folder: Path) -> dict[str, Any]:
    """All that a tradition says, with what it rests on.  Raises TraditionError, with the file."""
    found: dict[str, Any] = {}
    for of in reversed(_below(folder)):
        own = _own(of)
        own.pop("like", None)
        found = joined(_less(found, own.pop("drop", []), of), own)
    return found


def joined(base: Tables, own: Tables) -> dict[str, Any]:
    """Tables laid over others, row by row.

    >>> joined({"kind": {"hall": {"level": 1}, "loft": {"level": 2}}}, {"kind": {"hall": {"level": 2}}})
    {'kind': {'hall': {'level': 2}, 'loft': {'level': 2}}}
    """
    return {**base, **{key: _over(base.get(key), value, key) for key, value in own.items()}}


def _over(base: Any, own: Any, key: str) -> Any:
    if isinstance(base, Mapping) and isinstance(own, Mapping):
        inner = {row: _over(base.get(row), some, "") for row, some in own.items()}
        return {**base, **(inner if key in NESTED else own)}
    return _steps(base, own) if key == "step" and base else own


def _steps(base: Sequence[Tables], own: Sequence[Tables]) -> list[Tables]:
    """Steps in place of those of their names; any other comes after the one that it is told after."""
    found, at = list(base), 0
    for step in own:
        names = [one.get("name") for one in found]
        known = step.get("name") in names
        at = names.index(step.get("name")) if known else at
        found[at : at + known] = [step]
        at += 1
    return found


def _less(tables: Tables, drop: Any, folder: Path) -> dict[str, Any]:
    """Tables without those, and without the rows, of these paths."""
    left = dict(tables)
    if not isinstance(drop, list) or not all(isinstance(path, str) for path in drop):
        raise _refused(folder, "drop", 'it is a list of tables and rows, such as ["kind"]')
    for path in drop:
        *way, last = path.split(".")
        table = left
        for key in way:
            table[key] = dict(table[key]) if isinstance(table.get(key), Mapping) else {}
            table = table[key]
        if last not in table:
            raise _refused(
                folder, "drop", f"nothing below is {quoted(path)}; {closest(last, table)}"
            )
        del table[last]
    return left


def _below(folder: Path) -> tuple[Path, ...]:
    """A folder and those that it rests on, one after another."""
    found = [folder]
    while name := _own(found[-1]).get("like"):
        under = SHELF / str(name)
        if not isinstance(name, str) or name not in _folders():
            near = closest(str(name), _folders())
            raise _refused(found[-1], "like", f"there is no folder {quoted(name)}; {near}")
        if under in found:
            raise _refused(found[-1], "like", f"{name!r} rests on this one")
        found.append(under)
    return tuple(found)


def _folders() -> tuple[str, ...]:
    """Whatever on the shelf has tables."""
    return tuple(sorted({path.parent.name for path in SHELF.glob("*/*.toml")}))


def names() -> tuple[str, ...]:
    """The traditions of the shelf, sorted."""
    return tuple(sorted(path.parent.name for path in SHELF.glob(f"*/{HEAD}")))


def builders() -> tuple[str, ...]:
    """Whose trades there are to build with, sorted."""
    return tuple(sorted(path.parent.name for path in SHELF.glob("*/trades")))


def files(folder: Path) -> tuple[Path, ...]:
    """Where the tables of a folder stand: what makes it a tradition first."""
    return tuple(sorted(folder.glob("*.toml"), key=lambda path: (path.name != HEAD, path.name)))


def file_of(folder: Path, sentence: str) -> str:
    """The file that has most of the way to the key with which a sentence begins; its own sooner."""
    way = re.split(r"[.:\[]", sentence)
    found = [path for of in _below(folder) for path in files(of)]
    return told(max(found, key=lambda path: _depth(_parsed(path), way)))


def told(path: Path) -> str:
    """A file as one names it: one of the shelf by its folder, any other by its path."""
    return (path.relative_to(SHELF) if path.is_relative_to(SHELF) else path).as_posix()


def _depth(table: Any, way: Sequence[str]) -> int:
    if not (way and isinstance(table, Mapping) and way[0] in table):
        return 0
    return 1 + _depth(table[way[0]], way[1:])


def _own(folder: Path) -> dict[str, Any]:
    """What the files of one folder say.  Raises TraditionError for what is no TOML, or said twice."""
    found: dict[str, Any] = {}
    for path in files(folder):
        more = _parsed(path)
        for twice in sorted(found.keys() & more.keys()):
            raise TraditionError(f"{told(path)}: {twice} stands in another file too; join them")
        found |= more
    return found


def _parsed(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(read_text(path, TABLE))
    except (ValueError, RecursionError) as error:
        raise TraditionError(f"{told(path)}: {error}") from error


def _refused(folder: Path, key: str, words: str) -> TraditionError:
    having: Iterator[Path] = (path for path in files(folder) if key in _parsed(path))
    return TraditionError(f"{told(next(having))}: {key}: {words}")
