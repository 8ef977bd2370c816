"""Roofs of whole rings: every form is tight, and one pitch all over is the distance to the eaves."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
import shapely
from scipy import ndimage

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.generate.draws import Draws
from genhouse.generate.layout import lay_out
from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.model.roof import HIPPED, RIDGED, ROOF_FORMS
from genhouse.outputs.figures._loads import load_figures
from genhouse.stages.roof import plan_roof
from genhouse.stages.roofs.profiles import slope
from genhouse.stages.roofs.slopes import NONE, across, join, prism, rising
from genhouse.traditions.roofs import Profile
from tests.houses import TIMBER, plan

TEN = Profile(name="ten", kind="straight", weight=1, sun=10)
RINGS = 500


def ring(seed: int) -> tuple[tuple[int, int], list[tuple[str, Rect]]]:
    """A plot and the wings of one or two rings on it, each running from corner to corner."""
    dice = np.random.default_rng(seed)
    spans = dice.choice([4, 6, 8, 10], 4).tolist()
    court = (int(dice.integers(6, 14)), int(dice.integers(6, 14)))
    west, east, south, north = spans
    size = (west + east + 2 + court[0], south + north + 2 + court[1])
    wings = [
        ("x", Rect(0, 0, size[0], south + 1)),
        ("x", Rect(0, size[1] - north - 1, size[0], size[1])),
        ("y", Rect(0, 0, west + 1, size[1])),
        ("y", Rect(size[0] - east - 1, 0, size[0], size[1])),
    ]
    missing = dice.integers(0, 6)  # now and then a court open on one side
    return size, [wing for n, wing in enumerate(wings) if n != missing]


def hipped(size: tuple[int, int], axis: str, r: Rect) -> np.ndarray:
    """One wing of one pitch with hips at both ends."""
    span = (r.depth if axis == "x" else r.width) - 1
    length = r.width if axis == "x" else r.depth
    courses = slope(span, TEN)
    end = rising(length, courses)
    return prism(size, r, across((), courses, ()), axis, 10, (end, end))


def test_five_hundred_rings_have_the_heights_of_scipy_and_shapely() -> None:
    """Straight pitch: height is the chessboard distance (scipy), its levels mitred offsets (shapely)."""
    for seed in range(RINGS):
        size, wings = ring(seed)
        top = join([hipped(size, *wing) for wing in wings]).astype(int)
        built = np.zeros(size, dtype=bool)
        for _, r in wings:
            built[r.x0 : r.x1, r.y0 : r.y1] = True
        fine = np.pad(built.repeat(2, axis=0).repeat(2, axis=1), 1)
        reach = ndimage.distance_transform_cdt(fine, "chessboard")[1:-1, 1:-1]
        expected = np.where(reach > 0, 10 + np.maximum(reach - 2, 0), -1)
        assert np.array_equal(top, expected), seed
        outline = shapely.union_all([shapely.box(*(2 * n for n in r)) for _, r in wings])
        for level in (2, 3, 5):
            area = outline.buffer(-level, join_style="mitre").area
            assert np.count_nonzero(top + 2 - 10 > level) == area, (seed, level)


def roofed(form: str, seed: int, storeys: int = 2, **more: object) -> House:
    wish = RoofWish(form=form, **more)  # type: ignore[arg-type]
    return make(Recipe(seed=seed, brief=Brief(storeys=storeys, roof=wish)))


@pytest.mark.parametrize("form", [*ROOF_FORMS, "inward"])
@pytest.mark.parametrize("storeys", [1, 2])
@pytest.mark.parametrize("seed", range(3))
def test_every_form_is_sound_drained_and_carried(form: str, storeys: int, seed: int) -> None:
    """Inspection finds nothing; no pit holds water; each piece of roof is carried to the ground."""
    ridged, hipped = form in RIDGED, form in HIPPED
    dormers = seed if ridged and storeys == 2 else 0
    found = roofed(form, seed, storeys, swept=hipped and bool(seed % 2), dormers=dormers)
    assert found.inspect().clean, [str(f) for f in found.inspect().findings]
    figures = found.figures()
    assert figures.water.pits == 0
    assert figures.loads.carried == figures.loads.pieces


@pytest.mark.parametrize("profile", ["steepening", "eight", "five", "curved", "high curve"])
@pytest.mark.parametrize("form", ["gable", "hip-and-gable", "two-tier"])
def test_every_profile_under_every_sloping_form(profile: str, form: str) -> None:
    found = roofed(form, 5, profile=profile)
    assert found.inspect().clean
    assert load_figures(found.plan).longest_span <= 6


@pytest.mark.parametrize("seed", range(6))
def test_lifted_corners_are_lifted_by_half_a_cell_and_nothing_else_is(seed: int) -> None:
    """Each outermost corner cell of the hipped roof that is open on both sides, whole, by one half."""
    p = plan(seed)
    wish = RoofWish(form="hip", swept=False, dormers=0)
    level, lifted = (
        plan_roof(
            p.site, p.bays, p.rooms, TIMBER, replace(wish, swept=swept), Draw(seed).at("roof")
        )
        for swept in (False, True)
    )
    assert level.styles == lifted.styles
    rise = lifted.top - level.top
    out = TIMBER.roof.outside
    built = [wing.rect for wing in p.site.wings if not wing.terrace]
    taken = [*(wing.rect for wing in p.site.wings), *p.site.courts]
    corners = set()
    for r in built:
        for dx, dy in product((-1, 1), (-1, 1)):
            x, y = (r.x0 if dx < 0 else r.x1 - 1), (r.y0 if dy < 0 else r.y1 - 1)
            round_it = (x + dx, y), (x + dx, y - dy), (x, y + dy), (x - dx, y + dy)
            if not any(other.has(*c) for other in taken for c in round_it):
                corners.add((x + out * dx, y + out * dy))
    assert corners
    expected = np.zeros_like(rise)
    for x, y in corners:
        expected[2 * x : 2 * x + 2, 2 * y : 2 * y + 2] = 1
    np.testing.assert_array_equal(rise, expected)


@pytest.mark.parametrize("seed", range(6))
def test_wings_may_be_roofed_each_in_its_own_way(seed: int) -> None:
    wish = RoofWish(form="gable", rear="hip-and-gable", left="lean-to", right="flat", front="hip")
    found = make(Recipe(seed=seed, brief=Brief(roof=wish)))
    assert found.inspect().clean, [str(f) for f in found.inspect().findings]
    forms = {cover.wing: cover.form for cover in found.plan.covers}
    assert forms.get("left", "lean-to") == "lean-to"
    assert forms["rear"] == "hip-and-gable"
    assert found.figures().water.pits == 0


def test_no_eaves_hang_under_the_high_side_of_a_lean_to() -> None:
    """Where a cross wing's hip meets the outer wall of a side wing's high side, it has no eaves."""
    wish = RoofWish(form="gable", front="lean-to", cross="hip", left="lean-to", right="flat")
    for seed in (2005, 2011, 2012):
        found = make(Recipe(seed=seed, brief=Brief(plot=(43, 55), storeys=1, roof=wish)))
        assert found.inspect().clean, [str(f) for f in found.inspect().findings]
        figures = found.figures()
        assert figures.loads.carried == figures.loads.pieces
        assert figures.water.pits == 0


def test_eaves_as_wide_as_a_veranda_end_with_its_court() -> None:
    """Where a range runs on past the court they are as wide as any outside; no roof hangs in the air."""
    past = 0
    for seed in range(3100, 3124):
        brief = Brief(tradition="domus", arrangement="run-on", storeys=1)
        try:
            layout = lay_out(Draws(Recipe(seed=seed, brief=brief)))
        except InfeasibleError:
            continue
        site, outside = layout.site, layout.tradition.roof.outside
        roofed = layout.roof.top[::2, ::2] != NONE
        for x0, y0, x1, y1 in (*(wing.rect.grown(outside) for wing in site.wings), *site.courts):
            roofed[x0:x1, y0:y1] = False
        assert not roofed.any(), seed
        past += any(
            wing.axis == "x" and (wing.rect.x0 < court.x0 - 11 or wing.rect.x1 > court.x1 + 11)
            for wing in site.wings
            for court in site.courts
        )
    assert past > 4, "ranges run on past their courts"
