"""The files beside the arrays: each is what the contract says, and agrees with them."""

from __future__ import annotations

import csv
import json
import re
import xml.etree.ElementTree as ET
from collections import Counter
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np

from tests.outside.cells import House
from tests.outside.light import LEAST
from tests.outside.steps import replayed
from tests.outside.tables import Finding

PICTURES = ("outside.png", "inside.png", "court.png")
FILES = ("house.json", "house.npz", "house.glb", *PICTURES, "materials.csv", "guide.html")


def _bill(path: Path, house: House | None) -> Iterator[Finding]:
    if house is None:
        return
    with path.open(newline="", encoding="utf-8", errors="replace") as opened:
        rows = list(csv.reader(opened))
    if not rows or rows[0] != ["stage", "material", "piece", "count"]:
        yield Finding("bill", (), "materials.csv does not begin with stage,material,piece,count")
        return
    billed: Counter[tuple[str, ...]] = Counter()
    for row in rows[1:]:
        if len(row) != 4 or not row[3].isdecimal():
            yield Finding("bill", (), f"materials.csv has the row {row}")
            return
        billed[tuple(row[:3])] += int(row[3])
    built = _built(house)
    for key in sorted(billed.keys() | built.keys()):
        if billed[key] != built[key]:
            counts = f"{billed[key]} in the bill, {built[key]} in the arrays"
            yield Finding("bill", (), f"{', '.join(key)}: {counts}")


def _built(house: House) -> Counter[tuple[str, ...]]:
    """Cells by names of stage, material and piece."""
    about, set_ = house.about, house.material > 0
    keys = np.stack([house.stage[set_], house.material[set_], house.form[set_]], axis=1)
    found: Counter[tuple[str, ...]] = Counter()
    for (s, m, f), count in zip(*np.unique(keys, axis=0, return_counts=True), strict=True):
        names = about["stages"][s], about["materials"][m]["name"], about["forms"][f]["piece"]
        found[names] += int(count)
    return found


def _design(path: Path, house: House | None) -> Iterator[Finding]:
    try:
        design = json.loads(path.read_text(encoding="utf-8"))
        digests = dict(_leaves(design["digests"]))
    except (ValueError, KeyError, TypeError) as error:
        yield Finding("digests", (), f"house.json has no digests to read: {error!r}")
        return
    for name, value in digests.items():
        if not re.fullmatch("[0-9a-f]{64}", str(value)):
            yield Finding("digests", (), f"the digest of {name} is not SHA-256 in hexadecimal")
    if house:
        stages = house.about["stages"]
        for n in np.unique(house.stage[house.material > 0]).tolist():
            if stages[n] not in digests:
                yield Finding("digests", (), f"stage {stages[n]} set cells and has no digest")
        if not set(digests) - set(stages):
            yield Finding("digests", (), "the whole has no digest")
        recipe = design.get("recipe")
        if isinstance(recipe, dict) and recipe.get("seed") != house.about["seed"]:
            yield Finding("digests", (), "house.json and house.npz come from different seeds")


def asked_light(folder: Path) -> float:
    """Lux that the brief in ``house.json`` asks for, or what is promised where it says nothing."""
    try:
        light = json.loads((folder / "house.json").read_text(encoding="utf-8"))["recipe"]["brief"][
            "light"
        ]
    except (OSError, ValueError, KeyError, TypeError):
        return LEAST
    return light if isinstance(light, int) else LEAST


def outline(folder: Path) -> list[list[int]]:
    """The corners of the plot in ``house.json``; none where it is a rectangle, or says nothing."""
    try:
        corners = json.loads((folder / "house.json").read_text(encoding="utf-8"))["outline"]
    except (OSError, ValueError, KeyError, TypeError):
        return []
    return [[int(x), int(y)] for x, y in corners]


def _leaves(record: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    for key, value in record.items():
        yield from _leaves(value) if isinstance(value, dict) else [(key, value)]


def _picture(path: Path, _: House | None) -> Iterator[Finding]:
    data = path.read_bytes()
    if data[:8] != b"\x89PNG\r\n\x1a\n" or data[12:16] != b"IHDR" or data[-8:-4] != b"IEND":
        yield Finding("pictures", (), f"{path.name} is not a whole PNG")


def _mesh(path: Path, _: House | None) -> Iterator[Finding]:
    data = path.read_bytes()
    head = np.frombuffer(data[:20].ljust(20, b"\0"), dtype="<u4").tolist()
    if head[:3] != [0x46546C67, 2, len(data)] or head[4] != 0x4E4F534A:
        yield Finding("mesh", (), "house.glb has no glTF 2.0 header of its own length")
        return
    try:
        json.loads(data[20 : 20 + head[3]])["asset"]["version"]
    except (ValueError, KeyError, TypeError) as error:
        yield Finding("mesh", (), f"house.glb has no asset version to read: {error!r}")


def plans(folder: Path, house: House) -> Iterator[Finding]:
    """One well-formed drawing for each storey, numbered from 1."""
    for n in range(1, max((r["level"] for r in house.about["rooms"]), default=1) + 1):
        path = folder / f"plan-{n}.svg"
        try:
            root = ET.parse(path).getroot().tag
        except (OSError, ET.ParseError) as error:
            yield Finding("plans", (), f"{path.name} is not well-formed: {error}")
            continue
        if root != "{http://www.w3.org/2000/svg}svg":
            yield Finding("plans", (), f"{path.name} begins with {root}, not svg")


class _References(HTMLParser):
    """What a page asks for; ``data:`` and ``#`` are its own, and a link may name a sibling."""

    def __init__(self) -> None:
        super().__init__()
        self.outside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for key, value in attrs:
            text = (value or "").strip()
            asks = key in ("src", "srcset", "href", "xlink:href", "poster", "data", "action")
            far = "//" in text.partition("?")[0] or ":" in text.partition("/")[0]
            if asks and not text.startswith(("data:", "#")) and (tag != "a" or far):
                self.outside.append(f"{tag} {key}={text[:60]}")


def _guide(path: Path, _: House | None) -> Iterator[Finding]:
    page = path.read_text(encoding="utf-8", errors="replace")
    references = _References()
    references.feed(page)
    styles = page.replace("url('", "url(").replace('url("', "url(").split("url(")[1:]
    outside = [f"url({s[:40]}" for s in styles if not s.startswith(("data:", "#", "&"))]
    for found in references.outside + outside + ["@import"] * ("@import" in page):
        yield Finding("guide", (), f"guide.html asks for something outside itself: {found}")


BESIDE: dict[str, Callable[[Path, House | None], Iterator[Finding]]] = {
    "house.json": _design,
    "house.glb": _mesh,
    **dict.fromkeys(PICTURES, _picture),
    "materials.csv": _bill,
    "steps.csv": replayed,
    "guide.html": _guide,
}
