"""What the build guide says of each stage, with the numbers of the house in hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable

from genhouse.core.axes import SIDES
from genhouse.model.design import Design
from genhouse.model.room import WALKS
from genhouse.outputs.setting_out import gaps, heights, house_rect
from genhouse.outputs.storeys import storeys

TITLES = {
    "site": "Mark out the plot",
    "frame": "Raise the frame",
    "walls": "Fill the walls",
    "floors": "Lay the floors",
    "mats": "Lay the mats",
    "stair": "Build the stair",
    "screens": "Hang screens and doors",
    "roof": "Cover the roof",
    "court": "Plant the court",
    "fittings": "Furnish the rooms",
    "lamps": "Hang the lamps",
}

ORDINALS = ("zeroth", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def ordinal(n: int) -> str:
    return ORDINALS[n] if n < len(ORDINALS) else f"{n}th"


def some(n: int, noun: str, plural: str = "") -> str:
    """A number and what it counts.

    >>> some(1, "door"), some(3, "door"), some(24, "half mat")
    ('one door', 'three doors', '24 half mats')
    """
    word = NUMBERS[n] if n < len(NUMBERS) else str(n)
    return f"{word} {noun if n == 1 else plural or noun + 's'}"


def listed(words: Iterable[object]) -> str:
    """Words in a row: ``a, b and c``."""
    *most, last = map(str, words)
    return f"{', '.join(most)} and {last}" if most else last


def _pieces(design: Design, stage: str, *roles: str) -> int:
    return sum(p.box.volume for p in design.parts if p.stage == stage and p.role in roles)


def _site(design: Design) -> str:
    r = house_rect(design)
    width, depth = design.plot
    over_all = " over all, and each wing in its place" if wing_rows(design) else ""
    return (
        f"Your plot is {width} cells from west to east and {depth} from south to north. Leave "
        f"{r.x0} clear cells to the west and {r.y0} to the south, then mark the outer faces of the "
        f"walls: {r.width} by {r.depth}{over_all}. Check both diagonals before you set the "
        "first post; a frame that starts out of square never closes."
    )


def _frame(design: Design) -> str:
    z, lowest = heights(design), storeys(design)[0]
    tall = z.ties[-1] - z.ground + 1
    ties = listed(ordinal(z.above(tie)) for tie in z.ties)
    return (
        f"Count the clear gaps, not the posts: along the south side they are "
        f"{listed(gaps(design, 'south', lowest).lengths)}, along the west side "
        f"{listed(gaps(design, 'west', lowest).lengths)}. Every post is {some(tall, 'cell')} tall; lay the "
        f"tie beams level with its {ties} cell, so that each beam runs from post to post."
    )


def _walls(design: Design) -> str:
    z = heights(design)
    windows = [s for s in design.segments if s.opening == "window"]
    looks = Counter(s.look for s in windows if s.boundary == "outer")
    said = listed(f"{count} {look}" for look, count in looks.most_common()) if looks else "none"
    return (
        f"Fill from the floor up to the first tie beam and keep every opening clear; the band "
        f"above it, in the {ordinal(z.above(z.ties[0] + 1))} layer, lets light through all round. There "
        f"are {some(len(windows), 'window')} in all, to outdoors {said}: leave each one its width "
        "before you close the panel beside it, and look along the front before you go on: bays at the "
        "same distance from its middle answer each other."
    )


def _floors(design: Design) -> str:
    z = heights(design)
    wells = [f"{stair.well.width} by {stair.well.depth}" for stair in design.stairs]
    if not wells:
        return (
            f"The floor lies one layer above the ground; the ceiling in layer {z.above(z.ties[-1])} is "
            "boarded level with the upper tie beams. Keep open the one cell through which the flue "
            "will pass."
        )
    floors = listed(z.above(storey.floor - 1) for storey in storeys(design)[1:])
    over = (
        f"one in layer {floors}, level with the upper"
        if len(wells) == 1
        else (f"ones in layers {floors}, level with their")
    )
    return (
        f"The lower floor lies one layer above the ground and the upper {over} tie beams. Keep "
        f"the stairwell open, {listed(wells)} cells, and the one cell through which the flue will "
        "pass." + _gallery(design)
    )


def _gallery(design: Design) -> str:
    brackets = _pieces(design, "floors", "bracket")
    if not brackets:
        return ""
    kinds = {room.kind for room in design.rooms}
    names = " and the ".join(kind for kind in WALKS if kind in kinds)
    run = "run" if kinds >= set(WALKS) else "runs"
    paved = _pieces(design, "floors", "deck")
    flags = (
        f" Pave the terrace with {some(paved, 'flag')}, level with the upper floor."
        if paved
        else ""
    )
    return (
        f"{flags} The {names} {run} out over the veranda in the same layer, on "
        f"{some(brackets, 'bracket')} at the posts: set these, the boards, the edge beam, and the "
        "balustrade before anyone walks there."
    )


def _mats(design: Design) -> str:
    mats = [p for p in design.parts if p.stage == "mats"]
    halves = sum(p.form == "half mat" for p in mats)
    whole = (len(mats) - halves) // 2
    return (
        f"Lay {some(whole, 'whole mat')}, of two pieces each, and {some(halves, 'half mat')} as the "
        "plan shows. Start in a corner and look at every joint before you go on: three corners may "
        "meet at a point, four never do."
    )


def _stair(design: Design) -> str:
    if not design.stairs:
        return "This house has one storey, and no stair."
    said = [
        f"The flight climbs to the {stair.rise} in {some(len(stair.run), 'step')}, "
        f"{some(max(stair.run[0].width, stair.run[0].depth), 'cell')} wide, from room {stair.room} "
        "on the plan."
        for stair in design.stairs
    ]
    return " ".join(said) + (
        " Set the boxes under each tread first, then the tread, and put the rail round the well "
        "before anyone walks above."
    )


def _screens(design: Design) -> str:
    rows = [s for s in design.segments if s.opening == "screens"]
    court = sum(s.boundary == "court" for s in rows)
    doors = sum(s.opening in ("door", "entrance") for s in design.segments)
    return (
        f"Hang {some(court, 'row')} of screens toward the court, {some(len(rows) - court, 'row')} "
        f"between rooms, and {some(doors, 'hinged door')}. Neighbouring leaves run on different "
        "tracks; the plan shows how far each row stands open, and where two leaves share a cell."
    )


def _roof(design: Design) -> str:
    z = heights(design)
    return (
        f"Begin at the eaves, in layer {z.above(z.eaves)} above the ground, and climb course by "
        f"course to the ridge in layer {z.above(z.ridge)}. Finish each valley, where two slopes "
        "meet, before the course above it, and close in round the flue so that no gap looks up to "
        "the sky." + _lower_roofs(design)
    )


def _lower_roofs(design: Design) -> str:
    leaning = dict.fromkeys(c.wing for c in design.lower_covers if c.form != "flat")
    walked = dict.fromkeys(c.wing for c in design.lower_covers if c.form == "flat")
    said = ""
    if leaning:
        said += (
            f" Lay the lower roof over the {listed(leaning)} wing first: it leans on higher walls."
        )
    if walked:
        said += f" Set the parapet round the terrace over the {listed(walked)} wing."
    return said


def _court(design: Design) -> str:
    trees = sum(p.role == "trunk" for p in design.parts)
    water = _pieces(design, "court", "water") + _pieces(design, "court", "shallows")
    pond = (
        f"Water takes {some(water, 'cell')}: rim it all round before you let it in."
        if water
        else "There is no water here, so the walk carries the garden: set its stones level."
    )
    return f"Lay the walk first and plant away from it, {some(trees, 'tree')} last of all. {pond}"


def _fittings(design: Design) -> str:
    used = sum(bool(p.use) for p in design.placed)
    return (
        f"There are {some(len(design.placed), 'fitting')} to place, {used} of them used from one "
        "side: keep the cell in front free, and the way to it from the door. What stands in a walk "
        "will be moved within a day."
    )


LAMPS = {
    "hanging lamp": "hang {} under the ceilings",
    "bracket lamp": "fix {} to rafters, plates and posts",
    "rail lamp": "set {} on the balustrades",
    "standing lamp": "stand {} on small tables",
}
"""What is done with lamps of each form."""


def _lamps(design: Design) -> str:
    forms = [p.form for p in design.parts if p.stage == "lamps"]
    counts = {kind: sum(form.startswith(kind) for form in forms) for kind in LAMPS}
    done = listed(LAMPS[kind].format(some(n, "lamp")) for kind, n in counts.items() if n)
    return (
        f"{done[:1].upper()}{done[1:]}. Walk the house in the dark afterwards: from any lamp you "
        "should see the floor as far as the next."
    )


WORDS: dict[str, Callable[[Design], str]] = {
    "site": _site,
    "frame": _frame,
    "walls": _walls,
    "floors": _floors,
    "mats": _mats,
    "stair": _stair,
    "screens": _screens,
    "roof": _roof,
    "court": _court,
    "fittings": _fittings,
    "lamps": _lamps,
}


def advice(design: Design, stage: str) -> str:
    """What to watch in a stage."""
    return WORDS[stage](design)


def side_gaps(design: Design) -> tuple[tuple[str, str, int], ...]:
    """For each side: its name, its clear gaps, and its length over all."""
    rows = []
    lowest = storeys(design)[0]
    for side in SIDES:
        chain = gaps(design, side, lowest)
        rows.append((side.title(), "  ".join(map(str, chain.lengths)), chain.end - chain.start))
    return tuple(rows)


def height_rows(design: Design) -> tuple[tuple[str, int], ...]:
    """What lies in which layer above the ground, from 1."""
    z = heights(design)
    ties = (
        ("Tie beam" if len(z.ties) == 1 else f"{ordinal(n).title()} tie beam", t)
        for n, t in enumerate(z.ties, 1)
    )
    floors = (
        (f"First free layer of the {storey.name.lower()}", storey.floor)
        for storey in storeys(design)
    )
    rows = sorted((*floors, *ties), key=lambda row: row[1])
    return tuple(
        (name, z.above(layer))
        for name, layer in (
            ("Sills and foot of the posts", z.ground),
            *rows,
            ("Wall plate", z.plate),
            ("Eaves", z.eaves),
            ("Ridge", z.ridge),
        )
    )


def wing_rows(design: Design) -> tuple[tuple[str, str, int, int], ...]:
    """Where they and the courts do not fill one rectangle, each wing: its name, the size over its walls,
    and how far it lies from the west and the south of the plot."""
    built = {c for r in (*design.wings, *(c.grown(1) for c in design.courts)) for c in r.cells()}
    if len(built) == house_rect(design).area:
        return ()
    wings = ((cover.wing.title(), cover.rect) for cover in design.covers)
    return tuple((name, f"{r.width} × {r.depth}", r.x0, r.y0) for name, r in wings)
