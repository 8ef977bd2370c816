"""Site: wings and courts fill the house without overlap, on every plot that is allowed."""

from __future__ import annotations

from functools import reduce
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genhouse.core.axes import FLANKS, SIDES
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.generate.draws import Draws
from genhouse.generate.layout import lay_out
from genhouse.house import make
from genhouse.model.bounds import LARGEST_PLOT, SMALLEST_PLOT
from genhouse.model.brief import Brief, Recipe
from genhouse.stages.arrangements import named
from genhouse.stages.ground import made_ground
from genhouse.stages.site import Site, line_along, lines_round
from genhouse.stages.siting import plan_site
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.sense import HALLS, STOREYS
from genhouse.traditions.shelf import ARRANGEMENTS, names, tables
from tests.houses import TIMBER, cells
from tests.reference import published

seeds = st.integers(0, 2**64 - 1)
plots = st.tuples(*(st.integers(a, b) for a, b in zip(SMALLEST_PLOT, LARGEST_PLOT, strict=True)))


def planned(seed: int, plot: tuple[int, int] | None = None, **brief: object) -> Site:
    return plan_site(Brief(plot=plot, **brief), TIMBER, Draw(seed).at("site"))  # type: ignore[arg-type]


@given(seeds, plots, st.sampled_from(SIDES))
@settings(max_examples=150)
def test_wings_and_courts_lie_apart_inside_the_house(
    seed: int, plot: tuple[int, int], gate: str
) -> None:
    if gate in ("east", "west"):  # the local frame has its gate to the south
        plot = plot[::-1]
    site = planned(seed, plot, gate=gate)
    pieces = [wing.rect for wing in site.wings] + list(site.courts)
    assert all(a.meet(b).area == 0 for a, b in combinations(pieces, 2))
    assert all(r.meet(site.house) == r for r in pieces)
    assert site.turn.size == plot
    walls = [w for w in site.walls if w.area]
    assert sum(r.area for r in (*pieces, *walls)) <= site.house.area


@given(seeds, plots)
@settings(max_examples=100)
def test_each_court_has_verandas_and_room_for_a_garden(seed: int, plot: tuple[int, int]) -> None:
    site = planned(seed, plot, gate="south")
    for court in site.courts:
        garden, strips = site.garden(court), site.verandas(court)
        assert min(garden.width, garden.depth) >= 3
        assert garden.area + sum(s.area for s in strips) == court.area
        yard = site.arrangement == "side-yard" and court == site.courts[-1]
        assert len(site.winged(court)) >= (1 if yard else 2)


@given(seeds, plots)
@settings(max_examples=100)
def test_spans_are_even(seed: int, plot: tuple[int, int]) -> None:
    """An even span has its ridge over one row of cells."""
    site = planned(seed, plot, gate="south")
    spans = [site.frame(wing).depth - 1 for wing in site.wings]
    assert all(span % 2 == 0 and span in TIMBER.bays.spans for span in spans)


@given(seeds, plots)
@settings(max_examples=100)
def test_light_falls_between_wings_that_do_not_touch(seed: int, plot: tuple[int, int]) -> None:
    """At a corner two may meet where a third, to which both are joined, stands."""
    rects = [wing.rect for wing in planned(seed, plot, gate="south").wings]
    for a, b in combinations(rects, 2):
        met = a.grown(1).meets(b) and any(a.adjoins(c) and b.adjoins(c) for c in rects)
        assert a.adjoins(b) or met or not a.grown(4).meets(b)


@pytest.mark.parametrize("seed", range(4))
def test_one_steps_up_to_each_second_door(seed: int) -> None:
    """Floors lie a cell above the ground: half of it is climbed before the door."""
    house = make(Recipe(seed=seed, brief=Brief(plot=(28, 40), arrangement="outbuilding")))
    steps = {c[:2] for c in cells(house, "shoe-stone", stage="floors")}
    doors = [s for s in house.plan.segments if s.opening == "entrance" and s.floor > s.z0]
    assert len(doors) >= 2
    for door in doors:
        assert door.way is not None
        assert all(steps & {*door.beside(c)} for c in door.way.cells())


