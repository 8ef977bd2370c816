"""Vitruvius's rules for an atrium house, to the cell, read from plans and cells.

De architectura VI.3.3 to VI.3.8, tr. M. H. Morgan (1914).  A cell stands for a metre; a Roman foot is
0.296 m (from memory).
"""

from __future__ import annotations

import networkx as nx
import pytest

from genhouse.core.axes import STEP
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Brief
from genhouse.model.design import Design
from genhouse.model.room import Room
from genhouse.stages.siting import plan_site
from genhouse.traditions.loader import load_tradition
from tests.traditions.domus.houses import built
from tests.traditions.sight import seen_through

SEEDS = range(6)
FOOT = 0.296
COURSE = 1
"""Cells that the course over a wall is high."""
RATIOS = (5 / 3, 3 / 2, 2**0.5)


def sides(plan: Design) -> tuple[Rect, int, int]:
    """The atrium, its width across the axis and its length along it."""
    atrium = plan.courts[0]
    along_y = plan.gate_side in ("south", "north")
    return atrium, *((atrium.width, atrium.depth) if along_y else (atrium.depth, atrium.width))


def rooms_of(plan: Design, kind: str) -> list[Room]:
    return [room for room in plan.rooms if room.kind == kind]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_atrium_has_one_of_three_proportions(seed: int) -> None:
    """VI.3.3: length to width 5 to 3, 3 to 2, or the diagonal of the square to its side."""
    _, width, length = sides(built(seed)[0])
    assert min(abs(length - width * ratio) for ratio in RATIOS) <= 0.5


BEHIND = 2
"""Cells that the range behind an atrium may stand higher, at most (from memory)."""


