"""An outside reader of ``house.json``: is every wish of the brief that stands there met in the house?

It imports nothing of the project: areas and walls by shapely, rooms shared out among the lines of a
programme by scipy.  What a brief means is the page about briefs (shared/docs/brief.md), read anew.

    python -m tests.outside.wishes DIR...      exit 0: all met, 1: some are not
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from math import ceil
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import maximum_bipartite_matching
from shapely import Polygon, box, union_all

Document = dict[str, Any]
RIDGED = ("gable", "hip", "hip-and-gable", "two-tier")
TRADES = {
    "weaver": ["weaving"],
    "baker": ["bakehouse"],
    "joiner": ["workshop"],
    "smith": ["workroom"],
    "dyer": ["workroom", "weaving"],
    "farmer": ["granary", "pantry"],
    "carter": ["workroom", "granary"],
    "physician": ["study", "guest"],
    "teacher": ["study", "library"],
    "musician": ["music"],
    "priest": ["shrine", "study"],
}
"""The rooms of each trade, as ``genhouse choices trades`` lists them."""
WINGS = ("front", "cross", "rear", "left", "right")
FRONT_DOOR = {"south": (0, 1), "north": (0, -1), "west": (1, 0), "east": (-1, 0)}
"""The way in from the gate's side."""


def unmet(house: Document) -> list[str]:
    """The wishes that the house leaves unmet, a sentence each."""
    brief = house["recipe"]["brief"]
    return [
        *_of_site(brief, house),
        *_of_sides(_party(brief), house),
        *_of_ground(brief["ground"], house),
        *_of_roof(brief["roof"], house, _party(brief)),
        *_of_rooms(brief, house),
        *_of_household(brief, house),
    ]


def _of_site(brief: Document, house: Document) -> Iterator[str]:
    drawn, courts = house["drawn"], _courts(house)
    plot = house["plot"]
    for key, fits in (
        ("plot", lambda a, b: a == b),
        ("plot_least", lambda a, b: a <= b),
        ("plot_most", lambda a, b: a >= b),
    ):
        if brief[key] and not all(map(fits, brief[key], plot)):
            yield f"{key} {brief[key]}: the plot is {plot}"
    if (outline := brief["outline"]) and (words := _outline(outline, house)):
        yield words
    x, y, _ = house["gate"]
    dx, dy = FRONT_DOOR[house["gate_side"]]
    on_edge = not _ground(house).intersects(
        box(x - dx, y - dy, x - dx + 1, y - dy + 1).buffer(-0.1)
    )
    if brief["gate"] and not (house["gate_side"] == brief["gate"] and on_edge):
        yield f"gate {brief['gate']}: it is at {x}, {y}"
    if brief["mirror"] != house["turn"]["mirror"]:
        yield "mirror"
    if brief["courts"] and len(courts) != brief["courts"]:
        yield f"courts {brief['courts']}: there are {len(courts)}"
    first = _first_court(house)
    if brief["closed"] and (sides := _closed(first, house)) != brief["closed"]:
        yield f"closed {brief['closed']}: {sides} sides are"
    levels = max(r["level"] for r in house["rooms"] if r["indoor"])
    if brief["storeys"] not in (None, levels):
        yield f"storeys {brief['storeys']}"
    if brief["low"] is not None and (words := _low(brief["low"], house)):
        yield words
    strips = sum(len(r["rects"]) for r in house["rooms"] if r["kind"] == "gallery")
    wanted = brief["gallery"]
    if wanted is not None and (bool(strips) != bool(wanted) or wanted not in (True, False, strips)):
        yield f"gallery {wanted}: along {strips} sides"
    service = [r for r in house["rooms"] if r["kind"] == "service court"]
    if brief["service"] is not None and len(service) != brief["service"]:
        yield f"service {brief['service']}"
    if brief["palette"] and house["palette"]["name"] != brief["palette"]:
        yield f"palette {brief['palette']}"
    gardens = drawn["gardens"][: -len(service) or None]
    if brief["garden"] and set(gardens) != {brief["garden"]}:
        yield f"garden {brief['garden']}: they are {gardens}"