OPEN = "backed-flanked-halls"
FULL = ("ring", "aside", "side-range", "forecourt", "lookout", *(n for n in HALLS if n != OPEN))
"""Arrangements that fill the rectangle that they stand in, and halls that leave a corner of it open."""
GARDENED = ("walled-garden", "garden-range", "garden-wing")
AMPLE = {
    "aside": (26, 50),
    "walled-garden": (26, 50),
    "garden-range": (42, 54),
    "garden-wing": (34, 54),
    "side-range": (42, 54),
    "gated-halls": (34, 48),
    "backed-halls": (34, 48),
    "deep-halls": (34, 60),
    "flanked-halls": (42, 40),
    "backed-flanked-halls": (42, 54),
}
"""Plots with room for an arrangement with any seed, where 34 x 44 is not: an atrium is as wide as it is,
and halls behind a yard lie deep."""


@pytest.mark.parametrize("name", ARRANGEMENTS)
def test_each_arrangement_can_be_asked_for(name: str) -> None:
    """On an ample plot, with any seed, where a tradition builds so; what goes on past the ring leaves some
    of the hull open."""
    of = next(n for n in ("timber", *names()) if name in tables(n)["plan"]["arrangements"])
    storeys = STOREYS[name].may[0] if name in STOREYS else None
    plot = AMPLE.get(name, (34, 44))
    brief = Brief(plot=plot, gate="south", arrangement=name, storeys=storeys, tradition=of)
    for seed in range(12):
        site = plan_site(brief, load_tradition(of), Draw(seed).at("site"))
        built = [*(wing.rect for wing in site.wings), *site.courts, *site.walls]
        full = sum(r.area for r in built) + beside_halls(site) == site.house.area
        assert site.arrangement == name
        assert full == (name in FULL) or name in ("side-yard", *GARDENED)


def beside_halls(site: Site) -> int:
    """Cells by which ears and walks in line with a hall are shallower than it."""
    hall = site.wing("rear")
    if hall is None or site.arrangement not in HALLS:
        return 0
    ears = [wing.rect for wing in site.wings if wing.name == "ear"]
    walks = [wing for wing in site.wings if wing.name == "link"]
    halls = [wing for wing in site.wings if wing.name in ("left", "right")]
    spans = [next(h.span for h in halls if h.rect.adjoins(walk.rect)) for walk in walks]
    behind = sum(ear.width * (hall.rect.y1 - ear.y1) for ear in ears)
    return behind + sum(w.lie.width * (n - w.span) for w, n in zip(walks, spans, strict=True))


def walled(site: Site, court: Rect) -> set[str]:
    """The sides of a court along which walls stand from end to end."""
    found = set()
    for side, row in lines_round(court).items():
        if all(any(wall.has(*c) for wall in site.walls) for c in row.cells()):
            found.add(side)
    return found


@given(seeds)
@settings(max_examples=20)
def test_a_forecourt_lies_walled_between_a_low_gatehouse_and_the_house(seed: int) -> None:
    site = planned(seed, (32, 42), gate="south", arrangement="forecourt")
    first, round_it = site.courts[0], site.round(site.courts[0])
    assert round_it["south"].storeys == 1
    assert {"south", "north"} <= set(round_it)
    assert walled(site, first)
    assert walled(site, first) | set(round_it) == set(SIDES)


@given(seeds)
@settings(max_examples=20)
def test_a_side_yard_has_a_wing_on_one_side_and_walls_on_three(seed: int) -> None:
    site = planned(seed, (32, 42), arrangement="side-yard")
    yard = site.courts[-1]
    assert len(site.round(yard)) == 1
    assert walled(site, yard) | set(site.round(yard)) == set(SIDES)


@pytest.mark.parametrize(("name", "least"), [("cross-wing", 1), ("cross-wings", 2)])
def test_cross_wings_stand_out_from_the_line_of_another_by_a_bay(name: str, least: int) -> None:
    """A gap of 3 to 5 cells between posts is a bay of 4 to 6 from post to post."""
    for seed in range(4):
        layout = lay_out(Draws(Recipe(seed=seed, brief=Brief(arrangement=name))))
        wings = [wing.lie for wing in layout.site.wings]
        out = [
            n
            for wing, lie in zip(layout.site.wings, wings, strict=True)
            for end in (0, 1)
            for other in layout.site.wings
            if other.axis != wing.axis and wing.rect.adjoins(other.rect)
            for n in [other.rect.lie(wing.axis).x0 - lie.x0, lie.x1 - other.rect.lie(wing.axis).x1][
                end : end + 1
            ]
        ]
        assert sum(4 <= n <= 6 for n in out) >= least


