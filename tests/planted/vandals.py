"""Vandals: what somebody may do to a good house at random, and whether it does harm.

Harm is said beforehand, of what was touched, never by asking the inspector.  A room's wall, its opening,
floor or roof opened, a post, beam, rail, tread or leaf taken, stuff that lets in rain or that opens where
nothing opens, air told to another room, a list that lies: these are harmful.  What only looks wrong is
harmless: another plaster, a box under a stair, a lone rail where nobody walks, a thing more or less in a
room or garden, a timber of a roof that its slopes carry, the number of a solid cell's room.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from random import Random

import numpy as np

from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.model.room import COURTS
from tests.houses import TIMBER, cells
from tests.planted.edit import Cell, Edit, material_of, subject

Vandal = Callable[[Edit, Random], bool]
"""Does it, and says whether it is harmful.  Raises IndexError where a house has nothing of the kind."""
RECIPES = (
    Recipe(seed=0),
    Recipe(seed=5, brief=Brief(storeys=1, roof=RoofWish(form="flat"))),
    Recipe(seed=11, brief=Brief(plot=(31, 37), gallery=2, garden="pond")),
    Recipe(seed=444, brief=Brief(low=("front", "right"), roof=RoofWish(right="flat"), mirror=True)),
    Recipe(seed=21, brief=Brief(plot=(23, 32), gate="east", palette="frost")),
)


@cache
def houses() -> tuple[House, ...]:
    return (subject(), *map(make, RECIPES))


def of(edit: Edit, *roles: str, stage: str = "") -> list[Cell]:
    return cells(edit.house, *roles, stage=stage)


def beside_room(edit: Edit, at: Cell) -> bool:
    """Whether a cell has an indoor room on some side."""
    room = edit.arrays["room"]
    indoor = {r.id for r in edit.plan.rooms if r.indoor}
    x, y, z = at
    return any(int(room[x + i, y + j, z]) in indoor for i, j in ((1, 0), (-1, 0), (0, 1), (0, -1)))


def indoor_air(edit: Edit, rng: Random) -> Cell:
    room = rng.choice([r for r in edit.plan.rooms if r.indoor])
    air = np.argwhere((edit.arrays["room"] == room.id) & (edit.arrays["form"] == 0))
    x, y, z = air[rng.randrange(len(air))].tolist()
    return (x, y, z)


def cleared(*roles: str, stage: str = "", harmful: bool = True) -> Vandal:
    """One cell of some roles taken away."""

    def vandal(edit: Edit, rng: Random) -> bool:
        edit.clear([rng.choice(of(edit, *roles, stage=stage))])
        return harmful

    return vandal


def wall(edit: Edit, rng: Random) -> bool:
    walls = of(edit, "infill", "partition", "lattice", stage="walls")
    edit.clear([rng.choice([c for c in walls if beside_room(edit, c)])])
    return True


def doorway(edit: Edit, rng: Random) -> bool:
    """Two cells of an outer wall, one on the other from the sill up: a way with no leaf."""
    walls = set(of(edit, "infill", stage="walls"))
    feet = [(x, y, z) for x, y, z in walls if (x, y, z - 1) not in walls and (x, y, z + 1) in walls]
    x, y, z = rng.choice(sorted(c for c in feet if beside_room(edit, c)))
    edit.clear([(x, y, z), (x, y, z + 1)])
    return True


def post(edit: Edit, rng: Random) -> bool:
    """One of its cells above the foot, so that something stood on it."""
    x, y, z = rng.choice(of(edit, "post", stage="frame"))
    edit.clear([(x, y, z)])
    column = edit.arrays["stage"][x, y] == edit.about.stages.index("frame")
    return bool(column[: z + 1].any() and column[z:].any())


def whole_post(edit: Edit, rng: Random) -> bool:
    x, y, _ = rng.choice(of(edit, "post", stage="frame"))
    frame = edit.about.stages.index("frame")
    edit.clear((x, y, int(z)) for z in np.flatnonzero(edit.arrays["stage"][x, y] == frame))
    return True


def beam(edit: Edit, rng: Random) -> bool:
    """All of a beam between two posts."""
    role = rng.choice(("tie", "tie", "plate", "sill"))
    parts = [p for p in edit.plan.parts if p.stage == "frame" and p.role == role]
    edit.clear(rng.choice(parts).box.cells())
    return True


def board(edit: Edit, rng: Random) -> bool:
    """Under a cell in which one can stand."""
    laid = of(edit, "board", "upper-board", "flag", "mat", "veranda", "gallery")
    room = edit.arrays["room"]
    x, y, z = rng.choice([(x, y, z) for x, y, z in laid if room[x, y, z + 1]])
    edit.clear([(x, y, z)])
    return True


def rail(edit: Edit, rng: Random) -> bool:
    """Harmful where somebody, a cell wide as a body is, then finds room in its place or beside it; in the
    corner of a gallery that another rail takes nobody stands."""
    x, y, z = rng.choice(of(edit, "rail"))
    edit.clear([(x, y, z)])
    walked = {r.id for r in edit.plan.rooms if r.kind not in COURTS}
    about = ((x, y), (x + 1, y), (x - 1, y), (x, y + 1), (x, y - 1))
    free = [(*c, z) for c in about if not edit.solid((*c, z))]
    return any(int(edit.arrays["room"][c]) in walked for c in free)


def roof_rail(edit: Edit, rng: Random) -> bool:
    edit.clear([rng.choice(of(edit, "roof-rail"))])
    return False


def roof_column(edit: Edit, rng: Random) -> bool:
    """Everything of the roof over a cell of a room."""
    indoor = [r.id for r in edit.plan.rooms if r.indoor]
    over = np.isin(edit.arrays["room"], indoor).any(axis=2)
    covers = [c for c in of(edit, "tile", stage="roof") if over[c[:2]]]
    x, y, _ = rng.choice(covers)
    roof = edit.about.stages.index("roof")
    edit.clear((x, y, int(z)) for z in np.flatnonzero(edit.arrays["stage"][x, y] == roof))
    return True


def swap(edit: Edit, at: Cell, material: str) -> None:
    edit.arrays["material"][at] = [m.name for m in edit.about.materials].index(material)


def papered(edit: Edit, rng: Random) -> bool:
    """A piece of the roof turned to paper; an upright face that light goes through is a window."""
    paper = rng.choice(("window paper", "screen paper", "painted screen"))
    at = rng.choice(of(edit, "tile", "eave", "ridge", stage="roof"))
    upright = edit.about.forms[edit.arrays["form"][at]].piece == "whole"
    swap(edit, at, paper)
    return not (upright and paper == "window paper")


def opened(edit: Edit, rng: Random) -> bool:
    """A piece of a wall, or of the frame, turned to what opens, or flows."""
    stuff = rng.choice(("screen paper", "door board", "pond water"))
    walls = [c for c in of(edit, "infill", "tie", "post") if beside_room(edit, c)]
    swap(edit, rng.choice(walls), stuff)
    return True


def plastered(edit: Edit, rng: Random) -> bool:
    swap(edit, rng.choice(of(edit, "infill", "partition", "board")), "ochre clay")
    return False


def told(edit: Edit, rng: Random) -> bool:
    """Air of a room told to be of another, or of none."""
    at = indoor_air(edit, rng)
    others = [0, *(r.id for r in edit.plan.rooms if r.id != edit.arrays["room"][at])]
    edit.arrays["room"][at] = rng.choice(others)
    return True


def told_many(edit: Edit, rng: Random) -> bool:
    """A block of a room, air and fittings alike."""
    x, y, z = indoor_air(edit, rng)
    room = edit.arrays["room"]
    block = room[x - 1 : x + 2, y - 1 : y + 2, z - 1 : z + 2]
    block[block == room[x, y, z]] = rng.choice(
        [r.id for r in edit.plan.rooms if r.id != room[x, y, z]]
    )
    return True


def told_solid(edit: Edit, rng: Random) -> bool:
    """A post or beam said to lie in a room."""
    at = rng.choice(of(edit, "post", "tie", stage="frame"))
    edit.arrays["room"][at] = rng.choice(edit.plan.rooms).id
    return False


def hung(edit: Edit, rng: Random) -> bool:
    """A piece in the middle of the air."""
    bare = edit.arrays["form"] == 0
    free = bare.copy()
    for axis in range(3):
        for by in (1, -1):
            free &= np.roll(bare, by, axis)
    free[[0, -1]] = free[:, [0, -1]] = free[:, :, [0, -1]] = False
    spots = np.argwhere(free)
    x, y, z = spots[rng.randrange(len(spots))].tolist()
    edit.wall([(x, y, z)])
    return True


def put(edit: Edit, rng: Random) -> bool:
    """A jar more on the ground of a garden."""
    court = rng.choice([r for r in edit.plan.rooms if r.kind == "court"])
    ground = [(x, y, court.floor) for r in court.rects for x, y in r.cells()]
    at = rng.choice([c for c in ground if not edit.solid(c)])
    edit.set([at], material_of(edit, "jar"), "jar", "court")
    return False


def fitting(edit: Edit, rng: Random) -> bool:
    """A piece of a fitting; harmful where another stood on it."""
    stage = edit.about.stages.index("fittings")
    where = np.argwhere(edit.arrays["stage"] == stage)
    x, y, z = where[rng.randrange(len(where))].tolist()
    edit.clear([(x, y, z)])
    return bool(edit.arrays["stage"][x, y, z + 1] == stage)


def lamps(edit: Edit, rng: Random) -> bool:
    """All lamps of a walkable room."""
    lit = edit.arrays["stage"] == edit.about.stages.index("lamps")
    rooms = [r for r in edit.plan.rooms if r.indoor and (lit & (edit.arrays["room"] == r.id)).any()]
    room = rng.choice(rooms)
    light = np.array([m.lumens > 0 for m in edit.about.materials])[edit.arrays["material"]]
    edit.clear(map(tuple, np.argwhere(light & (edit.arrays["room"] == room.id)).tolist()))
    return True


def listed(edit: Edit, rng: Random) -> bool:
    """A line of the materials list changed, lost or made up."""
    rows = edit.list()
    n = rng.randrange(len(rows))
    line = rows[n]
    changed = rng.choice(
        ([(*line[:3], line[3] + 1)], [], [line, ("walls", "kiln brick", "whole", 3)])
    )
    edit.rows = [*rows[:n], *changed, *rows[n + 1 :]]
    return True


VANDALS: dict[str, Vandal] = {
    "a cell of a wall": wall,
    "a doorway knocked through": doorway,
    "a pane": cleared("window", "lattice", stage="walls"),
    "a leaf": cleared("screen", "partition-screen", "gate-leaf", stage="screens"),
    "a cell of a post": post,
    "a whole post": whole_post,
    "a cell of a beam": cleared("tie", "plate", "sill", stage="frame"),
    "a whole beam": beam,
    "a floor board": board,
    "a rail": rail,
    "a rail on a roof": roof_rail,
    "a tread": cleared("tread"),
    "a box of the stair": cleared("stair-box", harmful=False),
    "the roof over a cell": roof_column,
    "a tile turned to paper": papered,
    "a wall or beam that opens or flows": opened,
    "another plaster": plastered,
    "a timber of the roof": cleared(*dict(TIMBER.duties)["void"], harmful=False),
    "a cell told to another room": told,
    "a block told to another room": told_many,
    "a beam told to a room": told_solid,
    "a piece in the air": hung,
    "a jar in the garden": put,
    "a piece of a fitting": fitting,
    "the lamps of a room": lamps,
    "a line of the list": listed,
}
