"""A small house made by hand: two rooms under one roof, a forecourt with a pond, a gate.

Seen from above (x east, y north); room 2's floor is half a cell higher; the roof void is the layer
z = 5 over both rooms.

    9  . # # # # # # # # # # .      # wall        D door leaf, passable
    8  . # c 1 1 1 # 2 2 2 # .      1 room 1      c chest, a fitting
    6  . # 1 1 1 1   2 2 2 # .      2 room 2
    5  . # 1 1 1 1 # 2 2 2 # .
    4  . # # D # # # # # # # .      G gate        P pond
    1  . . . . . . . . . . P .
    0  . . . G . . . . . . . .      x from 3
"""

from __future__ import annotations

import csv
import json
import struct
import zlib
from collections import Counter
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

Arrays = dict[str, npt.NDArray[Any]]

MATERIALS = ("air", "earth", "plaster", "leaf", "boards", "tile", "water", "timber", "paper")
FORMS = (
    "air",
    "whole",
    "half course",
    "half soffit",
    "leaf",
    "hood",
    "jamb",
    "lamp",
    "crumb",
    "sheet",
    "hung lamp",
)
STAGES = ("air", "site", "walls", "floors", "screens", "roof", "fittings", "lamps")
SIZE = (18, 14, 9)


def specimen() -> tuple[Arrays, dict[str, Any]]:
    """The arrays without ``about``, and ``about`` as a dict: both free to change."""
    arrays: Arrays = {key: np.zeros(SIZE, dtype=np.uint8) for key in ("material", "stage")}
    arrays |= {key: np.zeros(SIZE, dtype=np.uint16) for key in ("form", "room")}
    arrays["shapes"] = _shapes()
    put(arrays, np.s_[:, :, 0], "earth", "whole", "site")
    put(arrays, np.s_[13, 1, 0], "water", "whole", "site")
    put(arrays, np.s_[4:14, 4:10, 1:4], "plaster", "whole", "walls")
    for room in (np.s_[5:9, 5:9, 1:4], np.s_[9, 6, 1:4], np.s_[10:13, 5:9, 1:4]):
        put(arrays, room, "air", "air", "air")
    put(arrays, np.s_[6, 4, 1:3], "leaf", "leaf", "screens")
    put(arrays, np.s_[10:13, 5:9, 1], "boards", "half course", "floors")
    put(arrays, np.s_[4:14, 4:10, 4], "boards", "whole", "floors")
    put(arrays, np.s_[3:15, 3:11, 5], "tile", "whole", "roof")
    put(arrays, np.s_[5:13, 5:9, 5], "air", "air", "air")
    put(arrays, np.s_[4:14, 4:10, 6], "tile", "whole", "roof")
    put(arrays, np.s_[5, 8, 1], "timber", "whole", "fittings")
    for hall in (np.s_[6:8, 6, 3], np.s_[11, 6:8, 3]):
        put(arrays, hall, "paper", "hung lamp", "lamps")
    for n, room in enumerate(
        (np.s_[5:9, 5:9, 1:4], np.s_[10:13, 5:9, 1:4], np.s_[1:17, 0:3, 1:4]), 1
    ):
        arrays["room"][room] = n
    return arrays, _about()


def put(arrays: Arrays, cells: Any, material: str, form: str, stage: str) -> None:
    """Set cells by name."""
    arrays["material"][cells] = MATERIALS.index(material)
    arrays["form"][cells] = FORMS.index(form)
    arrays["stage"][cells] = STAGES.index(stage)


def _shapes() -> npt.NDArray[np.bool_]:
    shapes = np.zeros((len(FORMS), 4, 4, 4), dtype=bool)
    shapes[1] = True
    shapes[2, :, :, :2] = True
    shapes[3, :, :, 2:] = True
    shapes[4, :, 1:3] = True
    shapes[5, :, :, 3] = True  # leaves seven quarters of a two-cell opening
    shapes[6, 0] = True
    shapes[7, 1:3, 1:3, 1:3] = True  # touches no face of its cell
    shapes[8, 0, 0] = True
    shapes[9, :, :, 0] = True
    shapes[10, 1:3, 1:3, 1:] = True
    return shapes


def _about() -> dict[str, Any]:
    materials: list[dict[str, Any]] = [{"name": m, "colour": "#a0A0a0"} for m in MATERIALS]
    materials[MATERIALS.index("leaf")]["passable"] = True
    materials[MATERIALS.index("water")]["liquid"] = True
    materials[MATERIALS.index("paper")] |= {"clear": True, "lumens": 4000}
    rooms = [("hall", True), ("chamber", True), ("forecourt", False)]
    return {
        "format": "genhouse-voxels",
        "version": 2,
        "seed": 7,
        "materials": materials,
        "forms": [{"name": form, "piece": form} for form in FORMS],
        "stages": list(STAGES),
        "rooms": [
            {"id": n, "kind": kind, "level": 1, "indoor": indoor, "walkable": True}
            for n, (kind, indoor) in enumerate(rooms, 1)
        ],
        "eaves": 5,
        "gate": [6, 0, 4],
    }


def sealed(arrays: Arrays, about: dict[str, Any]) -> Arrays:
    """The arrays as ``house.npz`` holds them."""
    return {**arrays, "about": np.array(json.dumps(about))}


def write(folder: Path, arrays: Arrays, about: dict[str, Any]) -> None:
    """The smallest folder that keeps the contract's table of files."""
    np.savez_compressed(folder / "house.npz", **sealed(arrays, about))  # type: ignore[arg-type]
    digests = dict.fromkeys([*STAGES[1:], "whole"], "0123456789abcdef" * 4)
    (folder / "house.json").write_text(json.dumps({"recipe": {"seed": 7}, "digests": digests}))
    (folder / "plan-1.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg"/>')
    (folder / "guide.html").write_text('<img src="data:,"><a href="#top">up</a>')
    for name in ("outside.png", "inside.png", "court.png"):
        (folder / name).write_bytes(_png())
    scene = b'{"asset": {"version": "2.0"} }  '
    header = struct.pack("<5I", 0x46546C67, 2, 20 + len(scene), len(scene), 0x4E4F534A)
    (folder / "house.glb").write_bytes(header + scene)
    with (folder / "materials.csv").open("w", newline="") as opened:
        csv.writer(opened).writerows([("stage", "material", "piece", "count"), *_rows(arrays)])


def _png() -> bytes:
    chunks = (
        (b"IHDR", struct.pack(">2I5B", 1, 1, 8, 0, 0, 0, 0)),
        (b"IDAT", zlib.compress(b"\0\0")),
        (b"IEND", b""),
    )
    packed = [
        struct.pack(">I", len(d)) + k + d + struct.pack(">I", zlib.crc32(k + d)) for k, d in chunks
    ]
    return b"\x89PNG\r\n\x1a\n" + b"".join(packed)


def _rows(arrays: Arrays) -> list[tuple[str, str, str, int]]:
    keys = (arrays[key].ravel().tolist() for key in ("stage", "material", "form"))
    counts = Counter(key for key in zip(*keys, strict=True) if key[1])
    return [(STAGES[s], MATERIALS[m], FORMS[f], n) for (s, m, f), n in counts.items()]