def _ground(house: Document) -> Polygon:
    """The plot."""
    return Polygon(house["outline"]) if house["outline"] else box(0, 0, *house["plot"])


def _outline(wanted: str | list[list[int]], house: Document) -> str:
    """What is wrong with the outline: its ground is that asked for, or of the shape asked for, by how many
    rectangles are cut from the one round it, and how many times its corners turn in."""
    ground = _ground(house)
    if not isinstance(wanted, str):
        return "" if ground.equals(Polygon(wanted)) else f"outline {wanted}: {house['outline']}"
    cut = box(0, 0, *house["plot"]).difference(ground)
    pieces = list(getattr(cut, "geoms", [cut]))
    corners = [len(piece.exterior.coords) - 1 for piece in pieces]
    right = {
        "ell": corners == [4] and not any(map(_small_square, pieces)),
        "tee": corners == [4, 4],
        "stepped": corners == [6],
        "chamfered": {*corners} == {4} and all(map(_small_square, pieces)),
    }
    return "" if right[wanted] else f"outline {wanted}: {house['outline']}"


def _small_square(piece: Polygon) -> bool:
    """As long as a bay, both ways."""
    x0, y0, x1, y1 = piece.bounds
    return bool(x1 - x0 == y1 - y0 <= 6)


def _party(brief: Document) -> list[str]:
    return [side for side, kind in brief["sides"].items() if kind == "party"]


def _of_sides(party: list[str], house: Document) -> Iterator[str]:
    """The gate is elsewhere, and no wall along the edge has an opening."""
    if house["gate_side"] in party:
        yield f"sides {party}: the gate is to the {house['gate_side']}"
    for s in house["segments"]:
        sides = [side for side in party if _along(s["cells"], s["axis"], side, house)]
        if sides and s["opening"] != "none":
            yield f"sides {sides}: {s['opening']} in the wall at {s['cells']}"


def _of_ground(ground: Document, house: Document) -> Iterator[str]:
    """Floors step with the ground: no farther apart than it falls, never up where it goes down."""
    heights = _heights(ground)
    falls = float(heights.max() - heights.min())
    rise = ceil(falls) if falls >= 0.5 else 0
    low = [r for r in house["rooms"] if r["indoor"] and r["level"] == 1]
    floors = {r["floor"] for r in low}
    if (len(floors) > 1) != (rise > 0) or max(floors) - min(floors) > rise:
        yield f"ground {ground}: floors lie at {sorted(floors)}"
    elif rise:
        mean = {
            f: _mean_ground(heights, [r for r in low if r["floor"] == f], house) for f in floors
        }
        if mean[max(floors)] <= mean[min(floors)]:
            yield f"ground {ground}: the highest floor lies where it is low"


def _heights(ground: Document) -> npt.NDArray[np.float64]:
    """Cells by rows from the south, each from west to east."""
    if ground.get("levels"):
        return np.array(ground["levels"]) / 100
    rows = ("southwest", "southeast"), ("northwest", "northeast")
    return np.array([[float(ground[corner]) for corner in row] for row in rows])


def _mean_ground(heights: npt.NDArray[np.float64], rooms: list[Document], house: Document) -> float:
    """How high the ground lies under some rooms on the mean."""
    wide, deep = house["plot"]
    found = []
    for x0, y0, x1, y1 in (rect for room in rooms for rect in room["rects"]):
        east, north = (x0 + x1) / 2 / wide, (y0 + y1) / 2 / deep
        at_east, at_north = (np.linspace(0, 1, n) for n in heights.shape[::-1])
        column = [np.interp(east, at_east, row) for row in heights]
        found.append(float(np.interp(north, at_north, column)))
    return sum(found) / len(found)


