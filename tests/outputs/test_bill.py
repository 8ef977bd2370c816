"""The bill against counts made on paper, and against the cells."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import numpy as np
import pytest

from genhouse.core.forms import NUMBER
from genhouse.model.voxels import Voxels
from genhouse.outputs.bill import Line, bill, csv_bytes
from tests.outputs.specimens import (
    COURT,
    FRAME,
    PAPER,
    PLASTER,
    TIMBER,
    WALLS,
    Yard,
    designed,
    heap,
)


def counted() -> Voxels:
    """2 posts, 3 courses that face three ways, 4 infill panels, 1 paper leaf, 5 cells of ground."""
    yard = Yard(5, 3, 3)
    yard.set(np.s_[:, 0, 0], stage=COURT)
    yard.set(np.s_[0:2, 1, 0], NUMBER["post"], TIMBER, FRAME)
    for x, side in enumerate(("east", "north", "west")):
        yard.set((x, 0, 1), NUMBER[f"course {side}"], TIMBER, FRAME)
    yard.set(np.s_[0:4, 2, 2], NUMBER["infill x"], PLASTER, WALLS)
    return yard.set((4, 2, 2), NUMBER["leaf near x"], PAPER, WALLS).house()


def test_lines_are_the_counts_made_on_paper() -> None:
    assert bill(counted()) == (
        Line("frame", "dark timber", "course", 3),
        Line("frame", "dark timber", "post", 2),
        Line("walls", "paper", "leaf near", 1),
        Line("walls", "plaster", "infill", 4),
        Line("court", "dark timber", "whole", 5),
    )


@pytest.mark.parametrize("voxels", [designed(), *(heap(seed) for seed in range(5))])
def test_counts_sum_to_the_solid_cells_of_each_material_and_in_all(voxels: Voxels) -> None:
    lines = bill(voxels)
    assert sum(line.count for line in lines) == np.count_nonzero(voxels.form)
    for number, entry in enumerate(voxels.about.materials[1:], 1):
        asked = sum(line.count for line in lines if line.material == entry.name)
        assert asked == np.count_nonzero(voxels.material == number)


def test_no_line_comes_twice_and_none_is_empty() -> None:
    lines = bill(heap(1, (9, 9, 9)))
    assert len({(line.stage, line.material, line.piece) for line in lines}) == len(lines)
    assert min(line.count for line in lines) > 0


def test_an_empty_plot_has_an_empty_bill() -> None:
    assert bill(Yard(2, 2, 2).house()) == ()


def test_the_table_is_read_back_by_another_reader() -> None:
    text = csv_bytes(bill(counted())).decode()
    rows = list(csv.DictReader(io.StringIO(text)))
    assert list(rows[0]) == ["stage", "material", "piece", "count"]
    assert rows[3] == {"stage": "walls", "material": "plaster", "piece": "infill", "count": "4"}
    assert len(rows) == 5


def test_a_name_with_a_comma_stays_one_field() -> None:
    voxels = counted()
    named = replace(voxels.about.materials[TIMBER], name='cedar, "red"')
    table = (voxels.about.materials[0], named, *voxels.about.materials[2:])
    lines = bill(replace(voxels, about=replace(voxels.about, materials=table)))
    rows = list(csv.reader(io.StringIO(csv_bytes(lines).decode())))
    assert {len(row) for row in rows} == {4}
    assert 'cedar, "red"' in {row[1] for row in rows}
