"""Roofs over sites of every shape: covered, closed, drained, carried, and no eaves where none belong."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from genhouse.core.box import Rect
from genhouse.inspection.standing import standing
from genhouse.inspection.subcells import subcells
from genhouse.inspection.weather import weather
from genhouse.model.brief import RoofWish
from genhouse.model.raster import raster
from genhouse.model.roof import ROOF_FORMS
from genhouse.outputs.figures._loads import loads
from genhouse.outputs.figures._water import drained
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.slopes import NONE
from tests.stages.roofs.shapes import Shapes, site_of
from tests.stages.roofs.shells import Shell, shell

FORMS = (None, "inward", *ROOF_FORMS)
TENS = range(0, 120, 10)


@cache
def shaped(seed: int) -> Shell:
    form = FORMS[seed % len(FORMS)]
    wish = RoofWish() if form == "two-tier" else RoofWish(form=form)  # type: ignore[arg-type]
    return shell(Shapes(seed).one(), wish, seed)


@pytest.mark.parametrize("first", TENS)
def test_every_cell_of_every_wing_is_covered_and_courts_are_open(first: int) -> None:
    for seed in range(first, first + 10):
        found = shaped(seed)
        there = found.roof.top[::2, ::2] != NONE
        for x0, y0, x1, y1 in (wing.rect.grown(-1) for wing in found.site.roofed):
            assert there[x0:x1, y0:y1].all(), seed
        for x0, y0, x1, y1 in (court.grown(-2) for court in found.site.courts):
            assert not there[x0:x1, y0:y1].any(), seed


@pytest.mark.parametrize("first", TENS)
def test_nothing_leads_from_the_sky_into_a_room_or_a_void_and_nothing_hangs(first: int) -> None:
    for seed in range(first, first + 10):
        voxels = raster(shaped(seed).design)
        sub = subcells(voxels)
        assert sub.indoor.any()
        assert (weather(voxels, sub).findings, standing(voxels, sub).findings) == ((), ()), seed


def between_neighbours(found: Shell) -> np.ndarray:
    """Heights of the roof, and a wall past the edge of the plot wherever a wing stands on it."""
    tops = np.pad(np.where(found.roof.top == NONE, 0, found.roof.top).astype(np.int32), 2)
    plot = Rect(0, 0, *found.site.plot)
    for wing in found.site.wings:
        for x, y in wing.rect.grown(1).cells():
            if not plot.has(x, y):
                tops[2 * x + 2 : 2 * x + 4, 2 * y + 2 : 2 * y + 4] = 2 * found.roof.height
    return tops


@pytest.mark.parametrize("first", TENS)
def test_every_column_drains_and_every_piece_is_carried(first: int) -> None:
    for seed in range(first, first + 10):
        found = shaped(seed)
        assert drained(between_neighbours(found), ()).pits == 0, seed
        borne = loads(found.design)
        carried = [n for n in borne.steps if n > len(borne.parts)]
        assert len(carried) == borne.pieces, seed


def test_over_the_roof_of_a_lower_wing_there_are_no_eaves() -> None:
    """Past the walls of a wing nothing lies over a lower one as high as its own eaves or higher."""
    seen = 0
    for seed in range(TENS.stop):
        found = shaped(seed)
        styles = dict(found.roof.styles)
        for wing in found.site.wings:
            out = wing.rect.grown(2)
            for lower in (w for w in found.site.roofed if wing.over(w)):
                near = lower.rect.grown(-1).meet(out)
                for x, y in near.cells() if near.area else ():
                    if not any(w.rect.grown(1).has(x, y) for w in found.site.wings if w != lower):
                        seen += 1
                        top = found.roof.top[2 * x : 2 * x + 2, 2 * y : 2 * y + 2].max()
                        ridge = styles[lower].base + styles[lower].courses[-1][1]
                        assert top <= ridge, (seed, wing.name, lower.name)
    assert seen > 500


def test_eaves_go_on_in_one_line_from_wing_to_wing_in_line() -> None:
    """Past the end of a court as along it, where the flanks of two wings are one."""
    site = site_of(
        [
            Wing(name="range", axis="x", rect=Rect(0, 8, 15, 15)),
            Wing(name="ear", axis="x", rect=Rect(15, 8, 20, 15)),
        ],
        [Rect(1, 0, 14, 8)],
    )
    y = site.wings[0].rect.y0
    row = shell(site, RoofWish(form="gable")).roof.top[:, 2 * y - 1]
    eave = shell(site, RoofWish(form="gable")).roof.top[:, 2 * y - 3]
    along = range(2 * site.wings[0].rect.x0, 2 * site.wings[1].rect.x1)
    assert len({int(row[x]) for x in along}) == 1
    assert {int(eave[x]) for x in along} == {NONE}
