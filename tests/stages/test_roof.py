"""Roofs of whole houses: eaves, ridges, gables and the chimney."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.core.axes import STEP
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.stages.roofs.slopes import NONE
from tests.houses import SEEDS, TIMBER, cells, house, plan
from tests.reference import published

CHIMNEY = published("roof")["chimney"]
each_seed = pytest.mark.parametrize("seed", SEEDS)


def tops(found: object) -> np.ndarray:
    """z of the top of the highest piece of building in each column: int [X, Y]."""
    v = found.voxels  # type: ignore[attr-defined]
    garden = [v.about.stages.index(name) for name in ("site", "court")]
    flue = np.zeros(v.form.shape, dtype=bool)
    for at in cells(found, "flue"):  # type: ignore[arg-type]
        flue[at] = True
    built = (v.form > 0) & ~np.isin(v.stage, garden) & ~flue
    return np.where(built.any(axis=2), built.shape[2] - built[..., ::-1].argmax(axis=2), 0)


@pytest.mark.parametrize("first", range(0, 40, 5))
def test_the_chimney_clears_the_roof_as_the_code_asks(first: int) -> None:
    """IRC 2018 R1003.9: 3 ft over the roof where it passes through it, 2 ft over all within 10 ft."""
    reach, above = CHIMNEY["cells_within"], CHIMNEY["cells_above"]
    for seed in range(first, first + 5):
        found = house(seed)
        shaft = cells(found, "flue")
        x, y, _ = shaft[0]
        top = max(
            p.box.z1 for p in found.plan.parts if p.role == "flue" and p.form != "chimney cap"
        )
        near = tops(found)[max(0, x - reach) : x + reach + 1, max(0, y - reach) : y + reach + 1]
        assert top >= near.max() + above
        assert [z for _, _, z in shaft] == list(range(shaft[0][2], shaft[-1][2] + 1)), (
            "one whole shaft"
        )
        assert (x, y) == shaft[-1][:2]
        hearth = plan(seed).rooms.hearth
        assert (x, y) == hearth.cell


@each_seed
def test_each_side_wings_ridge_runs_on_into_a_through_wing(seed: int) -> None:
    """Along a side wing's ridge the roof never drops before it reaches a through wing's ridge."""
    p, top = plan(seed), plan(seed).roof.top
    for wing in p.site.wings:
        if wing.axis == "x":
            continue
        middle = (wing.rect.x0 + wing.rect.x1 - 1) // 2
        height = int(top[2 * middle, wing.rect.y0 + wing.rect.y1])
        met = []
        for other in p.site.wings:
            if other.axis == "x" and other.rect.y0 == wing.rect.y1:
                met.append((wing.rect.y0, (other.rect.y0 + other.rect.y1 - 1) // 2 + 1))
            if other.axis == "x" and other.rect.y1 == wing.rect.y0:
                met.append(((other.rect.y0 + other.rect.y1 - 1) // 2, wing.rect.y1))
        assert met, "a side wing stands against a through wing"
        for low, high in met:
            assert (top[2 * middle : 2 * middle + 2, 2 * low : 2 * high] >= height).all()


@each_seed
def test_eaves_line_is_level(seed: int) -> None:
    """The outermost course lies at one height along each side of the house, but for swept corners.

    A hall that stands higher has eaves of its own, higher by as much.
    """
    p, found = plan(seed), plan(seed).roof
    house_, out = p.site.house, TIMBER.roof.outside
    rows = {
        "south": found.top[2 * house_.x0 : 2 * house_.x1, 2 * (house_.y0 - out)],
        "north": found.top[2 * house_.x0 : 2 * house_.x1, 2 * (house_.y1 + out) - 1],
        "west": found.top[2 * (house_.x0 - out), 2 * house_.y0 : 2 * house_.y1],
        "east": found.top[2 * (house_.x1 + out) - 1, 2 * house_.y0 : 2 * house_.y1],
    }
    level = {style.base - out * TIMBER.roof.gentle for _, style in found.styles}
    for row in rows.values():
        there = row[row != NONE].tolist()
        swept = [h for h in there if h not in level]
        assert {h - 1 for h in swept} <= level, "a swept corner is lifted by half a cell"
        assert all(h in level for h in row[8:-8].tolist() if h != NONE), "and only a corner is"
    assert len({h for row in rows.values() for h in row[8:-8].tolist()} - {NONE}) == len(
        {style.base for _, style in found.styles}
    )
    assert all(
        (rows[side] != NONE).all()
        for side, name in (("south", "front"), ("north", "rear"))
        if p.site.wing(name) is not None  # type: ignore[arg-type]
    )


@each_seed
def test_every_wing_is_covered_and_its_eaves_reach_out(seed: int) -> None:
    """Overhangs: two courses outside, one toward the court (the tradition's rule 4)."""
    p, found = plan(seed), plan(seed).roof
    there = (found.top != NONE)[::2, ::2]
    for wing in p.site.wings:
        r = wing.rect
        assert there[r.x0 : r.x1, r.y0 : r.y1].all()
    for court in p.site.courts:
        inner = court.grown(-1)
        assert not there[inner.x0 : inner.x1, inner.y0 : inner.y1].any(), (
            "a court is open to the sky"
        )
    assert (found.top >= found.under)[found.top != NONE].all()


@each_seed
def test_eaves_of_the_file_are_the_lowest_layer_of_roof_over_the_house(seed: int) -> None:
    """The file contract: z of the lowest layer of roof cells; porches, walls' heads and the roofs of
    lower wings apart."""
    found = house(seed)
    laid = cells(found, "tile", "eave", "verge", "ridge", stage="roof")
    gates = {p.box for p in found.plan.parts if p.role == "porch-tile"}
    covers = found.plan.covers
    lower = [c.rect.grown(2) for c in covers if c.storeys < max(o.storeys for o in covers)]
    low = min(
        z
        for x, y, z in laid
        if not any(b.rect.grown(1).has(x, y) and z <= b.z1 for b in gates)
        and not any(rect.has(x, y) for rect in lower)
    )
    assert found.voxels.about.eaves == found.plan.eaves == low


@each_seed
def test_gables_are_closed_up_to_the_shell(seed: int) -> None:
    """Over each outer or court wall of the upper storey, no gap between the plate and the roof."""
    found = house(seed)
    v = found.voxels
    for s in found.plan.segments:
        if s.level == 2 and s.boundary in ("outer", "court"):
            for x, y in s.cells.cells():
                column = v.form[x, y, TIMBER.storeys[1].head :] > 0
                chimney = (x, y) in {c[:2] for c in cells(found, "flue")}
                filled = int(column.argmin()) if not column.all() else len(column)
                assert chimney or not column[filled:].any(), (
                    "solid from the plate to the top of the roof"
                )


@each_seed
def test_water_runs_off_every_column(seed: int) -> None:
    """No pit: from each column some neighbour is as low or lower until the eaves are reached."""
    top = np.pad(plan(seed).roof.top.astype(int), 1, constant_values=NONE)
    drained = top == NONE
    flow = True
    while flow:
        before = drained.sum()
        for level in np.unique(top)[1:]:
            for _ in range(3):
                near = np.full(top.shape, np.iinfo(int).max)
                for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
                    moved = np.roll(np.where(drained, top, np.iinfo(int).max), (dx, dy), (0, 1))
                    near = np.minimum(near, moved)
                drained |= (top == level) & (near <= top)
        flow = drained.sum() > before
    assert drained.all()


@pytest.mark.parametrize("storeys", [1, 2, 3])
@pytest.mark.parametrize("seed", range(8))
def test_a_flat_roof_has_its_parapet_outside_and_a_rail_to_the_court(
    seed: int, storeys: int
) -> None:
    """Whatever its outline; a higher wing's wall ends the parapet, and over a wing that no
    court drains two cells of it are left out.  A wing that leans on a higher one slopes and has none.
    """
    low = () if storeys > 1 else None
    wish = RoofWish(form="flat")
    brief = Brief(plot=(27, 34), storeys=storeys, gate="south", roof=wish, low=low)
    found = make(Recipe(seed=seed, brief=brief))
    wall, cap = ({c[:2] for c in cells(found, role)} for role in ("parapet", "parapet-cap"))
    rails = {c[:2] for c in cells(found, "roof-rail")}
    courts, covers = found.plan.courts, found.plan.covers
    wings = [o.rect for o in covers if o.form == "flat"]
    leaning = {c for o in covers if o.form != "flat" for c in o.rect.cells()}
    built, court = ({c for r in rects for c in r.cells()} for rects in (found.plan.wings, courts))
    beside = {(x, y): {(x + dx, y + dy) for dx, dy in STEP.values()} for x, y in built}
    outer = {c for c, near in beside.items() if near - built - court}
    tall = {
        c for o in covers if o.storeys == max(p.storeys for p in covers) for c in o.rect.cells()
    }
    ends = {c for c, near in beside.items() if c not in tall and near & tall}
    gaps = [len((outer - ends - wall) & {*wing.cells()}) for wing in wings]
    drained = [any(wing.adjoins(c) for c in courts) for wing in wings]
    assert {o.form for o in covers} <= {"flat", "lean-to"}
    assert wall == cap <= outer - leaning
    assert all(gap == (0 if dry else 2) for gap, dry in zip(gaps, drained, strict=True))
    assert rails == {c for c, near in beside.items() if near & court} - outer
