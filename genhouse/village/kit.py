"""What stands about a village, piece by piece: trees, lamps, wells, a mill, a shrine.

A stamp is laid with its foot on the ground at a place; its pieces are named, never numbered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache

Piece = tuple[int, int, int, str, str]
"""Cells east, north and up of the place; material; form."""
Stamp = tuple[Piece, ...]


def _ball(radius: int, high: int, material: str, flat: int = 0) -> Iterator[Piece]:
    """A crown about a middle so high: whole within, rounded at its rim."""
    for x in range(-radius, radius + 1):
        for y in range(-radius, radius + 1):
            for z in range(-radius + flat, radius + 1 - flat):
                far = x * x + y * y + z * z * (4 if flat else 1)
                if far <= radius * radius + radius:
                    rim = far > (radius - 1) * (radius - 1) + radius // 2
                    yield x, y, high + z, material, "ball" if rim and radius > 1 else "whole"


def _broad(radius: int, stem: int, leaf: str) -> Stamp:
    trunk = ((0, 0, z, "trunk", "stout post") for z in range(stem + radius))
    return _first((*trunk, *_ball(radius, stem + radius - 1, leaf)))


def _fir(high: int) -> Stamp:
    pieces: list[Piece] = [(0, 0, z, "trunk", "stout post") for z in range(high)]
    for z in range(2, high):
        reach = (high - z + 1) // 3 if (z + high) % 2 else (high - z) // 3
        for x in range(-reach, reach + 1):
            for y in range(-reach, reach + 1):
                if 0 < abs(x) + abs(y) <= reach + (reach > 1):
                    pieces.append((x, y, z, "fir needle", "whole"))
    pieces.append((0, 0, high, "fir needle", "ball"))
    return _first(pieces)


def _apple() -> Stamp:
    leaves = list(_ball(1, 3, "apple leaf"))
    more = [(x, y, 3, "apple leaf", "ball") for x, y in ((2, 0), (-2, 0), (0, 2), (0, -2))]
    fruit = [(1, 1, 2, "apple", "pad"), (-1, 1, 3, "apple", "pad")]
    trunk = [(0, 0, z, "trunk", "post") for z in range(2)]
    return _first((*trunk, *fruit[1:], *leaves, *more))


def _willow() -> Stamp:
    hang = [
        (x, y, z, "willow leaf", "ball")
        for x, y in ((3, 0), (-3, 0), (0, 3), (0, -3), (2, 2), (-2, 2), (2, -2), (-2, -2))
        for z in range(2, 5)
    ]
    trunk = [(0, 0, z, "trunk", "stout post") for z in range(4)]
    return _first((*trunk, *_ball(3, 5, "willow leaf", flat=1), *hang))


def _lamp() -> Stamp:
    return (
        (0, 0, 0, "kerb stone", "stout post"),
        (0, 0, 1, "bridge rail", "post"),
        (0, 0, 2, "lane lantern", "floor lamp"),
    )


def _well() -> Stamp:
    ring = [
        (x, y, 0, "kerb stone", "whole") for x in (-1, 0, 1) for y in (-1, 0, 1) if (x, y) != (0, 0)
    ]
    posts = [(x, 0, z, "bridge rail", "post") for x in (-1, 1) for z in (1, 2)]
    roof = [
        (x, y, 3, "mill shingle", f"course {side}")
        for x in (-1, 0, 1)
        for y, side in ((-1, "north"), (1, "south"))
    ]
    ridge = [(x, 0, 3, "mill shingle", "whole") for x in (-1, 0, 1)]
    return (*ring, (0, 0, 0, "stream water", "whole"), *posts, *roof, *ridge)


def _stall(cloth: str) -> Stamp:
    posts = [(x, y, z, "bridge rail", "post") for x in (0, 3) for y in (0, 2) for z in (0, 1, 2)]
    roof = [
        (x, y, 3, cloth if x % 2 else "pale awning", "half course")
        for x in range(4)
        for y in range(3)
    ]
    table = [(x, 0, 0, "mill board", "table") for x in (1, 2)]
    return (*posts, *roof, *table)


def _haystack() -> Stamp:
    low = [(x, y, 0, "hay", "whole") for x in (-1, 0, 1) for y in (-1, 0, 1) if abs(x) + abs(y) < 2]
    corners = [(x, y, 0, "hay", "ball") for x in (-1, 1) for y in (-1, 1)]
    high = [
        (x, y, 1, "hay", "dome" if x or y else "whole")
        for x, y in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1))
    ]
    return (*low, *corners, *high, (0, 0, 2, "hay", "dome"))


def _woodstack() -> Stamp:
    return tuple((x, 0, z, "trunk", "bale x") for x in range(3) for z in range(2))


def _cart() -> Stamp:
    """On two wheels, its shafts on the ground."""
    wheels = [(x, y, 0, "trunk", "bale y") for x in (1,) for y in (0, 1)]
    bed = [(x, y, 1, "bridge plank", "half course") for x in range(3) for y in (0, 1)]
    shafts = [(3, y, 0, "bridge rail", "post") for y in (0, 1)]
    return (*wheels, *bed, *shafts, *((3, y, 1, "bridge rail", "half course") for y in (0, 1)))


def _stone() -> Stamp:
    return ((0, 0, 0, "kerb stone", "whole"), (0, 0, 1, "kerb stone", "dome"))


def _bench() -> Stamp:
    return tuple((x, 0, 0, "bridge plank", "plank stool x") for x in range(2))


def _hedge() -> Stamp:
    return ((0, 0, 0, "hedge leaf", "whole"), (0, 0, 1, "hedge leaf", "hedge"))


def _garden_wall() -> Stamp:
    """Of laid stones, capped."""
    return ((0, 0, 0, "kerb stone", "whole"), (0, 0, 1, "terrace wall", "half course"))


LET_IN = ", let in"
"""Added to the name of what stands on half a cell of ground as high as beside that on a whole one: it takes
that half cell's place, so that no ground is raised for it, which might hold the rain."""


