"""What a piece fills of its cell, turned and mirrored.

A cell is cut into 4 x 4 x 4 sub-cells; a form is the set of those that its piece fills.  A *piece*
is the family a builder counts (``course``); a *form* is a piece with its orientation
(``course east`` climbs toward the east).  Forms are named ``piece``, ``piece side`` or
``piece axis``, with ``soffit`` added where they hang upside down, under eaves and floors.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import SIDES, Turn
from genhouse.core.goods import (
    AXIAL_GOODS,
    GOODS,
    LAST_AXIAL,
    LAST_CORNERED,
    LAST_GOODS,
    LAST_SIDED,
    SIDED_GOODS,
    Rule,
)
from genhouse.core.kept import fixed

SUB = 4
"""Sub-cells along each edge of a cell."""

Shape = npt.NDArray[np.bool_]
CORNERS = ("north-east", "north-west", "south-west", "south-east")
"""Counter-clockwise; CORNERS[i] lies between SIDES[i] and SIDES[i + 1]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """name: unique.  piece: its family.  facing: a side, corner or axis, or ''.  soffit: upside down.

    bits: which sub-cells are filled, bit ``(x * 4 + y) * 4 + z``.
    """

    name: str
    piece: str
    facing: str = ""
    soffit: bool = False
    bits: int

    @property
    def shape(self) -> Shape:
        """bool [4, 4, 4], read-only."""
        return shape_of(self.bits)

    @property
    def fill(self) -> int:
        """Filled sub-cells, out of 64."""
        return self.bits.bit_count()


def shape_of(bits: int) -> Shape:
    """The sub-cells of a form's bits, as bool [4, 4, 4]."""
    raw = np.frombuffer(bits.to_bytes(8, "little"), dtype=np.uint8)
    shape = np.unpackbits(raw, bitorder="little").astype(bool).reshape(SUB, SUB, SUB)
    return fixed(shape)


def bits_of(shape: Shape) -> int:
    """The inverse of ``shape_of``."""
    return int.from_bytes(np.packbits(shape.reshape(-1), bitorder="little").tobytes(), "little")


def _fill(rule: Rule) -> Shape:
    cells = [[[rule(x, y, z) for z in range(SUB)] for y in range(SUB)] for x in range(SUB)]
    return np.array(cells, dtype=bool)


