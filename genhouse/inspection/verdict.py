"""What a check hands back: whether its rule is kept, and where it is not."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from msgspec import Struct

Cell = tuple[int, int, int]
SHOWN = 8
"""Cells named with a finding; the count says how many there are."""


class Finding(Struct, frozen=True, kw_only=True):
    """One fault.  where: the first few of its cells.  count: how many cells it has."""

    check: str
    where: tuple[Cell, ...]
    count: int
    sentence: str

    def __str__(self) -> str:
        place = f" at {self.where[0]}" if self.where else ""
        more = f" and {self.count - 1} more" if self.count > 1 else ""
        return f"{self.check}: {self.sentence}{place}{more}"


class Verdict(Struct, frozen=True, kw_only=True):
    """check: its name.  evidence: what was looked at, in one sentence."""

    check: str
    findings: tuple[Finding, ...]
    evidence: str

    @property
    def kept(self) -> bool:
        return not self.findings


def finding(check: str, faults: npt.NDArray[np.bool_], sentence: str) -> tuple[Finding, ...]:
    """No finding where nothing is marked; else one with the marked cells [X, Y, Z] in array order."""
    flat = np.flatnonzero(faults)
    if not flat.size:
        return ()
    cells = np.stack(np.unravel_index(flat[:SHOWN], faults.shape), axis=1)
    where = tuple((int(x), int(y), int(z)) for x, y, z in cells)
    return (Finding(check=check, where=where, count=int(flat.size), sentence=sentence),)


def cells_of(sub: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """Which cells hold a marked sub-cell: bool [4X, 4Y, 4Z] to [X, Y, Z]."""
    x, y, z = (n // 4 for n in sub.shape)
    return np.asarray(sub.reshape(x, 4, y, 4, z, 4).any(axis=(1, 3, 5)))
