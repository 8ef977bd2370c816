"""The tables of ``house.npz``: keys, dtypes, shapes, and numbers that point somewhere."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

Arrays = Mapping[str, npt.NDArray[Any]]
Bits = npt.NDArray[np.bool_]

SUB = 4
"""Sub-cells along an edge of a cell."""

DTYPES = {"material": np.uint8, "form": np.uint16, "stage": np.uint8, "room": np.uint16}
NARROW = {**DTYPES, "form": np.uint8}
"""As version 1 has them."""
ABOUT: dict[str, type] = {
    "seed": int,
    "materials": list,
    "forms": list,
    "stages": list,
    "rooms": list,
    "eaves": int,
    "gate": list,
}
ENTRIES: dict[str, dict[str, type]] = {
    "materials": {"name": str, "colour": str},
    "forms": {"name": str, "piece": str},
    "rooms": {"id": int, "kind": str, "level": int, "indoor": bool, "walkable": bool},
}
SIDES = ("west", "east", "south", "north")
FLAGS = ("liquid", "passable", "clear")


class Finding(NamedTuple):
    """check: which one.  where: some of the cells (x, y, z).  sentence: what is wrong."""

    check: str
    where: tuple[tuple[int, ...], ...]
    sentence: str


def some(mask: Bits, step: int = 1) -> tuple[tuple[int, ...], ...]:
    """At most five of the cells marked, cells being ``step`` sub-cells wide."""
    at = np.argwhere(mask)[:2000] // step
    return tuple(sorted({tuple(map(int, cell)) for cell in at}))[:5]


def check_tables(arrays: Arrays) -> Iterator[Finding]:
    """What is wrong with the arrays as tables; other checks rest on there being nothing."""
    missing = [key for key in (*DTYPES, "shapes", "about") if key not in arrays]
    if missing:
        yield Finding("arrays", (), f"house.npz has no {', '.join(missing)}")
        return
    wrong = [Finding("arrays", (), sentence) for sentence in _misshapen(arrays)]
    wrong = wrong or [Finding("about", (), sentence) for sentence in _misworded(arrays)]
    yield from wrong or _numbers(arrays)


def _misshapen(arrays: Arrays) -> Iterator[str]:
    size = arrays["material"].shape
    for key, dtype in (NARROW if _version(arrays) == 1 else DTYPES).items():
        if arrays[key].dtype != dtype:
            yield f"{key} is {arrays[key].dtype}, not {np.dtype(dtype)}"
        if arrays[key].ndim != 3 or arrays[key].shape != size or not arrays[key].size:
            yield f"{key} has shape {arrays[key].shape} beside material's {size}"
    shapes, about = arrays["shapes"], arrays["about"]
    if shapes.dtype != np.bool_ or shapes.ndim != 4 or shapes.shape[1:] != (SUB, SUB, SUB):
        yield f"shapes is {shapes.dtype} {shapes.shape}, not bool [F, 4, 4, 4]"
    if about.dtype.kind != "U" or about.ndim != 0:
        yield f"about is {about.dtype} of {about.ndim} dimensions, not one text"


def _misworded(arrays: Arrays) -> Iterator[str]:
    try:
        about = json.loads(str(arrays["about"]))
    except ValueError as error:
        yield f"about is not JSON: {error}"
        return
    if not isinstance(about, dict) or about.get("format") != "genhouse-voxels":
        yield "about does not say format genhouse-voxels"
        return
    if _version(arrays) not in (1, 2):
        yield f"about says version {about.get('version')!r}, not 1 or 2"
    wrong = [f"about.{key} is not {t.__name__}" for key, t in ABOUT.items() if _not(t, about, key)]
    yield from wrong or _entries(about, arrays)


def _version(arrays: Arrays) -> Any:
    """Which version of the format ``about`` names; None where it names none."""
    try:
        about = json.loads(str(arrays["about"]))
    except ValueError:
        return None
    version = about.get("version") if isinstance(about, dict) else None
    return version if type(version) is int else None


def _not(kind: type, record: Any, key: str) -> bool:
    return not isinstance(record, dict) or type(record.get(key)) is not kind


def _entries(about: dict[str, Any], arrays: Arrays) -> Iterator[str]:
    for table, fields in ENTRIES.items():
        for n, entry in enumerate(about[table]):
            for key in (key for key, kind in fields.items() if _not(kind, entry, key)):
                yield f"about.{table}[{n}].{key} is missing or of the wrong kind"
                return
    if any(type(name) is not str for name in about["stages"]):
        yield "about.stages holds something other than names"
    for entry in about["materials"]:
        colour = str(entry.get("colour"))
        if not re.fullmatch("#[0-9a-fA-F]{6}", colour):
            yield f"colour {colour!r} is not #rrggbb"
        if any(type(entry.get(flag, False)) is not bool for flag in FLAGS):
            yield f"a flag of material {entry.get('name')!r} is not true or false"
        if type(entry.get("lumens", 0)) is not int or entry.get("lumens", 0) < 0:
            yield f"the lumens of material {entry.get('name')!r} are no whole number"
    if len(about["forms"]) != len(arrays["shapes"]):
        yield f"{len(about['forms'])} forms are named, {len(arrays['shapes'])} have a shape"
    yield from _site(about, arrays["material"].shape)


def _site(about: dict[str, Any], size: tuple[int, ...]) -> Iterator[str]:
    gate = about["gate"]
    if len(gate) != 3 or any(type(n) is not int for n in gate):
        yield f"gate {gate} is not three whole numbers"
    elif not all(0 <= n < end for n, end in zip(gate, (*size[:2], SUB * size[2]), strict=True)):
        yield f"gate {gate} lies outside the arrays"
    party = about.get("party", [])
    if not isinstance(party, list) or any(side not in SIDES for side in party):
        yield f"party {party} is no list of sides"
    if not 0 <= about["eaves"] <= size[2]:
        yield f"eaves {about['eaves']} lies outside the arrays"
    for table, key in (("materials", "name"), ("forms", "name"), ("rooms", "id")):
        twice = [n for n, c in Counter(str(e.get(key)) for e in about[table]).items() if c > 1]
        if twice:
            yield f"about.{table} has {key} {twice[0]} more than once"


def _numbers(arrays: Arrays) -> Iterator[Finding]:
    about = json.loads(str(arrays["about"]))
    material, form, stage, room = (arrays[key] for key in DTYPES)
    air = material == 0
    ids = [r["id"] for r in about["rooms"]]
    for mask, sentence in (
        (material >= len(about["materials"]), "material is not in about.materials"),
        (form >= len(about["forms"]), "form is not in about.forms"),
        (stage >= len(about["stages"]), "stage is not in about.stages"),
        (~np.isin(room, [0, *ids]), "room is not in about.rooms"),
        (air != (form == 0), "form and material disagree about air"),
        (air != (stage == 0), "stage and material disagree about air"),
    ):
        if mask.any():
            yield Finding("numbers", some(mask), sentence)
    filled = np.asarray(arrays["shapes"].any(axis=(1, 2, 3)))
    for n in sorted({*np.unique(form[form < len(filled)]).tolist(), 0}):
        if filled[n] == (n == 0):
            yield Finding("numbers", (), f"form {n} fills {'something' if n == 0 else 'nothing'}")
    for n in sorted(set(ids) - set(np.unique(room).tolist())):
        yield Finding("numbers", (), f"room {n} has no cells")
