"""Standing: hung together with the ground by faces; water held on every side."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy import ndimage

from genhouse.core.forms import FORMS, SUB
from genhouse.inspection.standing import _bodies, standing
from tests.inspection.blocks import Hut

LOOSE, SPILT = "a piece hangs on nothing", "water is not held on every side"


def sentences(hut: Hut) -> list[str]:
    return [f.sentence for f in standing(hut.voxels(), hut.sub()).findings]


def test_a_hut_stands_and_the_evidence_says_on_what() -> None:
    verdict = standing(Hut().voxels(), Hut().sub())
    assert verdict.kept
    assert verdict.evidence == "1 solid bodies, 1 on the ground"


@pytest.mark.parametrize(
    ("where", "form", "loose"),
    [
        ((7, 7, 1), "whole", False),
        ((7, 7, 2), "whole", True),
        ((6, 3, 3), "whole", False),
        ((6, 0, 1), "hanging lamp", True),
        ((6, 6, 3), "whole", True),
        ((6, 3, 3), "post", True),
        ((6, 3, 3), "panel west", False),
        ((6, 3, 3), "panel east", True),
        ((3, 3, 3), "hanging lamp", False),
        ((3, 3, 2), "hanging lamp", True),
        ((3, 3, 1), "standing lamp", False),
    ],
)
def test_a_piece_stands_where_it_touches_by_a_face(where: Any, form: str, loose: bool) -> None:
    hut = Hut()
    hut.set(where, form=form)
    assert sentences(hut) == [LOOSE] * loose


def test_a_finding_names_the_loose_cells() -> None:
    hut = Hut()
    hut.set(np.s_[6:8, 7, 5])
    (finding,) = standing(hut.voxels(), hut.sub()).findings
    assert (finding.where, finding.count) == (((6, 7, 5), (7, 7, 5)), 2)


@pytest.mark.parametrize(
    ("where", "form", "spilt"),
    [
        ((6, 6, 0), "whole", True),
        ((6, 6, 1), "half course", True),
        ((7, 6, 0), "half course", True),
    ],
    ids=["nothing below", "nothing beside", "at the edge of the plot"],
)
def test_water_must_be_held(where: Any, form: str, spilt: bool) -> None:
    hut = Hut()
    hut.set(where, "water", form, "court")
    assert sentences(hut) == [SPILT] * spilt


def test_water_in_a_basin_is_held() -> None:
    hut = Hut()
    hut.set(np.s_[5:8, 5:8, 1], stage="court")
    hut.set((6, 6, 1), "water", "half course", "court")
    assert sentences(hut) == []


@pytest.mark.parametrize("gap", [(5, 6, 1), (7, 6, 1), (6, 5, 1), (6, 7, 1), (6, 6, 0)])
def test_water_open_to_one_side_alone_spills(gap: tuple[int, int, int]) -> None:
    """One cell of the kerb is missing, whichever, or the bed."""
    hut = Hut()
    hut.set(np.s_[5:8, 5:8, 1], stage="court")
    hut.set((6, 6, 1), "water", "whole", "court")
    assert sentences(hut) == []
    hut.clear(gap)
    assert sentences(hut) == [SPILT]


def test_water_held_by_half_as_much_spills() -> None:
    hut = Hut()
    hut.set(np.s_[5:8, 5:8, 1], stage="court")
    hut.set((6, 6, 1), "water", "whole", "court")
    hut.set((7, 6, 1), form="half course", stage="court")
    assert sentences(hut) == [SPILT]


def stands(hut: Hut) -> bool:
    """Whether all hangs together with the ground, by scipy's labels of all sub-cells."""
    voxels = hut.voxels()
    x, y, z = voxels.size
    solid = (
        voxels.shapes[voxels.form].transpose(0, 3, 1, 4, 2, 5).reshape(SUB * x, SUB * y, SUB * z)
    )
    labels, count = ndimage.label(solid)
    return len(np.unique(labels[:, :, 0][labels[:, :, 0] > 0])) == int(count)


def in_pieces(bits: np.ndarray[Any, Any]) -> bool:
    return int(ndimage.label(bits)[1]) > 1


@pytest.mark.parametrize("where", [(7, 7, 1), (6, 3, 3), (7, 7, 2), (3, 3, 3)])
def test_cells_tell_what_their_sub_cells_would(where: tuple[int, int, int]) -> None:
    """Of every form, on the ground, on a wall, in the air and under a roof: what stands is known from its
    cells, unless it is in several pieces and some of these may hang on others."""
    for form in FORMS[1:]:
        hut = Hut()
        hut.set(where, form=form.name)
        told, truth = _bodies(hut.voxels()), stands(hut)
        if told is not None or where[2] == 1 or not in_pieces(form.shape):
            assert told == (1 if truth else None), form.name
        assert sentences(hut) == [LOOSE] * (not truth), form.name


def test_a_piece_that_stands_on_one_in_pieces_is_known_by_the_sub_cells() -> None:
    """Feet on ground are enough to stand; what stands on them is asked of the sub-cells."""
    split = [form.name for form in FORMS if in_pieces(form.shape)]
    assert split
    for form in split:
        hut = Hut()
        hut.set((7, 7, 1), form=form)
        hut.set((7, 7, 2))
        assert sentences(hut) == [LOOSE] * (not stands(hut)), form
