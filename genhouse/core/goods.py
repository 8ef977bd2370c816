"""The forms of household goods, which are numbered after all others; see ``forms``."""

from __future__ import annotations

from collections.abc import Callable

Rule = Callable[[int, int, int], bool]
"""Whether a sub-cell, x, y, z of 0 to 3, is filled."""

# What stands still, what has sides, what runs along x.
GOODS: dict[str, Rule] = {
    "sack": lambda x, y, z: (
        z == 1 or (z in (0, 2) and (x in (1, 2) or y in (1, 2))) or (x in (1, 2) and y in (1, 2))
    ),
    "game board": lambda x, y, z: z > 0 or (x in (0, 3) and y in (0, 3)),
    "stacked folds": lambda x, y, z: z != 2 or x in (1, 2) or y in (1, 2),
    "flared basket": lambda x, y, z: (
        (z == 0 and x in (1, 2) and y in (1, 2))
        or (z == 1 and (x in (1, 2) or y in (1, 2)))
        or (z > 1 and (x in (0, 3) or y in (0, 3)))
    ),
}
SIDED_GOODS: dict[str, Rule] = {
    "drawers": lambda x, y, z: x >= 1,
}
AXIAL_GOODS: dict[str, Rule] = {
    "bulged": lambda x, y, z: x in (1, 2) or y in (1, 2) or z in (1, 2),
    "planks": lambda x, y, z: z in (0, 2) or x in (1, 2),
    "splayed": lambda x, y, z: (
        (z == 3 and y in (1, 2)) or (z < 3 and x in (0, 3) and (z == 2 or y in (0, 3)))
    ),
    "domed chest": lambda x, y, z: z < 3 or y in (1, 2),
}

# Goods again, with sides or corners or along x, numbered after all those.
LAST_GOODS: dict[str, Rule] = {
    "filled basket": lambda x, y, z: (
        z > 1 or (x in (1, 2) and y in (1, 2)) or (z == 1 and (x in (1, 2) or y in (1, 2)))
    ),
    "deals": lambda x, y, z: z in (0, 2),
}
LAST_SIDED: dict[str, Rule] = {
    "roundel": lambda x, y, z: x == 3 and (y in (1, 2) or z in (1, 2)),
    "open chair": lambda x, y, z: (
        (z == 0 and x in (0, 3) and y in (0, 3))
        or z == 1
        or (x == 3 and z > 0 and (z == 3 or y in (0, 3)))
    ),
}
LAST_CORNERED: dict[str, Rule] = {
    "eggs": lambda x, y, z: z == 0 and (x + y) % 2 == 0,
}
LAST_AXIAL: dict[str, Rule] = {
    "cross frame": lambda x, y, z: x in (1, 2) and (z in (1, 3) or (y in (1, 2)) == (z == 2)),
}