def _along(rect: list[int], axis: str, side: str, house: Document) -> bool:
    """Whether what runs along an axis lies on an edge of the plot."""
    at = {
        "west": (0, 0),
        "south": (1, 0),
        "east": (2, house["plot"][0]),
        "north": (3, house["plot"][1]),
    }
    n, edge = at[side]
    return axis == ("y" if side in ("west", "east") else "x") and rect[n] == edge


def _courts(house: Document) -> list[Polygon]:
    return [box(*rect) for rect in house["courts"]]


def _first_court(house: Document) -> Polygon:
    """That nearest the gate."""
    dx, dy = FRONT_DOOR[house["gate_side"]]
    return min(_courts(house), key=lambda court: court.centroid.x * dx + court.centroid.y * dy)


def _closed(court: Polygon, house: Document) -> int:
    """How many sides of a court have a wing along their whole wall line."""
    wings = union_all([box(*rect) for rect in house["wings"]])
    x0, y0, x1, y1 = court.bounds
    lines = (
        box(x0 - 1, y0, x0, y1),
        box(x1, y0, x1 + 1, y1),
        box(x0, y0 - 1, x1, y0),
        box(x0, y1, x1, y1 + 1),
    )
    return sum(wings.contains(line) for line in lines)


def _low(wanted: list[str], house: Document) -> str:
    """What is wrong with the wings that are to be low: those over which no upper room lies."""
    upper = union_all([box(*q) for r in house["rooms"] if _above(r) for q in r["rects"]])
    named = [c for c in house["covers"] if c["wing"] in WINGS]
    low = {c["wing"] for c in named if not box(*c["rect"]).intersection(upper).area}
    return "" if low == set(wanted) else f"low {wanted}: {sorted(low)} are"


def _above(room: Document) -> bool:
    return bool(room["indoor"] and room["level"] > 1)


def _of_roof(wish: Document, house: Document, party: list[str]) -> Iterator[str]:
    covers = house["covers"]
    forms = [(c["wing"], c["form"]) for c in covers]
    for name in WINGS:
        found = {form for wing, form in forms if wing == name}
        if wish[name] and found != {wish[name]}:
            yield f"roof.{name} {wish[name]}: {found or 'no such wing'}"
    leaning = [any(_along(c["rect"], c["axis"], side, house) for side in party) for c in covers]
    rest = [f for f, leans in zip(forms, leaning, strict=True) if not (wish.get(f[0]) or leans)]
    match wish["form"]:
        case None:
            right = True
        case "two-tier":
            right = {f for _, f in rest} <= {"two-tier", "hip"}
            right &= sum(f == "two-tier" for _, f in forms) == 1
        case "inward" | "lean-to":
            by_court = {*WINGS} - {"cross"}
            right = all(f == ("lean-to" if wing in by_court else "gable") for wing, f in rest)
        case form:
            right = all(f == form for _, f in rest)
    if not right:
        yield f"roof.form {wish['form']}: {rest}"
    if wish["profile"] and not _sloped(wish["profile"], covers):
        yield f"roof.profile {wish['profile']}"
    if wish["swept"] is not None and house["drawn"]["roof"]["swept"] != wish["swept"]:
        yield f"roof.swept {wish['swept']}"
    windows = sum(_volume(p["box"]) for p in house["parts"] if p["role"] == "dormer-window")
    if wish["dormers"] is not None and windows != wish["dormers"]:
        yield f"roof.dormers {wish['dormers']}: {windows} are lit"


def _sloped(profile: str, covers: list[Document]) -> bool:
    """Whether all slopes of ridged roofs have a profile, and there is one."""
    return {c["profile"] for c in covers if c["form"] in RIDGED} == {profile}


def _volume(cells: list[int]) -> int:
    return int(np.prod(np.array(cells[3:]) - np.array(cells[:3])))