# What stands still when the house is turned.
PLAIN: dict[str, Rule] = {
    "whole": lambda x, y, z: True,
    "half course": lambda x, y, z: z < 2,
    "half soffit": lambda x, y, z: z >= 2,
    "sheet": lambda x, y, z: z == 0,
    "half mat": lambda x, y, z: True,
    "post": lambda x, y, z: x in (1, 2) and y in (1, 2),
    "stout post": lambda x, y, z: (x in (1, 2)) or (y in (1, 2)),
    "cushion": lambda x, y, z: z == 0 and x in (1, 2) and y in (1, 2),
    "low table": lambda x, y, z: z == 1 or (z == 0 and x in (0, 3) and y in (0, 3)),
    "table": lambda x, y, z: z == 2 or (z < 2 and x in (0, 3) and y in (0, 3)),
    "jar": lambda x, y, z: (
        (x in (1, 2) or y in (1, 2)) if z in (1, 2) else (x in (1, 2) and y in (1, 2))
    ),
    "bowl": lambda x, y, z: z < 2 and x in (1, 2) and y in (1, 2),
    "tub": lambda x, y, z: z < 3 and (z == 0 or x in (0, 3) or y in (0, 3)),
    "ball": lambda x, y, z: (x in (1, 2)) + (y in (1, 2)) + (z in (1, 2)) >= 1,
    "dome": lambda x, y, z: (
        z == 0
        or (z == 1 and (x in (1, 2) or y in (1, 2)))
        or (z == 2 and x in (1, 2) and y in (1, 2))
    ),
    "cobble": lambda x, y, z: z == 0 and (x in (1, 2) or y in (1, 2)),
    "tuft": lambda x, y, z: (
        z < 3
        and ((x in (1, 2) and y in (1, 2)) or z == 1 or (z == 2 and (x in (1, 2)) == (y in (1, 2))))
    ),
    "hanging lamp": lambda x, y, z: z > 0 and x in (1, 2) and y in (1, 2),
    "standing lamp": lambda x, y, z: z < 3 and x in (1, 2) and y in (1, 2),
    "lamp head": lambda x, y, z: (
        z == 0 or (x in (1, 2) and y in (1, 2)) or (z == 2 and (x in (1, 2) or y in (1, 2)))
    ),
    "barrel": lambda x, y, z: z < 3 and (x in (1, 2) or y in (1, 2)),
    "basket": lambda x, y, z: (
        z < 3 and (x in (1, 2) or y in (1, 2)) and (z == 0 or x in (0, 3) or y in (0, 3))
    ),
    "kettle": lambda x, y, z: (
        (z < 2 and (x in (1, 2) or y in (1, 2))) or (z == 2 and x in (1, 2) and y in (1, 2))
    ),
    "candle": lambda x, y, z: (
        (z < 3 and x in (1, 2) and y in (1, 2)) or (z == 0 and (x in (1, 2) or y in (1, 2)))
    ),
    "floor lamp": lambda x, y, z: (
        (x in (1, 2) and y in (1, 2)) or (z != 1 and (x in (1, 2) or y in (1, 2)))
    ),
    "stool": lambda x, y, z: (
        (z == 1 and (x in (1, 2) or y in (1, 2))) or (z == 0 and x in (1, 2) and y in (1, 2))
    ),
    "loaf": lambda x, y, z: (
        (z == 0 and (x in (1, 2) or y in (1, 2))) or (z == 1 and x in (1, 2) and y in (1, 2))
    ),
    "laid table": lambda x, y, z: (
        z == 1
        or (z == 0 and x in (0, 3) and y in (0, 3))
        or (z == 2 and x in (1, 2) and y in (1, 2))
    ),
    "bench top": lambda x, y, z: z == 3,
    "high table": lambda x, y, z: z == 3 or (x in (0, 3) and y in (0, 3)),
    "patch": lambda x, y, z: z == 0 and x in (1, 2) and y in (1, 2),
    "rock": lambda x, y, z: (
        z == 0 or (z < 3 and (x in (1, 2) or y in (1, 2))) or (x in (1, 2) and y in (1, 2))
    ),
    "flat rock": lambda x, y, z: z == 0 or (z == 1 and (x in (1, 2) or y in (1, 2))),
    "hedge": lambda x, y, z: z < 3,
    "stepping stone": lambda x, y, z: z < 3 or x in (1, 2) or y in (1, 2),
    "pad": lambda x, y, z: z < 2 and (x in (1, 2) or y in (1, 2)),
    "bough": lambda x, y, z: (
        (x in (1, 2) and y in (1, 2)) or (z in (0, 1) and (x in (1, 2) or y in (1, 2)))
    ),
    "bell": lambda x, y, z: (
        z == 0 or (z < 3 and (x in (1, 2) or y in (1, 2))) or (x in (1, 2) and y in (1, 2))
    ),
    "hamper": lambda x, y, z: (
        (x in (1, 2) or y in (1, 2)) and (z == 0 or x in (0, 3) or y in (0, 3))
    ),
    "skeins": lambda x, y, z: (
        (z == 0 and (x in (1, 2) or y in (1, 2))) or (z == 1 and (x in (1, 2)) != (y in (1, 2)))
    ),
    "folds": lambda x, y, z: z in (0, 2) or (z == 1 and (x in (1, 2) or y in (1, 2))),
    "wide bowl": lambda x, y, z: (
        (z == 0 and x in (1, 2) and y in (1, 2))
        or (z == 1 and (x in (0, 3) or y in (0, 3)) and (x in (1, 2) or y in (1, 2)))
        or (z == 1 and x in (1, 2) and y in (1, 2))
    ),
    "spray": lambda x, y, z: (
        (z < 2 and x in (1, 2) and y in (1, 2)) or (z > 1 and (x in (1, 2) or y in (1, 2)))
    ),
    "stakes": lambda x, y, z: (
        (x in (0, 3) or y in (0, 3)) and (z < 2 or (x in (0, 3)) == (y in (0, 3)))
    ),
    "sheaf": lambda x, y, z: (
        (x in (1, 2) and y in (1, 2)) or (z != 1 and (x in (1, 2) or y in (1, 2)))
    ),
    "kick wheel": lambda x, y, z: (
        z == 3 or (x in (1, 2) and y in (1, 2)) or (z == 0 and (x in (1, 2) or y in (1, 2)))
    ),
    "chimney": lambda x, y, z: True,
    "chimney cap": lambda x, y, z: z == 1 or (z in (0, 2) and x in (1, 2) and y in (1, 2)),
}

