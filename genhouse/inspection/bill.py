"""Bill: a materials list counts exactly the pieces that the cells hold."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import numpy as np

from genhouse.inspection.verdict import Finding, Verdict
from genhouse.model.voxels import Voxels

Row = tuple[str, str, str, int]
"""stage, material, piece, count"""


def bill(voxels: Voxels, rows: Iterable[Row]) -> Verdict:
    """Compare a list with the arrays, line by line."""
    there = _pieces(voxels)
    said: Counter[tuple[str, str, str]] = Counter()
    for stage, material, piece, count in rows:
        said[stage, material, piece] += count
    findings = tuple(
        Finding(
            check="bill",
            where=(),
            count=0,
            sentence=f"{', '.join(key)}: the list says {said[key]}, the cells hold {there[key]}",
        )
        for key in sorted(set(there) | set(said))
        if there[key] != said[key]
    )
    return Verdict(
        check="bill", findings=findings, evidence=f"{sum(there.values())} pieces counted"
    )


def _pieces(voxels: Voxels) -> Counter[tuple[str, str, str]]:
    about = voxels.about
    filled = voxels.form > 0
    code = (voxels.stage[filled].astype(np.int64) << 16) | (
        voxels.material[filled].astype(np.int64) << 8
    )
    kinds, counts = np.unique(code | voxels.form[filled], return_counts=True)
    there: Counter[tuple[str, str, str]] = Counter()
    for kind, count in zip(kinds.tolist(), counts.tolist(), strict=True):
        key = (
            about.stages[kind >> 16],
            about.materials[kind >> 8 & 255].name,
            about.forms[kind & 255].piece,
        )
        there[key] += count
    return there
