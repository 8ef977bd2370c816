"""Ground that falls: each range goes down with it, a step at a time, and one walks through all of it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from typing import Any

import numpy as np
import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from genhouse.core.box import Rect, covered
from genhouse.core.draw import Draw
from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.generate.briefs import parse_brief
from genhouse.house import House, make
from genhouse.model.bounds import STEEPEST
from genhouse.model.brief import Brief, Ground, Recipe
from genhouse.model.shapes import SHAPES
from genhouse.model.voxels import Voxels
from genhouse.sound import sound
from genhouse.stages._drains import drains
from genhouse.stages.site import Site
from genhouse.stages.siting import plan_site
from genhouse.stages.terraces import ACROSS, APART, fall_of, levelled, terraced, under
from genhouse.traditions.shelf import names
from genhouse.traditions.slopes import CORNERS
from tests.houses import TIMBER, arrays
from tests.outside.checker import check_arrays

LEVELS = st.integers(0, STEEPEST)
GROUNDS = st.builds(Ground, southwest=LEVELS, southeast=LEVELS, northwest=LEVELS, northeast=LEVELS)
CLAIMED = [name for name, _ in TIMBER.plan.arrangements]
FALLING: tuple[Ground, ...] = (
    Ground(northwest=2, northeast=2),
    Ground(southwest=2, northwest=2),
    Ground(southwest=1, northeast=2),
    Ground(northwest=4, northeast=3),
)


def planned(seed: int, ground: Ground, **brief: Any) -> Site:
    """Its site; hypothesis tries another where there is none."""
    try:
        asked = Brief(ground=ground, **brief)
        return plan_site(asked, TIMBER.on_slope(ground.rise), Draw(seed).at("site"))
    except InfeasibleError:
        reject()


def built(seed: int, ground: Ground, **brief: Any) -> House:
    return make(Recipe(seed=seed, brief=Brief(ground=ground, **brief)))


@given(st.integers(0, 2**64 - 1), GROUNDS, st.sampled_from(CLAIMED))
@settings(max_examples=150)
def test_ranges_that_meet_lie_a_step_apart(seed: int, ground: Ground, name: str) -> None:
    site = planned(seed, ground, arrangement=name, plot=(34, 44))
    floors = {wing: fall_of(site, (wing.rect.grown(-1),)) for wing in site.wings}
    assert all(len(falls) == 1 for falls in floors.values())
    for one, other in combinations(site.wings, 2):
        if one.rect.adjoins(other.rect):
            assert abs(floors[one][0] - floors[other][0]) <= APART
    assert 0 <= max(f for (f,) in floors.values()) <= ground.rise
    if ground.rise:
        assert min(f for (f,) in floors.values()) == 0


@given(st.integers(0, 2**64 - 1), GROUNDS, st.integers(1, 3))
@settings(max_examples=100)
def test_no_veranda_lies_below_its_court(seed: int, ground: Ground, courts: int) -> None:
    site = planned(seed, ground, courts=courts, plot=(34, 52), arrangement="ring")
    for court in site.courts:
        (own,) = fall_of(site, (site.garden(court),))
        walks = fall_of(site, site.verandas(court))
        assert own <= min(walks) + ACROSS
        assert max(walks) <= own + 1


@given(st.integers(0, 2**64 - 1), GROUNDS, st.sampled_from(CLAIMED))
@settings(max_examples=60)
def test_no_open_ground_drops_by_more_than_a_cell(seed: int, ground: Ground, name: str) -> None:
    site = planned(seed, ground, arrangement=name, plot=(34, 44))
    bare = site.land.cells() - covered(site.built)
    for x, y in bare:
        for beside in {(x + 1, y), (x, y + 1)} & bare:
            assert abs(site.fall(x, y) - site.fall(*beside)) <= 1


def test_between_two_doors_ground_lies_as_before_the_nearer() -> None:
    site = planned(7, FALLING[0], arrangement="ring", plot=(34, 44))
    high, low = (
        (w.rect.x0, w.rect.y0)
        for w in sorted(site.wings, key=lambda w: site.fall(*w.rect[:2]))[::3]
    )
    doors = [(Rect(0, 0, 1, 1), 2, high), (Rect(0, 4, 1, 5), 2, low)]
    for fronts in (doors, doors[::-1]):
        found = levelled(site, fronts)
        assert found.fall(0, 1) == site.fall(*high) < site.fall(*low) == found.fall(0, 3)
    assert levelled(site, doors, [(0, 3)]).fall(0, 3) == site.fall(0, 3)


@given(st.integers(0, 2**64 - 1), GROUNDS)
@settings(max_examples=100)
def test_water_of_a_court_runs_nowhere_uphill(seed: int, ground: Ground) -> None:
    site = planned(seed, ground, courts=1, plot=(34, 44), arrangement="ring")
    for _, way in drains(site):
        (own,) = fall_of(site, (site.garden(site.courts[0]),))
        assert min(fall_of(site, (way,))) >= own


@given(st.integers(0, 2**64 - 1), st.integers(0, STEEPEST))
@settings(max_examples=30)
def test_level_ground_changes_nothing(seed: int, high: int) -> None:
    level = Ground(**dict.fromkeys(CORNERS, high))
    assert planned(seed, level) == planned(seed, Ground())


def test_level_ground_gives_the_same_cells() -> None:
    level = Ground(southwest=1, southeast=1, northwest=1, northeast=1)
    one, other = (built(7, ground).voxels for ground in (level, Ground()))
    assert (one.form == other.form).all()
    assert (one.material == other.material).all()


@pytest.mark.parametrize(
    ("ground", "place", "high"),
    [
        (Ground(northwest=2, northeast=2), Rect(0, 28, 20, 30), Fraction(29, 15)),
        (Ground(northwest=2, northeast=2), Rect(5, 10, 7, 20), Fraction(1)),
        (Ground(southeast=2), Rect(10, 0, 20, 15), Fraction(2 * 3 * 3, 4 * 4)),
        (
            Ground(southwest=2, southeast=2, northwest=1, northeast=1),
            Rect(0, 0, 20, 10),
            Fraction(5, 6),
        ),
        (Ground(levels=((0, 200), (0, 200))), Rect(0, 0, 20, 30), Fraction(1)),
        (Ground(levels=((0, 0), (200, 200), (0, 0))), Rect(0, 14, 20, 16), Fraction(2)),
        (Ground(levels=((0, 0), (200, 200), (0, 0))), Rect(0, 20, 20, 25), Fraction(1)),
        (Ground(levels=((50, 50), (50, 50), (150, 90))), Rect(0, 20, 10, 25), Fraction(17, 40)),
        (Ground(levels=((0, 100), (100, 200))), Rect(19, 29, 21, 31), Fraction(2)),
    ],
)
def test_how_high_the_ground_lies(ground: Ground, place: Rect, high: Fraction) -> None:
    assert under(ground, place, (20, 30)) == high


def test_one_turn_of_the_plot_turns_the_slope() -> None:
    """Falls are found in the plot's own frame, whichever way its gate looks."""
    ground = Ground(northwest=2, northeast=2)
    for gate in ("south", "north", "east", "west"):
        site = planned(7, ground, gate=gate, arrangement="ring", plot=(32, 32))
        low, high = (
            [w for w in site.wings if site.turn.rect(w.rect).y0 < 5],
            [w for w in site.wings if site.turn.rect(w.rect).y1 > 27],
        )
        assert min(fall_of(site, (w.rect.grown(-1),)) for w in low) > min(
            fall_of(site, (w.rect.grown(-1),)) for w in high
        )


