"""Parts to cells: every cell of a part and no other, and never two parts in one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from genhouse.core.box import Box
from genhouse.core.forms import FORMS
from genhouse.model.laid import Laid
from genhouse.model.part import Part
from genhouse.model.raster import raster
from tests.houses import cells, house


@pytest.mark.parametrize("seed", range(4))
def test_cells_hold_what_their_part_says(seed: int) -> None:
    found = house(seed)
    v, roles = found.voxels, dict(found.plan.palette.roles)
    for part in found.plan.parts[::7]:
        x, y, z = part.box[:3]
        assert FORMS[v.form[x, y, z]].name == part.form == v.about.forms[v.form[x, y, z]].name
        assert v.about.materials[v.material[x, y, z]].name == roles[part.role].name
        assert v.about.stages[v.stage[x, y, z]] == part.stage


@pytest.mark.parametrize("seed", range(4))
def test_rooms_hold_their_volume(seed: int) -> None:
    """Floor surface up to the ceiling, or to the roof above; air and fittings alike."""
    found = house(seed)
    flue = {c[:2] for c in cells(found, "flue")}
    roof = found.voxels.stage == found.voxels.about.stages.index("roof")
    for at in cells(found, *found.plan.palette.having("void")):
        roof[at] = False
    for room in found.plan.rooms:
        ids = found.voxels.room == room.id
        floor = {(x, y) for x, y in np.argwhere(ids[:, :, room.floor]).tolist()}
        assert floor | (flue if room.to_roof else set()) >= {
            c for r in room.rects for c in r.cells()
        }
        assert all(room.has(*c) for c in floor)
        if room.to_roof:
            for x, y in floor:
                over = np.flatnonzero(roof[x, y])
                assert np.flatnonzero(ids[x, y]).max() < over[over >= room.floor].min()


def test_two_parts_in_one_cell_are_refused_by_name() -> None:
    design = house(2).plan
    twice = Part("lamps", "lamp", "whole", design.laid.parts[0].box)
    with pytest.raises(ValueError, match="already set by"):
        raster(replace(design, laid=design.laid.with_parts([twice])))


@pytest.mark.parametrize(
    "box", [Box(-1, 0, 5, 1, 1, 6), Box(0, 0, 5, 999, 1, 6), Box(0, 0, 998, 1, 1, 999)]
)
def test_a_part_outside_the_plot_is_refused(box: Box) -> None:
    design = house(2).plan
    with pytest.raises(ValueError, match="outside the plot"):
        design.laid.with_parts([Part("lamps", "lamp", "whole", box)])


def test_a_form_that_does_not_exist_is_refused() -> None:
    with pytest.raises(ValueError, match="no form is called 'cube'"):
        Part("walls", "infill", "cube", Box.cell(0, 0, 0))


def test_arrays_are_read_only() -> None:
    v = house(2).voxels
    for array in (v.material, v.form, v.stage, v.room, v.shapes):
        with pytest.raises(ValueError, match="read-only"):
            array[(0,) * array.ndim] = 1


def test_cells_are_numbered_as_the_grid_is() -> None:
    parts = tuple(
        Part("walls", "infill", "whole", box)
        for box in (Box(0, 1, 2, 3, 3, 4), Box(4, 0, 0, 5, 1, 1), Box(1, 4, 3, 5, 5, 6))
    )
    size = (5, 6, 7)
    found = np.zeros(size, dtype=np.intp)
    laid = Laid.of(parts, size)
    found.reshape(-1)[laid.cell] = laid.part + 1
    wanted = np.zeros_like(found)
    for n, (x0, y0, z0, x1, y1, z1) in enumerate((p.box for p in parts), 1):
        wanted[x0:x1, y0:y1, z0:z1] = n
    assert (found == wanted).all()
    assert len(laid.cell) == np.count_nonzero(wanted)


def test_parts_in_building_order_set_what_they_set_before() -> None:
    """Stage by stage, those of a stage as they were laid."""
    stages = ("roof", "walls", "frame", "walls")
    boxes = (
        Box(0, 1, 2, 3, 3, 4),
        Box(4, 0, 0, 5, 1, 1),
        Box(1, 4, 3, 5, 5, 6),
        Box(0, 0, 0, 1, 1, 3),
    )
    parts = [Part(stage, "post", "whole", box) for stage, box in zip(stages, boxes, strict=True)]
    wanted = Laid.of([parts[n] for n in (2, 1, 3, 0)], (5, 6, 7))
    found = Laid.of(parts, (5, 6, 7)).in_building_order()
    assert found.parts == wanted.parts
    for name in ("box", "form", "part", "cell"):
        assert (getattr(found, name) == getattr(wanted, name)).all()
