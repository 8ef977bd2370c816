"""Every check, on one cutting of the house into sub-cells."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from msgspec import Struct

from genhouse.inspection.access import access, walk
from genhouse.inspection.bill import Row, bill
from genhouse.inspection.light import light as lamplight
from genhouse.inspection.rooms import headroom, rooms
from genhouse.inspection.standing import standing
from genhouse.inspection.subcells import subcells
from genhouse.inspection.verdict import Finding, Verdict
from genhouse.inspection.weather import weather
from genhouse.model.brief import LAMPLIGHT
from genhouse.model.voxels import Voxels

CHECKS = ("weather", "standing", "access", "headroom", "rooms", "light", "bill")


class Report(Struct, frozen=True, kw_only=True):
    """The verdicts on one house, in the order of CHECKS.

    clean: whether every rule is kept.  findings: what breaks them, each with its cells.

    >>> Report(verdicts=()).clean
    True
    """

    verdicts: tuple[Verdict, ...]

    @property
    def clean(self) -> bool:
        return all(verdict.kept for verdict in self.verdicts)

    @property
    def findings(self) -> tuple[Finding, ...]:
        return tuple(finding for verdict in self.verdicts for finding in verdict.findings)

    def plain(self) -> tuple[dict[str, Any], ...]:
        """The verdicts as plain values, for a document."""
        return tuple(
            {
                "check": v.check,
                "kept": v.kept,
                "evidence": v.evidence,
                "findings": [
                    {"sentence": f.sentence, "where": [list(c) for c in f.where], "count": f.count}
                    for f in v.findings
                ],
            }
            for v in self.verdicts
        )


def inspect(
    voxels: Voxels,
    *,
    programme: Sequence[str] = (),
    rows: Iterable[Row] | None = None,
    light: int = LAMPLIGHT,
) -> Report:
    """Inspect a house.  rows: its materials list, checked where given.  light: least lux at night."""
    sub = subcells(voxels)
    way = walk(voxels, sub)
    verdicts = [
        weather(voxels, sub),
        standing(voxels, sub),
        access(voxels, sub, way),
        headroom(voxels, way),
        rooms(voxels, programme),
        lamplight(voxels, way, light),
    ]
    if rows is not None:
        verdicts.append(bill(voxels, rows))
    return Report(verdicts=tuple(verdicts))