@pytest.mark.parametrize("ground", FALLING, ids=lambda g: "-".join(map(str, g.corners)))
@pytest.mark.parametrize(("seed", "brief"), [(3, {}), (8, {"storeys": 1}), (11, {"gate": "west"})])
def test_houses_on_slopes_are_clean_by_both_judges(
    ground: Ground, seed: int, brief: dict[str, Any]
) -> None:
    house = built(seed, ground, **brief)
    assert house.inspect().clean
    assert not check_arrays(arrays(house.voxels), corners=house.plan.outline)
    assert not buried(house.voxels)
    low = {room.floor for room in house.plan.rooms if room.indoor and room.level == 1}
    assert 1 < len(low) <= ground.rise + 1


def buried(voxels: Voxels) -> list[tuple[int, int]]:
    """From the cells alone: open ground that lies higher than the floor of a room past one wall."""
    told = {room.id: room for room in voxels.about.rooms}
    indoor = np.array([n in told and told[n].indoor for n in range(int(voxels.room.max()) + 1)])
    inside = indoor[voxels.room]
    floors = np.where(inside.any(axis=2), inside.argmax(axis=2), -1)
    made = voxels.stage == voxels.about.stages.index("site")
    top = np.where(made.any(axis=2), made.shape[2] - made[:, :, ::-1].argmax(axis=2), 0)
    bare = ~inside.any(axis=2) & ~(voxels.stage == voxels.about.stages.index("frame")).any(axis=2)
    found = []
    for x, y in np.argwhere(bare).tolist():
        for dx, dy in ((2, 0), (0, 2), (-2, 0), (0, -2)):
            i, j = x + dx, y + dy
            within = 0 <= i < floors.shape[0] and 0 <= j < floors.shape[1]
            if within and floors[i, j] >= 0 and top[x, y] > floors[i, j]:
                found.append((x, y))
    return found


def test_a_buried_room_is_seen() -> None:
    """The check above is no check that cannot fail."""
    house = built(3, FALLING[0])
    stage = house.voxels.stage.copy()
    stage[0:3, :, :12] = house.voxels.about.stages.index("site")
    assert buried(replace(house.voxels, stage=stage))