# Facing east; the other sides are quarter turns of it.
SIDED: dict[str, Rule] = {
    "course": lambda x, y, z: z < 2 or x >= 2,
    "tread": lambda x, y, z: z < 2 or x >= 2,
    "panel": lambda x, y, z: x == 3,
    "rail": lambda x, y, z: x == 3 and (z == 3 or y in (0, 3) or (z == 0)),
    "mat": lambda x, y, z: True,
    "lattice": lambda x, y, z: y in (1, 2) and (x % 2 == 1 or z in (0, 3)),
    "shelf": lambda x, y, z: x >= 2 and (z in (0, 3) or y in (0, 3) or x == 3),
    "chest": lambda x, y, z: z < 3 and x >= 1,
    "stove": lambda x, y, z: (
        not (x < 2 and y in (1, 2) and z in (0, 1)) and (z < 3 or (x in (1, 2) and y in (1, 2)))
    ),
    "kerb": lambda x, y, z: x >= 2,
    "bed head": lambda x, y, z: z < 2 or (z == 2 and x in (1, 2)),
    "bracket": lambda x, y, z: x + z >= 4 and y in (1, 2),
    "bracket lamp": lambda x, y, z: x >= 1 and y in (1, 2) and z in (1, 2),
    "case": lambda x, y, z: x >= 2 or (x == 1 and (z in (0, 3) or y in (0, 3))),
    "book row": lambda x, y, z: x >= 2 or (x == 1 and z in (0, 3)),
    "rack": lambda x, y, z: x >= 1 and (z in (1, 3) or (x == 3 and y in (0, 3))),
    "bench end": lambda x, y, z: z == 3 or (x == 3 and y in (0, 3)),
    "dais": lambda x, y, z: z < 2 or x == 3,
    "tools": lambda x, y, z: x >= 2 and (z == 0 or (x == 3 and z < 3 and y in (0, 3))),
    "writing table": lambda x, y, z: (
        z == 1 or (z == 0 and y in (0, 3)) or (z == 2 and x == 3 and y in (1, 2))
    ),
    "hood": lambda x, y, z: x >= z,
    "pool end": lambda x, y, z: z == 0 and x < 3 and y in (1, 2),
    "oven": lambda x, y, z: (
        not (x < 2 and y in (1, 2) and z in (1, 2)) and (z < 3 or x in (1, 2) or y in (1, 2))
    ),
    "disc": lambda x, y, z: (
        (x == 3 and (y in (1, 2) or z in (1, 2))) or (x == 2 and (y in (1, 2)) != (z in (1, 2)))
    ),
    "neck": lambda x, y, z: x == 3 and y in (1, 2),
    "cleaver": lambda x, y, z: z == 0 and (y in (1, 2) or x == 3),
    "chair": lambda x, y, z: (
        z == 1 or (x == 3 and z > 0) or (z == 0 and x in (0, 3) and y in (0, 3))
    ),
    "scroll end": lambda x, y, z: z == 0 or (z == 1 and x == 3),
    "keyboard": lambda x, y, z: x >= 2 and (z == 3 or (z == 2 and x == 3)),
    "felloe": lambda x, y, z: y in (1, 2) and (8 <= x * (x + 1) + (3 - z) * (4 - z) <= 16),
    "billets": lambda x, y, z: x > 0 or (y in (1, 2)) == (z in (1, 3)),
    "sprig jar": lambda x, y, z: (
        (z < 2 and (x in (1, 2) or y in (1, 2))) or (z > 1 and x == 2 and y in (1, 2))
    ),
}

