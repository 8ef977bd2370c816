"""Bill: the list counts exactly the pieces that the cells hold."""

from __future__ import annotations

import pytest

from genhouse.inspection.bill import bill
from tests.houses import anyhow, rows
from tests.inspection.blocks import Hut


def counted() -> dict[tuple[str, str, str], int]:
    """By hand: 8 x 8 of ground, a ring of 16 three high less two leaves, 25 of roof."""
    return {
        ("site", "plaster", "whole"): 64,
        ("walls", "plaster", "whole"): 46,
        ("walls", "leaf", "leaf near"): 2,
        ("roof", "plaster", "whole"): 25,
    }


def test_the_hut_by_hand() -> None:
    verdict = bill(Hut().voxels(), [(*key, n) for key, n in counted().items()])
    assert verdict.kept
    assert verdict.evidence == "137 pieces counted"


def test_lines_of_one_kind_add_up() -> None:
    split = [(*key, part) for key, n in counted().items() for part in (n - 1, 1)]
    assert bill(Hut().voxels(), split).kept


@pytest.mark.parametrize("change", [-1, 1, 100])
def test_a_wrong_count_is_named(change: int) -> None:
    lines = counted()
    lines["roof", "plaster", "whole"] += change
    (finding,) = bill(Hut().voxels(), [(*key, n) for key, n in lines.items()]).findings
    assert (
        finding.sentence == f"roof, plaster, whole: the list says {25 + change}, the cells hold 25"
    )


@pytest.mark.parametrize("seed", range(4))
def test_a_real_house_against_a_count_of_one_cell_at_a_time(seed: int) -> None:
    v = anyhow(seed).voxels
    assert bill(v, rows(v)).kept
    assert [tuple(vars_) for vars_ in map(_row, anyhow(seed).bill())] == sorted(
        rows(v), key=_order(v)
    )


def _row(line: object) -> tuple[str, str, str, int]:
    return (line.stage, line.material, line.piece, line.count)  # type: ignore[attr-defined]


def _order(v: object):  # type: ignore[no-untyped-def]
    stages = v.about.stages  # type: ignore[attr-defined]
    return lambda row: (stages.index(row[0]), row[1], row[2])
