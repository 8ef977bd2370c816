"""Layer sheets read as a builder reads them: from what is drawn, with the key that is printed on them.

A hatch or a mark is known by its lines, never by its name in the file: what is drawn alike is one thing.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

SVG = "{http://www.w3.org/2000/svg}"
UNMARKED = "whole"
BOX = re.compile(r"M(-?[\d.]+) (-?[\d.]+)h([\d.]+)v([\d.]+)h-[\d.]+z")
"""A box of a path: where its upper left corner is, across and down."""
Names = npt.NDArray[Any]


class Seen(NamedTuple):
    """What a sheet shows: its level, the column and row it begins with, from 0, and the names of
    material and form of each cell [X, Y], empty for air."""

    level: int
    column: int
    row: int
    material: Names
    form: Names


def read_sheet(text: str) -> Seen:
    """A sheet of a level, or of a part of it."""
    root = ET.fromstring(text)
    drawn = {e.get("id", ""): _lines(e) for e in root.iter() if e.get("id")}
    parts = {e.get("data-part"): e for e in root.iter() if e.get("data-part")}
    materials, forms = _key(parts["key"], drawn)
    (west, columns), (south, rows) = _axis(parts["letters"], "x"), _axis(parts["numbers"], "y")
    size = (len(columns), len(rows))
    cell = columns[1] - columns[0]
    found = (np.full(size, "", dtype=object), np.full(size, "", dtype=object))

    def places(x: float, y: float, wide: float, high: float) -> tuple[slice, slice]:
        first = round((x - columns[0]) / cell + 0.5), round((rows[0] - (y + high)) / cell + 0.5)
        return (
            slice(first[0], first[0] + round(wide / cell)),
            slice(first[1], first[1] + round(high / cell)),
        )

    for e in parts["materials"]:
        for box in BOX.findall(e.get("d", "")):
            x, y, wide, high = map(float, box)
            there = places(x, y, wide, high)
            if (found[0][there] != "").any():
                raise ValueError("a cell is drawn twice")
            found[0][there] = materials[drawn[_named(e.get("fill"))]]
            found[1][there] = UNMARKED
    for e in parts["forms"]:
        there = places(float(e.get("x", "nan")), float(e.get("y", "nan")), cell, cell)
        if (found[1][there] != UNMARKED).any():
            raise ValueError("a mark stands where no piece is, or two stand in one cell")
        found[1][there] = forms[drawn[_named(e.get("href"))]]
    told = re.search(r"Level (\d+)", "".join(root.itertext()))
    if told is None:
        raise ValueError("no level is told")
    return Seen(int(told[1]), west - 1, south - 1, *found)


def read_sheets(folder: Path) -> tuple[Names, Names]:
    """All sheets of a house put together: names [X, Y, Z] as far up as there are sheets.

    Raises ValueError where two sheets differ in what both show, or leave a cell of a level out.
    """
    seen = [read_sheet(p.read_text("utf-8")) for p in sorted(folder.glob("*.svg"))]
    ends = [(s.column + s.form.shape[0], s.row + s.form.shape[1], s.level + 1) for s in seen]
    size = tuple(map(max, zip(*ends, strict=True)))
    found = (np.full(size, None, dtype=object), np.full(size, None, dtype=object))
    for sheet, (east, north, _) in zip(seen, ends, strict=True):
        there = np.s_[sheet.column : east, sheet.row : north, sheet.level]
        for known, new in zip(found, (sheet.material, sheet.form), strict=True):
            other = np.not_equal(known[there], None)
            if (known[there] != new)[other].any():
                raise ValueError(f"two sheets of level {sheet.level} differ")
            known[there] = new
    drawn = np.equal(found[0], None)
    if (drawn.any(axis=(0, 1)) & ~drawn.all(axis=(0, 1))).any():
        raise ValueError("a level is not drawn whole")
    for names in found:
        names[drawn] = ""
    return found


def _lines(e: ET.Element) -> str:
    """What is drawn, whatever it is called; letters count as well."""
    inside = "".join(ET.tostring(child, encoding="unicode") for child in e)
    return f"{e.get('width')} {e.get('height')} {inside}"


def _named(address: str | None) -> str:
    found = re.search(r"#([^)]+)", address or "")
    if found is None:
        raise ValueError(f"{address} names nothing that is drawn")
    return found[1]


def _key(key: ET.Element, drawn: dict[str, str]) -> tuple[dict[str, str], dict[str, str]]:
    """Names by what is drawn, of materials and of forms.  Raises ValueError where two are drawn alike."""
    found: tuple[dict[str, str], dict[str, str]] = ({}, {})
    for row in key:
        name = "".join(row.itertext()).removeprefix("".join(_inner(row)))
        fills = [e.get("fill", "") for e in row.iter() if e.get("fill", "").startswith("url")]
        uses = [e.get("href") for e in row.iter(f"{SVG}use")]
        if not fills and not uses:
            continue  # the form that has no mark
        kind, lines = (0, drawn[_named(fills[0])]) if fills else (1, drawn[_named(uses[0])])
        if lines in found[kind]:
            raise ValueError(f"{name} is drawn like {found[kind][lines]}")
        found[kind][lines] = name
    return found


def _inner(row: ET.Element) -> list[str]:
    return [text for e in list(row)[:-1] for text in e.itertext()]


def _axis(part: ET.Element, way: str) -> tuple[int, list[float]]:
    """The first letter or number, as a number, and where the middle of each column or row is drawn."""
    places = [float(e.get(way, "nan")) for e in part]
    names = [e.text or "" for e in part]
    if way == "y":
        places = [y - 3 for y in places]  # from the foot of a figure to its middle
    order = [int(n) if n.isdecimal() else _number(n) for n in names]
    if order != list(range(order[0], order[0] + len(order))):
        raise ValueError(f"the axis reads {', '.join(names)}")
    return order[0], places


def _number(letters: str) -> int:
    """A is 1, Z 26, AA 27."""
    number = 0
    for letter in letters:
        number = 26 * number + ord(letter) - 64
    return number