def _of_rooms(brief: Document, house: Document) -> Iterator[str]:
    indoor = [r for r in house["rooms"] if r["indoor"]]
    lines = list(enumerate(brief["rooms"]))
    for kind in sorted({wish["kind"] for _, wish in lines}):
        mine = [r for r in indoor if r["kind"] == kind]
        slots = [(n, w) for n, w in lines if w["kind"] == kind for _ in range(w["count"])]
        if len(mine) != len(slots):
            yield f"{kind}: {len(slots)} are asked for, {len(mine)} are there"
        elif slots:
            fits = [[not broken(r, w, house) for _, w in slots] for r in mine]
            matched = maximum_bipartite_matching(csr_matrix(np.array(fits, dtype=np.int8)))
            if (matched < 0).any():
                why = [list(broken(r, w, house)) for r in mine for _, w in slots]
                yield f"{kind}: no way to share its rooms out: {why}"


def _of_household(brief: Document, house: Document) -> Iterator[str]:
    """Beds and places at table, a pillow and a cushion each; the rooms of a trade."""
    indoor = [r for r in house["rooms"] if r["indoor"]]
    kinds = {r["kind"] for r in indoor}
    told = {wish["kind"] for wish in brief["rooms"]}
    if people := brief["people"]:
        dining = union_all([box(*q) for r in indoor if r["kind"] == "dining" for q in r["rects"]])
        parts = [(p["role"], p["box"]) for p in house["parts"] if p["stage"] == "fittings"]
        beds = sum(_volume(cells) for role, cells in parts if role == "pillow")
        seats = sum(
            _volume(cells)
            for role, cells in parts
            if role.startswith("cushion")
            and dining.covers(box(cells[0], cells[1], cells[3], cells[4]))
        )
        if beds < people or (seats < people and "dining" not in told):
            yield f"people {people}: {beds} beds, {seats} places at table"
        if people <= 10 and "dormitory" in kinds - told:
            yield f"people {people}: a dormitory"
    if brief["trade"] and not kinds | told >= {*TRADES[brief["trade"]]}:
        yield f"trade {brief['trade']}"


def broken(room: Document, wish: Document, house: Document) -> list[str]:
    """The keys of a line that a room does not keep."""
    shape = union_all([box(*rect) for rect in room["rects"]])
    found = []
    if wish["area"] and not wish["area"][0] <= shape.area <= wish["area"][1]:
        found.append("area")
    if wish["storey"] and room["level"] != wish["storey"]:
        found.append("storey")
    beside = {r["kind"] for r in house["rooms"] if r["indoor"] and _share_a_wall(room, r)}
    if not beside.issuperset(wish["beside"]):
        found.append("beside")
    if wish["beside_any"] and beside.isdisjoint(wish["beside_any"]):
        found.append("beside_any")
    if not beside.isdisjoint(wish["away"]):
        found.append("away")
    if wish["court"] is not None and wish["court"] != _opens(room, house):
        found.append("court")
    return found


def _share_a_wall(a: Document, b: Document) -> bool:
    """Whether a wall one cell thick stands between two rooms of a storey, over some length."""
    if a["id"] == b["id"] or a["level"] != b["level"]:
        return False
    one, other = (union_all([box(*rect) for rect in room["rects"]]) for room in (a, b))
    reached = one.buffer(1, join_style="mitre").intersection(other)
    return bool(reached.length > 0 and reached.area == 0)


def _opens(room: Document, house: Document) -> bool:
    """Whether some wall to a court, its veranda or a gallery is opened."""
    kinds = {r["id"]: r["kind"] for r in house["rooms"]}
    court = ("court", "service court", "veranda", "gallery")
    return any(
        s["opening"] != "none" and kinds.get(other) in court
        for s in house["segments"]
        for mine, other in ((s["low"], s["high"]), (s["high"], s["low"]))
        if mine == room["id"]
    )


def main(folders: list[str]) -> int:
    """Print what is unmet in each folder."""
    found = [
        (name, words)
        for name in folders
        for words in unmet(json.loads((Path(name) / "house.json").read_bytes()))
    ]
    for name, words in found:
        print(f"{name}: {words}")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
