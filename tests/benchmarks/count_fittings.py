"""What a picky builder counts in furnished rooms, over many houses.

    python -m tests.benchmarks.count_fittings 0:400

Tall fittings before windows, by fitting; fires above; workrooms alike; light for tasks; what rooms lack of
what they are for; and of each kind of room, how many arrangements there are, what part of all the three
commonest make up, and how many stand bare, as does a landing that is all well and way.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import click
from msgspec import Struct

from genhouse.model.brief import Recipe
from genhouse.model.design import Design, Placed
from genhouse.model.elements import Wall
from genhouse.outputs.figures import _fitted
from genhouse.sound import sound
from genhouse.stages.furnishing.stances import hides
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.tradition import Tradition
from tests.benchmarks.counting import counted_over, seeds_of

BENCHES = ("kitchen bench", "wood bench", "deep bench")
"""With firewood under a board, and water."""
ASKED = {
    "kitchen": {
        "water": ("water jar", "jar on logs", "stone sink", *BENCHES),
        "a table": (
            "work table",
            "chopping table",
            "chopping block",
            "island",
            "boarded logs",
            *BENCHES,
        ),
        "a hearth or range to cook on": ("stove", "range"),
        "a range beside its hearth": ("range",),
        "firewood": ("firewood", "logs", "log pile", *BENCHES),
    },
    "bakehouse": {"an oven": ("bread oven",)},
    "bath": {"a tub": ("tub", "hip bath"), "towels": ("towel", "linen basket")},
    "sleeping": {"a lamp": ("lamp", "lantern"), "a third thing": ()},
    "entry": {
        "shoes": ("shoe", "boot seat"),
        "coats": ("coat", "robe stand", "rain cape"),
        "a seat": ("chair", "settle", "shoe bench", "shoe stool", "boot seat"),
    },
    "reception": {"an alcove": ("alcove",), "a table": ("table",)},
    "study": {"a desk": ("desk",), "books": ("bookcase", "scroll chest")},
    "weaving": {"a loom": ("loom",)},
    "library": {"a table": ("table", "desk"), "books": ("bookcase",)},
}
"""What rooms of a kind are for, by words in the names of what would do (common practice)."""
FEW = 3
"""Arrangements of a kind that are summed, the commonest."""


class Counted(Struct, frozen=True):
    """One house.  windows, hidden: all, and those with a tall fitting before them.

    tall, before: tall fittings by name, and those of them before a window.  fires: above, by name.
    alike: workrooms that hold what another holds.  lit: whether each room has light for its
    task.  out: seats out of doors.
    rooms: kinds, each with what stands in it.
    """

    windows: int
    hidden: int
    tall: list[str]
    before: list[str]
    fires: list[str]
    alike: int
    lit: list[bool]
    out: list[str]
    rooms: list[tuple[str, tuple[str, ...]]]


def counted(seed: int) -> Counted:
    """The counts of a seed's house."""
    house = sound(Recipe(seed=seed))
    design, tradition = house.plan, load_tradition("timber")
    covers = list(_fitted.windows(design, house.voxels))
    tall = list(_tall(design, tradition))
    return Counted(
        windows=len(covers),
        hidden=sum(map(any, covers)),
        tall=[p.name for p in tall],
        before=[p.name for p in tall if any(_stands_before(design, p, s) for s in design.segments)],
        fires=list(_fitted.fires_above(design, tradition)),
        alike=_fitted.alike(design, tradition),
        lit=list(_fitted.task_lit(design, tradition)),
        out=_fitted.seats_out(design),
        rooms=[(r.kind, _fitted.arrangement(design, r)) for r in design.rooms if r.indoor],
    )


def _tall(design: Design, tradition: Tradition) -> Iterator[Placed]:
    fittings = dict(tradition.fittings)
    for p in design.placed:
        if any(z and hides(form) for _, _, z, _, form in fittings[p.name].pieces):
            yield p


def _stands_before(design: Design, p: Placed, s: Wall) -> bool:
    """Whether the back of a fitting, along its whole breadth, has part of a window behind it."""
    if s.opening != "window" or s.way is None or s.level != design.room(p.room).level:
        return False
    beside = s.way.grown(1)
    along = beside.x0 + 1, beside.x1 - 1
    across = beside.y0 + 1, beside.y1 - 1
    x0, y0, x1, y1 = p.cells
    overlaps = (
        (x0 < along[1] and along[0] < x1) if s.axis == "x" else (y0 < across[1] and across[0] < y1)
    )
    return overlaps and beside.meets(p.cells)


@click.command()
@click.argument("seeds", default="0:400")
@click.option("--jobs", default=2, help="Processes.")
def main(seeds: str, jobs: int) -> None:
    """Count and print."""
    houses = counted_over(seeds_of(seeds), counted, jobs)
    hidden, windows = (sum(getattr(h, name) for h in houses) for name in ("hidden", "windows"))
    click.echo(f"windows with a tall fitting before them {hidden} of {windows}")
    before, tall = (
        Counter(n for h in houses for n in getattr(h, name)) for name in ("before", "tall")
    )
    for name, count in before.most_common():
        click.echo(f"  {name} {count} of {tall[name]}")
    click.echo(f"tall fittings by a window {sum(before.values())} of {sum(tall.values())}")
    fires = Counter(n for h in houses for n in h.fires)
    click.echo(f"fires and firewood above: {dict(sorted(fires.items())) or 'none'}")
    click.echo(f"houses with workrooms alike {sum(h.alike > 0 for h in houses)} of {len(houses)}")
    lit = [one for h in houses for one in h.lit]
    click.echo(f"rooms with light for their task {sum(lit)} of {len(lit)}")
    click.echo(
        f"houses with a seat by a veranda {sum(bool(h.out) for h in houses)} of {len(houses)}"
    )
    _lacking(houses)
    _arrangements(houses)


def _lacking(houses: list[Counted]) -> None:
    """Rooms without what they are for."""
    rooms = [room for house in houses for room in house.rooms]
    for kind, asked in ASKED.items():
        mine = [names for its, names in rooms if its == kind]
        for what, words in asked.items():
            lacks = sum(
                not any(word in name for name in names for word in words)
                if words
                else len(names) < FEW
                for names in mine
            )
            click.echo(f"{kind} without {what} {lacks} of {len(mine)}")


def _arrangements(houses: list[Counted]) -> None:
    found: dict[str, Counter[tuple[str, ...]]] = {}
    for house in houses:
        for kind, names in house.rooms:
            found.setdefault(kind, Counter())[names] += 1
    for kind, each in sorted(found.items()):
        bare = each.pop((), 0)
        common = sum(n for _, n in each.most_common(FEW))
        share = 100 * common / max(1, each.total())
        click.echo(
            f"{kind:12} {each.total():5} rooms, {len(each):4} arrangements, {FEW} commonest {share:3.0f} %"
            + f", {bare} more bare" * bool(bare)
        )


if __name__ == "__main__":
    main()