# With its corner in the north-east; the others are quarter turns of it.
CORNERED: dict[str, Rule] = {
    "hip piece": lambda x, y, z: z < 2 or (x >= 2 and y >= 2),
    "valley piece": lambda x, y, z: z < 2 or x >= 2 or y >= 2,
    "kerb corner": lambda x, y, z: x >= 2 and y >= 2,
    "pool corner": lambda x, y, z: z == 0 and x < 3 and y < 3,
    "screen leaf": lambda x, y, z: abs(x - y) < 2,
    "panel corner": lambda x, y, z: x == 3 or y == 3,
    "rail corner": lambda x, y, z: (
        (x == 3 or y == 3) and (z in (0, 3) or (x in (0, 3) and y in (0, 3)))
    ),
}

# Running along x; the one along y is a quarter turn of it.
AXIAL: dict[str, Rule] = {
    "infill": lambda x, y, z: y in (1, 2),
    "leaf near": lambda x, y, z: y == 1,
    "leaf far": lambda x, y, z: y == 2,
    "leaf pair": lambda x, y, z: y in (1, 2),
    "door leaf": lambda x, y, z: y in (1, 2),
    "culvert": lambda x, y, z: not (y in (1, 2) and z in (1, 2)),
    "coping": lambda x, y, z: z == 0 or (z == 1 and y in (1, 2)),
    "saddle": lambda x, y, z: z < 2 or y in (1, 2),
    "bar": lambda x, y, z: y in (1, 2) and z in (2, 3),
    "sandals": lambda x, y, z: z == 0 and x in (0, 3) and y in (1, 2),
    "vice": lambda x, y, z: y in (1, 2) and (z == 0 or (z == 1 and x in (0, 3))),
    "bale": lambda x, y, z: y in (1, 2) or z in (1, 2),
    "scroll": lambda x, y, z: z == 0 and y in (1, 2),
    "sawbuck": lambda x, y, z: x in (0, 3) and (z in (1, 3) or (y in (1, 2)) == (z == 2)),
    "trestle": lambda x, y, z: z == 2 or (z < 2 and x in (0, 3) and y in (1, 2)),
    "robe": lambda x, y, z: y in (1, 2) and (z > 0 or x in (1, 2)),
    "rolls": lambda x, y, z: (z == 0 and y in (0, 3)) or (z < 2 and y in (1, 2)),
    "bed roll": lambda x, y, z: (
        (y in (1, 2) or z in (1, 2)) and not (x in (0, 3) and y in (1, 2) and z in (1, 2))
    ),
    "plank stool": lambda x, y, z: y in (1, 2) and (z == 1 or (z == 0 and x in (0, 3))),
}

# Sided too, numbered after the rest: what stands on a rail, and what fronts are made of.
LATER: dict[str, Rule] = {
    "rail lamp": lambda x, y, z: y in (1, 2) and (x == 3 or (x == 2 and z > 0)),
    "boarding": lambda x, y, z: x in (1, 2) or (x == 3 and y in (0, 3)),
    "weatherboard": lambda x, y, z: x in (1, 2) or (x == 3 and z in (0, 2)),
    "coffer": lambda x, y, z: x in (1, 2) or (x == 3 and (y in (0, 3) or z in (0, 3))),
    "ledged": lambda x, y, z: x in (1, 2) or (x == 3 and z in (0, 3)),
    "louvre": lambda x, y, z: x in (1, 2) and (y in (0, 3) or (x + z) % 2 == 0),
    "grid": lambda x, y, z: x in (1, 2) and (y in (0, 3) or z in (0, 3)),
    "bars": lambda x, y, z: x in (1, 2) and y in (0, 3),
    "sheet": lambda x, y, z: x == 2,
    "balustrade": lambda x, y, z: x == 1 and z < 3 and (z in (0, 2) or y in (0, 3)),
    "plaque": lambda x, y, z: x == 3 and z < 3,
    "oriel": lambda x, y, z: (x < 2 and z in (0, 3)) or (x == 1 and y in (0, 3)),
}

