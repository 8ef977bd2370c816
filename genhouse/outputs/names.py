"""Names of a builder's own for materials and forms: a table that is read, applied, and begun for one."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from msgspec import Struct

from genhouse.core.errors import UnreadableError
from genhouse.core.forms import NUMBER
from genhouse.core.reading import TABLE, read_text, said
from genhouse.core.sentences import closest, quoted, unsaid
from genhouse.model.voxels import Voxels
from genhouse.outputs.arrays import LONGEST_NAME
from genhouse.outputs.bill import csv_bytes
from genhouse.outputs.steps.steps import PROP, Row, Steps

ANY = "*"
"""In place of a form: whatever its form."""
HEAD = ("material", "form", "name")


class Names(Struct, frozen=True):
    """rows: material, form or ``*``, and the builder's own name; each pair once."""

    rows: tuple[tuple[str, str, str], ...] = ()

    def called(self, material: str, form: str) -> str:
        """What the builder calls a piece: by its form sooner than by its material, else as it is called.

        >>> names = Names((("elm", "*", "brown board"), ("elm", "post", "stake")))
        >>> names.called("elm", "post"), names.called("elm", "whole"), names.called("pine", "post")
        ('stake', 'brown board', 'pine')
        """
        own = {(m, f): name for m, f, name in self.rows}
        return own.get((material, form)) or own.get((material, ANY)) or material


def read_names(path: Path, materials: Iterable[str]) -> Names:
    """The names in a file.  materials: those that there are.  Raises UnreadableError, naming the line."""
    return names_in(read_text(path, TABLE), materials, said(path))


def names_in(text: str, materials: Iterable[str], where: str) -> Names:
    """The names in a text.  where: it stands, for a refusal.  Raises as ``read_names`` does."""
    try:
        return Names(tuple(_rows(list(_lines(text)), tuple(materials))))
    except UnreadableError as error:
        raise UnreadableError(f"{where}: {error}") from error


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Each row, with the line that it ends in."""
    rows = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        for row in rows:
            yield rows.line_num, row
    except csv.Error as error:
        raise UnreadableError(
            f"line {rows.line_num}: {error}; is a quotation mark open?"
        ) from error


def _rows(
    table: Sequence[tuple[int, list[str]]], materials: Sequence[str]
) -> Iterator[tuple[str, str, str]]:
    head = [word.strip() for word in table[0][1]] if table else []
    for column in HEAD:
        if head.count(column) != 1:
            raise UnreadableError(
                f"line 1 has no column {column!r}; it begins {','.join(HEAD)}, further columns may follow"
            )
    places = [head.index(column) for column in HEAD]
    seen: dict[tuple[str, str], int] = {}
    for number, row in table[1:]:
        if not any(cell.strip() for cell in row):
            continue
        if not max(places) < len(row) <= len(head):
            raise UnreadableError(f"line {number} has {len(row)} columns, not {len(head)}")
        material, form, name = (row[n].strip() for n in places)
        _check(number, material, form, name, materials)
        if (material, form) in seen:
            raise UnreadableError(
                f"line {number} names {material}, {form} again, after line {seen[material, form]}"
            )
        seen[material, form] = number
        if name:
            yield material, form, name


def _check(number: int, material: str, form: str, name: str, materials: Sequence[str]) -> None:
    """Raises UnreadableError.  A line without a name is one that is still to be filled in."""
    if material not in materials:
        near = _near(material, materials, "genhouse names lists those of a house")
        raise UnreadableError(f"line {number}: there is no material {quoted(material)}; {near}")
    if form != ANY and form not in NUMBER:
        near = _near(form, NUMBER, "* stands for any")
        raise UnreadableError(f"line {number}: there is no form {quoted(form)}; {near}")
    if len(name) > LONGEST_NAME or any(map(unsaid, name)):
        raise UnreadableError(
            f"line {number}: the name {quoted(name)} is not one line of at most {LONGEST_NAME} letters"
        )


def _near(name: str, known: Iterable[str], otherwise: str) -> str:
    """The name that may be meant, where one is near: there are too many to list."""
    words = closest(name, known)
    return words if words.startswith("did") else otherwise


def given(voxels: Voxels) -> Names:
    """The names that a house's own tables hold."""
    return Names(tuple((m.name, ANY, m.own) for m in voxels.about.materials if m.own))


