"""Bill: a materials list counts exactly the pieces that the cells hold."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import numpy as np

from genhouse.inspection.verdict import Finding, Verdict
from genhouse.model.voxels import Voxels

Row = tuple[str, str, str, int]
"""stage, material, piece, count"""


def bill(voxels: Voxels, rows: Iterable[Row] | None) -> Verdict:
    """Compare a list with the arrays, line by line; rows: None where there is no list."""
    if rows is None:
        return Verdict(check="bill", findings=(), evidence="no list to hold the cells to")
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
    numbers = (voxels.stage[filled], voxels.material[filled], voxels.form[filled])
    tables = tuple(map(len, (about.stages, about.materials, about.forms)))
    kinds, counts = np.unique(np.ravel_multi_index(numbers, tables), return_counts=True)
    there: Counter[tuple[str, str, str]] = Counter()
    rows = zip(*(n.tolist() for n in np.unravel_index(kinds, tables)), counts.tolist(), strict=True)
    for stage, material, form, count in rows:
        key = (about.stages[stage], about.materials[material].name, about.forms[form].piece)
        there[key] += count
    return there