def test_a_step_lies_before_each_way_up() -> None:
    steps = 0
    for seed in range(3, 9):
        house = built(seed, FALLING[0])
        laid = covered(p.box.rect for p in house.plan.parts if p.role == "tread")
        rooms = {room.id: room for room in house.plan.rooms if room.indoor}
        for wall in house.plan.segments:
            if wall.level > 1 or not wall.passable or not {wall.low, wall.high} <= {*rooms}:
                continue
            low, high = rooms[wall.low], rooms[wall.high]
            if low.floor != high.floor and wall.way is not None:
                side = int(high.floor < low.floor)
                steps += 1
                assert all(wall.beside(c)[side] in laid for c in wall.way.cells())
    assert steps


def test_upper_floors_and_eaves_run_level() -> None:
    house = built(3, FALLING[0], storeys=2)
    assert len({r.floor for r in house.plan.rooms if r.level == 2 and r.indoor}) == 1
    tops = {w.z1 for w in house.plan.segments if w.level == 1 and w.boundary == "outer"}
    assert len(tops) == 1


RIDGE = Ground(levels=((0, 60, 0), (120, 200, 130), (0, 70, 20)))
HOLLOW = Ground(levels=((200, 200, 200, 200), (190, 20, 0, 180), (200, 150, 170, 200)))


@pytest.mark.parametrize("ground", [RIDGE, HOLLOW], ids=["ridge", "hollow"])
@pytest.mark.parametrize("seed", [3, 8])
def test_houses_on_measured_ground_are_clean_by_both_judges(ground: Ground, seed: int) -> None:
    house = built(seed, ground)
    assert not check_arrays(arrays(house.voxels), corners=house.plan.outline)
    assert not buried(house.voxels)
    assert len({r.floor for r in house.plan.rooms if r.indoor and r.level == 1}) > 1


@pytest.mark.parametrize("outline", SHAPES)
def test_a_plot_that_is_no_rectangle_may_fall_too(outline: str) -> None:
    """Its own edge is no drop to guard: the first draw is sound."""
    asked = Brief(outline=outline, ground=Ground(northwest=2))
    house = sound(Recipe(seed=7, brief=asked))
    assert house.anew == ()
    assert not check_arrays(arrays(house.voxels), corners=house.plan.outline)


def test_levels_at_the_corners_are_corners() -> None:
    corners, levels = Ground(southeast=1, northwest=2), Ground(levels=((0, 100), (200, 0)))
    assert planned(7, levels) == planned(7, corners)


def test_what_falls_less_than_half_a_cell_is_built_level() -> None:
    assert Ground(levels=((0, 49), (20, 10))).rise == 0
    assert Ground(levels=((70, 120), (70, 70))).rise == 1
    assert planned(7, Ground(levels=((0, 49), (20, 10)))) == planned(7, Ground())


@pytest.mark.parametrize("tradition", [name for name in names() if name != "timber"])
def test_other_ways_of_building_follow_the_ground(tradition: str) -> None:
    house = built(2, FALLING[0], tradition=tradition)
    assert house.inspect().clean
    assert not check_arrays(arrays(house.voxels), corners=house.plan.outline)


REFUSED = {
    "steep": ({"northwest": 5}, "steps down 4 cells at the most"),
    "in the air": ({"northwest": -1}, "0 to 4"),
    "half": ({"northwest": 0.5}, "whole number"),
    "no number": ({"northwest": float("nan")}, "whole number"),
    "no corner": ({"north": 1}, "there is no key"),
    "no table": ("slope", "a table of corners"),
    "steep levels": ({"levels": [[0, 0], [401, 0]]}, "0 to 400 hundredths"),
    "levels in the air": ({"levels": [[0, -1], [0, 0]]}, "0 to 400 hundredths"),
    "one row": ({"levels": [[0, 0]]}, "2 to 17 rows"),
    "short row": ({"levels": [[0, 0], [0]]}, "2 to 17 rows"),
    "uneven rows": ({"levels": [[0, 0], [0, 0, 0]]}, "not of one length"),
    "many rows": ({"levels": [[0, 0]] * 18}, "2 to 17 rows"),
    "half hundredths": ({"levels": [[0, 0.5], [0, 0]]}, "rows of whole numbers"),
    "both": ({"levels": [[0, 0], [200, 0]], "northwest": 1}, "leave these out"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_is_refused_in_one_sentence(name: str) -> None:
    said, words = REFUSED[name]
    with pytest.raises(BriefError) as refusal:
        parse_brief({"ground": said})
    assert words in str(refusal.value)
    assert "\n" not in str(refusal.value)
    assert "ground" in str(refusal.value)


def test_a_site_on_level_ground_has_no_falls() -> None:
    site = planned(7, Ground())
    assert terraced(site, Ground()) is site
    assert site.falls == ()
    assert site.fall(3, 3) == 0