def applied(voxels: Voxels, names: Names) -> Voxels:
    """The same house, with what its materials are called in its tables."""
    if not names.rows:
        return voxels
    own = {material: name for material, form, name in names.rows if form == ANY}
    table = tuple(replace(m, own=own.get(m.name, m.own)) for m in voxels.about.materials)
    return replace(voxels, about=replace(voxels.about, materials=table))


class Starter(Struct, frozen=True):
    """A line of a table to fill in.  pieces: how many a house has of it."""

    material: str
    form: str
    name: str
    pieces: int


def starter(voxels: Voxels) -> bytes:
    """A table to fill in: each material of a house, the commonest first, and no names but those it has."""
    counts = np.bincount(voxels.material.reshape(-1), minlength=len(voxels.about.materials))
    used = [n for n in range(1, len(counts)) if counts[n]]
    rows = [
        Starter(entry.name, ANY, entry.own, int(counts[n]))
        for n in sorted(used, key=lambda n: (-int(counts[n]), n))
        if (entry := voxels.about.materials[n])
    ]
    return csv_bytes(rows, Starter)


def own_steps(steps: Steps, names: Names) -> bytes:
    """``steps.csv`` with the builder's names in place of materials."""
    rows = [
        row if row.material == PROP else _renamed(row, names.called(row.material, row.form))
        for row in steps.rows
    ]
    return csv_bytes(rows, Row)


def _renamed(row: Row, name: str) -> Row:
    from msgspec.structs import replace as with_

    return with_(row, material=name)


def remarks(voxels: Voxels, names: Names) -> tuple[str, ...]:
    """What a builder should know of the names: what has none, and what can no longer be told apart."""
    return (*_unnamed(voxels, names), *_alike(voxels, names)) if names.rows else ()


def _unnamed(voxels: Voxels, names: Names) -> Iterator[str]:
    counts = np.bincount(voxels.material.reshape(-1), minlength=len(voxels.about.materials))
    known = {material for material, _, _ in names.rows}
    missing = [
        f"{entry.name} ({counts[n]})"
        for n, entry in enumerate(voxels.about.materials)
        if n and counts[n] and entry.name not in known
    ]
    if missing:
        yield f"No name of your own is given for {', '.join(missing)}: they keep theirs."


def _alike(voxels: Voxels, names: Names) -> Iterator[str]:
    """Materials that bear one name and touch, pair by pair, with the first place where they do."""
    words = {name: n for n, name in enumerate(sorted({name for *_, name in names.rows}), 1)}
    named = np.zeros((len(voxels.about.materials), len(voxels.about.forms)), dtype=np.int64)
    for m, f in np.unique(
        np.stack((voxels.material.ravel(), voxels.form.ravel())), axis=1
    ).T.tolist():
        if f:
            entry, form = voxels.about.materials[m], voxels.about.forms[f]
            named[m, f] = words.get(names.called(entry.name, form.name), 0)
    called = named[voxels.material, voxels.form]
    found: dict[tuple[int, int], tuple[int, ...]] = {}
    for axis in range(3):
        low, high = (np.moveaxis(a, axis, 0) for a in (called, voxels.material))
        same = (low[1:] == low[:-1]) & (low[1:] > 0) & (high[1:] != high[:-1])
        for place in np.argwhere(same).tolist():
            pair = sorted((int(high[place[0], *place[1:]]), int(high[place[0] + 1, *place[1:]])))
            where = place[1:]
            where.insert(axis, place[0])
            found.setdefault((pair[0], pair[1]), tuple(where))
    for (one, other), at in sorted(found.items()):
        pair_names = [voxels.about.materials[n].name for n in (one, other)]
        yield (
            f"{pair_names[0]} and {pair_names[1]} bear one name and touch, first at x, y, z = "
            f"{', '.join(map(str, at))}: they are counted together, and look like one."
        )