def _let_in(whole: Stamp) -> Stamp:
    return tuple((x, y, z - 1, stuff, form) for x, y, z, stuff, form in whole)


def _bush() -> Stamp:
    return ((0, 0, 0, "hedge leaf", "ball"),)


def _shrine() -> Stamp:
    """A platform of three steps' height, four posts, a roof that rises to a point."""
    pieces: list[Piece] = []
    for x in range(-4, 5):
        for y in range(-4, 5):
            rim = max(abs(x), abs(y))
            pieces.append((x, y, 0, "kerb stone", "half course" if rim == 4 else "whole"))
    for x in (-2, 2):
        for y in (-2, 2):
            pieces += [(x, y, z, "shrine timber", "stout post") for z in range(1, 5)]
    pieces += [(0, 0, 1, "kerb stone", "whole"), (0, 0, 2, "lane lantern", "lamp head")]
    for z, reach in ((5, 4), (6, 3), (7, 2), (8, 1)):
        pieces += _tier(z, reach)
    pieces.append((0, 0, 9, "shrine tile", "dome"))
    return _first(pieces)


def _tier(z: int, reach: int) -> Iterator[Piece]:
    """One course of a pointed roof."""
    for x in range(-reach, reach + 1):
        for y in range(-reach, reach + 1):
            if max(abs(x), abs(y)) < reach:
                yield x, y, z, "shrine tile", "whole"
            elif abs(x) == abs(y):
                side = f"{'south' if y > 0 else 'north'}-{'west' if x > 0 else 'east'}"
                yield x, y, z, "shrine tile", f"hip piece {side}"
            else:
                side = (
                    ("west" if x > 0 else "east")
                    if abs(x) > abs(y)
                    else ("south" if y > 0 else "north")
                )
                yield x, y, z, "shrine tile", f"course {side}"


