"""Standing: hung together with the ground by faces; water held on every side."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from genhouse.inspection.standing import standing
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
