"""What is published of riads, read from the cells.  A cell stands for a metre."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.core.axes import STEP
from genhouse.model.design import Design
from genhouse.model.room import COURTS
from genhouse.model.voxels import Voxels
from genhouse.traditions.loader import load_tradition
from tests.traditions.riad.houses import built
from tests.traditions.sight import seen_through

SEEDS = range(6)
STOREY = 4
"""Layers of the lowest storey."""


def _materials(voxels: Voxels, plan: Design, role: str) -> int:
    name = dict(plan.palette.roles)[role].name
    return [m.name for m in voxels.about.materials].index(name)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_straight_line_leads_from_the_street_into_the_court(seed: int) -> None:
    """Indirect passage, at least one right-angle turn (houseinfez.com, typical house; field notes 2.5)."""
    plan, voxels = built(seed)
    (door,) = [
        s
        for s in plan.segments
        if s.opening == "entrance" and s.way is not None and s.outward == plan.gate_side
        and s.floor == s.z0
    ]  # fmt: skip
    rooms = seen_through(voxels, door.way, door.floor, STEP[door.outward])
    kinds = {room.id: room.kind for room in plan.rooms}
    seen = {kinds[n] for n in rooms if n}
    assert seen
    assert not seen & {*COURTS, "veranda", "gallery"}
    assert seen == {"skifa"}, "one sees no farther than the entry"


@pytest.mark.parametrize("seed", SEEDS)
def test_parapets_are_as_high_as_is_told(seed: int) -> None:
    """Roofs walled about, 4 to 6 ft (Evening Republican, 20 January 1910): 1.22 to 1.83 m."""
    plan, voxels = built(seed)
    heights = _over_decks(plan, voxels)
    assert heights
    assert all(1.2 <= h <= 1.85 for h in heights)


def _over_decks(plan: Design, voxels: Voxels) -> set[float]:
    """How high, in cells, each coping ends over the highest flat roof or terrace beside it."""
    wide, deep, high = voxels.size
    top = high - 1 - (voxels.form > 0)[:, :, ::-1].argmax(axis=2)
    form = np.take_along_axis(voxels.form, top[..., None], axis=2)[..., 0]
    stuff = np.take_along_axis(voxels.material, top[..., None], axis=2)[..., 0]
    floors = [_materials(voxels, plan, role) for role in ("deck", "upper-floor")]
    copings = [n for n, entry in enumerate(voxels.about.forms) if entry.piece == "coping"]
    rises = {n: int(voxels.shapes[n].any(axis=(0, 1)).sum()) / 4 for n in copings}
    house = np.zeros((wide, deep), dtype=bool)
    for x0, y0, x1, y1 in plan.wings:
        house[x0:x1, y0:y1] = True
    found = set()
    for x, y in np.argwhere(np.isin(form, copings) & house).tolist():
        near = [(x + dx, y + dy) for dx, dy in STEP.values()]
        decks = [
            int(top[c]) for c in near if house[c] and stuff[c] in floors and top[c] < top[x, y]
        ]
        if decks and top[x, y] - max(decks) < STOREY:  # else it is that of a lower wing
            found.add(top[x, y] - max(decks) - 1 + rises[int(form[x, y])])
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_it_is_plain_outside(seed: int) -> None:
    """Few or no outside windows (houseinfez.com): openings take under a fifteenth of outer walls."""
    plan, voxels = built(seed)
    pierced = _materials(voxels, plan, "pierced")
    walls = [s for s in plan.segments if s.boundary == "outer"]
    area = sum(s.length * (s.z1 - s.z0) for s in walls)
    holes = sum(
        int((voxels.material[x, y, s.z0 : s.z1] == pierced).sum())
        for s in walls
        for x, y in s.cells.cells()
    )
    assert 15 * holes <= area


@pytest.mark.parametrize("seed", SEEDS)
def test_rooms_are_narrow_and_open_to_the_court(seed: int) -> None:
    """One measured 3.5 x 10 m, its length that of the court (projectriad.com): 3 to 5 cells deep."""
    plan, _ = built(seed)
    assert all(min(r.rect.width, r.rect.depth) <= 5 for r in plan.rooms if r.indoor)


@pytest.mark.parametrize("seed", SEEDS)
def test_columns_go_round_the_court(seed: int) -> None:
    """Galleries on 2 to 12 columns (tourismfez.blogspot.com, in a house in Fez), one at each corner."""
    plan, voxels = built(seed)
    capital = _materials(voxels, plan, "capital")
    for court in plan.courts:
        there = voxels.material[court.x0 : court.x1, court.y0 : court.y1] == capital
        assert min(court.width, court.depth) < 7 or int(there.any(axis=2).sum()) >= 4


def test_what_it_says_of_itself() -> None:
    riad = load_tradition("riad")
    assert all((riad.note.simplified, riad.note.conjecture, riad.note.cited))
    assert len(riad.palettes) >= 3
    assert len(riad.fittings) >= 30