@pytest.mark.parametrize("seed", SEEDS)
def test_the_atrium_is_as_high_to_its_beams_as_wide_or_as_long_less_a_quarter(seed: int) -> None:
    """VI.3.4, from floor to eaves at its walls: Morgan reads its width, Krohn and Gwilt its length."""
    plan, _ = built(seed)
    atrium, width, length = sides(plan)
    floor = max(r.floor for r in rooms_of(plan, "veranda"))
    eaves = sorted(c.base // 2 - COURSE - floor for c in plan.covers if c.rect.adjoins(atrium))
    high = eaves[0]
    assert all(e <= high + BEHIND for e in eaves)
    assert eaves.count(high) >= len(eaves) - 1, "only the range behind it may stand higher"
    assert min(abs(high - 3 * side / 4) for side in (width, length)) < 1


OVER = 2
"""Cells that a ridge behind an atrium may stand over it, where rooms lie over rooms (from memory)."""


@pytest.mark.parametrize("seed", SEEDS)
def test_an_atrium_stands_over_what_is_behind_it(seed: int) -> None:
    """A low house that looks inward, its atrium the highest of it (common practice)."""
    plan, _ = built(seed)
    ridges = {cover: cover.base / 2 + float(max(cover.courses)) / 2 for cover in plan.covers}
    about = max(high for cover, high in ridges.items() if cover.rect.adjoins(plan.courts[0]))
    assert max(ridges.values()) <= about + OVER


@pytest.mark.parametrize("seed", SEEDS)
def test_the_opening_is_a_quarter_to_a_third_of_the_width(seed: int) -> None:
    """VI.3.6: and its length in proportion; the basin lies below it, as large."""
    plan, voxels = built(seed)
    atrium, width, length = sides(plan)
    roof = voxels.set_by("roof").any(axis=2)
    sky = [c for c in atrium.cells() if not roof[c]]
    xs, ys = {x for x, _ in sky}, {y for _, y in sky}
    assert len(sky) == len(xs) * len(ys)
    wide, long = sorted((len(xs), len(ys)))
    assert width / 4 <= wide <= width / 3
    assert length / 4 - 0.5 <= long <= length / 3 + 0.5
    assert rooms_of(plan, "court")[0].area == wide * long
    water = voxels.flag("liquid")[voxels.material].any(axis=2)
    assert sum(bool(water[c]) for c in sky) >= wide * long - 1


@pytest.mark.parametrize("seed", SEEDS)
def test_alae_lie_on_both_sides_as_wide_as_is_told(seed: int) -> None:
    """VI.3.4: a third of the length of 30 to 40 feet, of 40 to 50 feet one part in three and a half."""
    plan, _ = built(seed)
    atrium, _, length = sides(plan)
    told = length / 3 if length / FOOT <= 40 else length / 3.5
    alae = rooms_of(plan, "ala")
    assert len(alae) == 2
    for ala in alae:
        along_y = plan.gate_side in ("south", "north")
        own = ala.rect.depth if along_y else ala.rect.width
        assert abs(own - told) < 1
    middle = [(r.rect.x0 + r.rect.x1 - atrium.x0 - atrium.x1) for r in alae]
    across = [(r.rect.y0 + r.rect.y1 - atrium.y0 - atrium.y1) for r in alae]
    sideways = middle if plan.gate_side in ("south", "north") else across
    assert sorted(n > 0 for n in sideways) == [False, True]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_tablinum_is_half_to_two_thirds_as_wide_as_the_atrium(seed: int) -> None:
    """VI.3.5: two thirds of an atrium of 20 feet, half of one of 30 to 40; this is one of 27."""
    plan, _ = built(seed)
    _, width, _ = sides(plan)
    (tablinum,) = rooms_of(plan, "tablinum")
    along_y = plan.gate_side in ("south", "north")
    own = tablinum.rect.width if along_y else tablinum.rect.depth
    assert width / 2 - 0.5 <= own <= 2 * width / 3 + 0.5


@pytest.mark.parametrize("seed", SEEDS)
def test_one_sees_from_the_street_through_atrium_and_tablinum(seed: int) -> None:
    """The axis is kept on purpose: street, fauces, atrium, tablinum, garden (field notes 2.4)."""
    plan, voxels = built(seed)
    door = next(
        s
        for s in plan.segments
        if s.opening == "entrance" and s.outward == plan.gate_side and s.floor == s.z0
    )
    assert door.way is not None
    seen = seen_through(voxels, door.way, door.floor, STEP[door.outward])
    kinds = {room.id: room.kind for room in plan.rooms}
    assert {"fauces", "veranda", "tablinum"} <= {kinds[n] for n in seen if n}


@pytest.mark.parametrize("seed", SEEDS)
def test_columns_bear_the_roof_at_the_corners_of_the_opening(seed: int) -> None:
    """A tetrastyle atrium (VI.3.1)."""
    plan, voxels = built(seed)
    opening = rooms_of(plan, "court")[0].rect
    name = dict(plan.palette.roles)["capital"].name
    capital = [m.name for m in voxels.about.materials].index(name)
    frame = voxels.set_by("frame")
    r = opening.grown(1)
    for x, y in ((r.x0, r.y0), (r.x0, r.y1 - 1), (r.x1 - 1, r.y0), (r.x1 - 1, r.y1 - 1)):
        assert (frame[x, y] & (voxels.material[x, y] == capital)).any()


def test_upper_rooms_lie_in_one_range_clear_of_the_atrium() -> None:
    """So that one stair serves them all."""
    domus, several = load_tradition("domus").with_storeys(2), 0
    for seed in range(3000, 3040):
        try:
            site = plan_site(Brief(tradition="domus", storeys=2), domus, Draw(seed).at("site"))
        except InfeasibleError:
            continue
        high = [wing for wing in site.wings if wing.storeys > 1]
        assert not any(wing.rect.adjoins(site.courts[0]) for wing in high)
        met = nx.Graph([(a, b) for a in high for b in high if a.rect.adjoins(b.rect)])
        met.add_nodes_from(high)
        assert nx.is_connected(met)
        several += len(high) > 1
    assert several > 5


def test_what_it_says_of_itself() -> None:
    domus = load_tradition("domus")
    assert all((domus.note.simplified, domus.note.conjecture, domus.note.cited))
    assert len(domus.palettes) >= 3
    assert len(domus.fittings) >= 30