@pytest.mark.parametrize("seed", range(8))
def test_a_lookout_stands_over_the_end_of_a_wing_at_the_edge_of_the_house(seed: int) -> None:
    site = make(Recipe(seed=seed, brief=Brief(arrangement="lookout"))).plan
    rooms = {level: [r for r in site.rooms if r.level == level] for level in (2, 3)}
    (tall,) = (wing for wing in site.wings if wing.holds(rooms[3][0].rects[0]))
    assert all(tall.holds(rect) for room in rooms[3] for rect in room.rects)
    hull = reduce(Rect.hull, site.wings)
    assert any(own == edge for own, edge in zip(tall, hull, strict=True))


def test_no_court_is_a_well_where_the_seed_chooses_storeys() -> None:
    """A court as wide as the lower of the two eaves over it is high, of three cells a storey and once more
    (common practice: a court lets in the sun where it is as wide as it is high)."""
    for seed in range(150):
        site = lay_out(Draws(Recipe(seed=seed))).site
        for court in site.courts:
            for axis, sides in FLANKS.items():
                rows = [line_along(court, side) for side in sides]
                flanks = [[w for w in site.wings if w.rect.meets(row)] for row in rows]
                across = court.lie(axis).depth
                if all(flanks):
                    storeys = min(max(w.storeys for w in flank) for flank in flanks)
                    assert storeys == 1 or across >= 3 * (storeys + 1), seed


@pytest.mark.parametrize("gate", SIDES)
def test_the_smallest_and_the_largest_plot_work_with_a_gate_on_each_side(gate: str) -> None:
    for plot in (SMALLEST_PLOT, LARGEST_PLOT):
        site = planned(3, plot, gate=gate)
        assert site.turn.size == plot
        assert site.turn.side("south") == gate == site.gate_side


def test_every_plot_has_a_layout() -> None:
    """Every width with every second depth, a seed each; a larger plot never fails where a smaller works."""
    for width in range(SMALLEST_PLOT[0], LARGEST_PLOT[0] + 1):
        for depth in range(SMALLEST_PLOT[1] + width % 2, LARGEST_PLOT[1] + 1, 2):
            site = planned(width * depth, (width, depth), gate="south")
            assert site.wings
            assert site.courts


def test_layouts_vary() -> None:
    sites = [planned(seed) for seed in range(60)]
    assert len({site.plot for site in sites}) > 20
    assert {len(site.courts) for site in sites} >= {1}
    assert {site.gate_side for site in sites} == set(SIDES)
    assert any(site.walls for site in sites)
    assert any(not site.walls for site in sites)


def test_a_deep_plot_has_courts_in_sequence() -> None:
    assert {len(planned(seed, (27, 60), gate="south").courts) for seed in range(30)} >= {2, 3}


def test_the_ground_is_whole_below_and_open_where_the_court_is_laid() -> None:
    site = planned(4)
    boxes = [slab.box for slab in made_ground(site, site.approach, TIMBER)]
    cells = [c for box in boxes for c in box.cells()]
    assert len(cells) == len(set(cells))
    width, depth = site.plot
    assert {(x, y) for x, y, z in cells if z == 0} == {
        (x, y) for x in range(width) for y in range(depth)
    }
    top = TIMBER.storeys[0].slab - 1
    laid = {(x, y) for x, y, z in cells if z == top}
    assert not laid & {c for court in site.courts for c in site.garden(court).cells()}


def test_a_floor_stands_clear_of_the_ground() -> None:
    """Order Art. 22 (Japan): a timber floor lies at least 45 cm above the ground."""
    above = 1000 * (TIMBER.storeys[0].floor - TIMBER.storeys[0].slab)
    assert above >= published("dwelling")["floor"]["above_ground_mm"]


def test_a_brief_can_name_all_arrangements_that_there_are() -> None:
    assert tuple(named.ARRANGEMENTS) == ARRANGEMENTS