# Pieces of SIDED and CORNERED that also exist upside down.
HUNG = ("course", "hip piece", "valley piece", "felloe")


def _forms() -> Iterator[Form]:
    yield Form(name="air", piece="air", bits=0)
    for piece, rule in PLAIN.items():
        yield Form(name=piece, piece=piece, bits=bits_of(_fill(rule)))
    for pieces, names in ((SIDED, SIDES), (CORNERED, CORNERS)):
        for piece, rule in pieces.items():
            shape = _fill(rule)
            for k, facing in enumerate(names):
                turned = np.rot90(shape, k, axes=(0, 1))
                yield Form(
                    name=f"{piece} {facing}", piece=piece, facing=facing, bits=bits_of(turned)
                )
                if piece in HUNG:
                    hung = bits_of(turned[:, :, ::-1])
                    yield Form(
                        name=f"{piece} {facing} soffit",
                        piece=piece,
                        facing=facing,
                        soffit=True,
                        bits=hung,
                    )
    yield from _turned(AXIAL, "xy")
    yield from _turned(LATER, SIDES)
    for piece, rule in GOODS.items():
        yield Form(name=piece, piece=piece, bits=bits_of(_fill(rule)))
    yield from _turned(SIDED_GOODS, SIDES)
    yield from _turned(AXIAL_GOODS, "xy")
    for piece, rule in LAST_GOODS.items():
        yield Form(name=piece, piece=piece, bits=bits_of(_fill(rule)))
    yield from _turned(LAST_SIDED, SIDES)
    yield from _turned(LAST_CORNERED, CORNERS)
    yield from _turned(LAST_AXIAL, "xy")


def _turned(pieces: Mapping[str, Rule], facings: Sequence[str]) -> Iterator[Form]:
    """Each piece in every way that it faces or runs."""
    for piece, rule in pieces.items():
        for k, facing in enumerate(facings):
            bits = bits_of(np.rot90(_fill(rule), k, axes=(0, 1)))
            yield Form(name=f"{piece} {facing}", piece=piece, facing=facing, bits=bits)


FORMS: tuple[Form, ...] = tuple(_forms())
"""Every form, in the order of their numbers in the arrays; FORMS[0] is air."""

NUMBER: dict[str, int] = {form.name: n for n, form in enumerate(FORMS)}
"""A form's number by its name."""


@cache
def shapes() -> Shape:
    """bool [F, 4, 4, 4]: the sub-cells of every form, read-only."""
    return fixed(np.stack([form.shape for form in FORMS]))


def _faced(facing: str, turn: Turn) -> str:
    if facing in SIDES:
        return turn.side(facing)
    if facing in CORNERS:
        sides = {turn.side(side) for side in SIDES if side in facing.split("-")}
        return next(c for c in CORNERS if set(c.split("-")) == sides)
    return turn.axis(facing) if facing in ("x", "y") else ""  # type: ignore[arg-type]


_MIRRORED_TRACK = {"leaf near": "leaf far", "leaf far": "leaf near"}


@cache
def _renamed(name: str, quarters: int, mirror: bool) -> str:
    form = FORMS[NUMBER[name]]
    facing = _faced(form.facing, Turn(1, 1, quarters, mirror))
    piece = form.piece
    if piece in _MIRRORED_TRACK:
        # A leaf's track is the one of the pair that its turned shape fills.
        shape = Turn(1, 1, quarters, mirror).array(form.shape)
        here = FORMS[NUMBER[f"{piece} {facing}"]].shape
        piece = piece if np.array_equal(shape, here) else _MIRRORED_TRACK[piece]
    return f"{piece} {facing}".strip() + (" soffit" if form.soffit else "")


def turned(name: str, turn: Turn) -> str:
    """The name of a form after its house is turned."""
    return _renamed(name, turn.quarters % 4, turn.mirror)
