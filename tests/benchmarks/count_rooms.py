"""What someone who is to live there would count, over many houses.

    python -m tests.benchmarks.count_rooms 0:400            default houses
    python -m tests.benchmarks.count_rooms --plots 4        every fourth plot each way, a seed each
    python -m tests.benchmarks.count_rooms 0:400 --shell    quicker, without seats

Each line: what is counted, in how many of how many.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import click

from genhouse.core.errors import GenhouseError
from genhouse.generate.recipe import design_shell
from genhouse.model.brief import Brief, Recipe
from genhouse.model.design import Design
from genhouse.model.raster import raster
from genhouse.model.voxels import Voxels
from genhouse.outputs.figures import _lived
from genhouse.outputs.figures._tables import RoomFigures, ShellFigures
from genhouse.outputs.figures.figures import room_links, shell_figures
from genhouse.sound import sound
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.tradition import Tradition
from tests.benchmarks.counting import counted_over, seeds_of
from tests.sweep import recipes

Counted = tuple[str, int, int]
"""What is counted, how often it is so, of how many."""


def counts(design: Design, figures: ShellFigures) -> Iterator[Counted]:
    """The counts of one house."""
    tradition = load_tradition(design.recipe.brief.tradition)
    graph, rooms = room_links(design), figures.rooms
    yield from _ways(design, graph, rooms, tradition)
    if design.stairs:
        above = _lived.landings(design)
        sleeps = any(r.id in above and _beds(r, tradition) for r in rooms)
        yield "the stair lands in a room to sleep in", sleeps, 1
    yield from _sizes(design, rooms, tradition)
    asking = list(_lived.asking(rooms, tradition))
    yield "rooms without a window", sum(not r.glazing for r in asking), len(asking)
    yield "rooms with glazing under a tenth", figures.lived.dim, len(asking)
    if design.placed:
        seats, sleepers = _lived.seats(design, tradition), _lived.sleepers(design, tradition)
        yield "seats fewer than sleepers", seats < sleepers, 1


def _ways(
    design: Design, graph: _lived.Graph, rooms: tuple[RoomFigures, ...], tradition: Tradition
) -> Iterator[Counted]:
    beds = [n for n, r in enumerate(rooms, 1) if _beds(r, tradition)]
    baths = [n for n, r in enumerate(rooms, 1) if r.kind == "bath"]
    through = _lived.only_through(graph, baths, beds)
    yield "bath only through a room to sleep in", len(through), len(baths)
    through = _lived.only_through(graph, beds, beds + baths)
    yield "room to sleep in only through a bath or another", len(through), len(beds)
    inside = {room.id for room in design.rooms if room.indoor}
    indoor = {n for n, r in enumerate(rooms, 1) if r.id in inside}
    for kind in ("dormitory", "sleeping", "bath"):
        mine = [n for n, r in enumerate(rooms, 1) if r.kind == kind]
        yield (
            f"{kind} walked through",
            sum(bool(_lived.behind(graph, n) & indoor) for n in mine),
            len(mine),
        )


def _beds(room: RoomFigures, tradition: Tradition) -> bool:
    kinds = dict(tradition.kinds)
    return room.kind in kinds and kinds[room.kind].sleeps[0] > 0


def _sizes(
    design: Design, rooms: tuple[RoomFigures, ...], tradition: Tradition
) -> Iterator[Counted]:
    indoor = {room.id for room in design.rooms if room.indoor and room.level == 1}
    lower = [r for r in rooms if r.id in indoor]
    hall = max((r.area for r in lower if r.kind == "stairhall"), default=0)
    if hall:
        largest = max((r.area for r in lower if r.kind != "stairhall"), default=0)
        yield "stair hall the largest lower room", hall >= largest, 1
        reception = [r.area for r in lower if r.kind == "reception"]
        if reception:
            yield "stair hall above the reception", hall > max(reception), 1
        yield "stair hall above every court", hall > max(c.area for c in design.courts), 1
        gardens = [r.area for r in design.rooms if r.kind in ("court", "service court")]
        yield "stair hall above every garden", hall > max(gardens), 1
    for name, kind in tradition.kinds:
        mine = [r for r in rooms if r.kind == name]
        if len(mine) > kind.most:
            yield f"more than {kind.most} {name}", 1, 0
    yield "houses with more of a kind than its most", _lived.over_number(rooms, tradition) > 0, 1
    yield "rooms above their largest area", _lived.over_area(rooms, tradition), len(indoor)


def counted(work: tuple[Recipe, bool]) -> list[Counted]:
    """The counts of one recipe's house."""
    recipe, shell = work
    try:
        design, voxels = _shell(recipe) if shell else _house(recipe)
    except GenhouseError:
        return [("refused", 1, 1)]
    return [("refused", 0, 1), *counts(design, shell_figures(design, voxels))]


def _house(recipe: Recipe) -> tuple[Design, Voxels]:
    house = sound(recipe)
    return house.plan, house.voxels


def _shell(recipe: Recipe) -> tuple[Design, Voxels]:
    design = design_shell(recipe)
    return design, raster(design)


@click.command()
@click.argument("seeds", default="0:400")
@click.option("--plots", type=int, help="Every so many cells of plot instead of seeds.")
@click.option("--shell", is_flag=True, help="Without fittings: quicker, no seats.")
@click.option("--jobs", default=2, help="Processes.")
def main(seeds: str, plots: int | None, shell: bool, jobs: int) -> None:
    """Count and print."""
    work = [(r, shell) for r in recipes(seeds_of(seeds), bool(plots), plots or 1, False, Brief())]
    done: Counter[str] = Counter()
    of: Counter[str] = Counter()
    for found in counted_over(work, counted, jobs):
        for what, n, all_of in found:
            done[what] += n
            of[what] += all_of
    for what in of:
        share = f"{100 * done[what] / of[what]:6.1f} %" if of[what] else ""
        print(f"{what:48} {done[what]:6} of {of[what]:6} {share}")


if __name__ == "__main__":
    main()