def _mill(wheel: int) -> Stamp:
    """Stone below, boards above, a gabled roof, and a wheel to the east (1) or the west (-1)."""
    pieces: list[Piece] = []
    for x in range(-3, 4):
        for y in range(-3, 4):
            rim = abs(x) == 3 or abs(y) == 3
            door = x == -3 * wheel and y == 0
            for z in range(5):
                if rim and not (door and z < 2):
                    window = z == 3 and (x, y) in ((0, 3), (0, -3), (-3 * wheel, 0))
                    stuff = "mill stone" if z < 2 else "mill board"
                    pieces.append((x, y, z, "mill shingle" if window else stuff, "whole"))
            pieces.append((x, y, 5, "mill board", "whole"))
    for z, reach in ((6, 4), (7, 3), (8, 2), (9, 1)):
        for x in range(-4, 5):
            for y, side in ((reach, "south"), (-reach, "north")):
                pieces.append((x, y, z - 1, "mill shingle", f"course {side}"))
            inner = range(1 - reach, reach)
            pieces += [(x, y, z - 1, "mill board", "whole") for y in inner if abs(x) == 3]
            pieces += [(x, y, z - 1, "mill shingle", "whole") for y in (reach - 1, 1 - reach)]
    pieces += [(x, 0, 9, "mill shingle", "half course") for x in range(-4, 5)]
    pieces += [(4 * wheel, 0, 1, "trunk", "whole"), (5 * wheel, 0, 1, "trunk", "whole")]
    for y in range(-3, 4):
        for z in range(-2, 5):
            far = y * y + (z - 1) * (z - 1)
            if 4 < far <= 10 or (0 < far <= 4 and 0 in (y, z - 1)):
                pieces.append((5 * wheel, y, z, "bridge plank", "infill y"))
    return _first(pieces)


STAMPS: dict[str, Callable[[], Stamp]] = {
    "oak": lambda: _broad(3, 3, "oak leaf"),
    "old oak": lambda: _broad(4, 3, "oak leaf"),
    "ash": lambda: _broad(2, 4, "ash leaf"),
    "lime": lambda: _broad(3, 2, "lime leaf"),
    "birch": lambda: _broad(2, 3, "lime leaf"),
    "fir": lambda: _fir(9),
    "tall fir": lambda: _fir(12),
    "young fir": lambda: _fir(6),
    "apple": _apple,
    "willow": _willow,
    "bush": _bush,
    "hedge": _hedge,
    "hedge" + LET_IN: lambda: _let_in(_hedge()),
    "garden wall": _garden_wall,
    "garden wall" + LET_IN: lambda: _let_in(_garden_wall()),
    "lamp": _lamp,
    "well": _well,
    "red stall": lambda: _stall("awning"),
    "stall": lambda: _stall("hay"),
    "haystack": _haystack,
    "woodstack": _woodstack,
    "cart": _cart,
    "boundary stone": _stone,
    "bench": _bench,
    "shrine": _shrine,
    "mill east": lambda: _mill(1),
    "mill west": lambda: _mill(-1),
}
"""By name; in the order of their numbers."""
TREES = (
    "oak",
    "old oak",
    "ash",
    "lime",
    "birch",
    "fir",
    "tall fir",
    "young fir",
    "apple",
    "willow",
    "bush",
    "hedge",
    "hedge" + LET_IN,
)
REACH = 6
"""Cells that a stamp goes out from its place, at most."""


@cache
def stamp(name: str) -> Stamp:
    """The pieces of one."""
    return STAMPS[name]()


def _first(pieces: object) -> Stamp:
    """Each cell once: what was named first."""
    cells: dict[tuple[int, int, int], Piece] = {}
    for piece in pieces:  # type: ignore[attr-defined]
        cells.setdefault(piece[:3], piece)
    return tuple(cells.values())
