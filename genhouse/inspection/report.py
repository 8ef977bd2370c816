"""Every check, on one cutting of the house into sub-cells."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from msgspec import Struct

from genhouse.core.region import Corner
from genhouse.inspection.access import access, walk
from genhouse.inspection.bill import Row, bill
from genhouse.inspection.carried import carried
from genhouse.inspection.closed import closed
from genhouse.inspection.fabric import fabric
from genhouse.inspection.floors import floors
from genhouse.inspection.guards import guards
from genhouse.inspection.light import light as lamplight
from genhouse.inspection.party import party
from genhouse.inspection.plot import plot
from genhouse.inspection.record import record as recorded
from genhouse.inspection.rooms import headroom, rooms
from genhouse.inspection.skin import skin
from genhouse.inspection.stairs import stairs
from genhouse.inspection.standing import standing
from genhouse.inspection.subcells import subcells
from genhouse.inspection.verdict import Finding, Verdict
from genhouse.inspection.volumes import volumes
from genhouse.inspection.weather import weather
from genhouse.model.brief import LAMPLIGHT
from genhouse.model.record import Record
from genhouse.model.voxels import Voxels

CHECKS = (
    "weather",
    "skin",
    "closed",
    "standing",
    "carried",
    "floors",
    "guards",
    "stairs",
    "access",
    "headroom",
    "rooms",
    "volumes",
    "light",
    "plot",
    "party",
    "bill",
    "record",
)


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
    record: Record | None = None,
    light: int = LAMPLIGHT,
    outline: Sequence[Corner] = (),
) -> Report:
    """Inspect a house.  rows: its materials list.  record: what it was when it was saved.  light: least
    lux at night.  outline: corners of the plot, where it is no rectangle.

    Without a list or a record there is nothing to hold the cells to, and these verdicts say so.
    """
    sub = subcells(voxels)
    way = walk(voxels, sub)
    cells = fabric(voxels, sub)
    return Report(
        verdicts=(
            weather(voxels, sub),
            skin(voxels, cells),
            closed(voxels, cells),
            standing(voxels, sub),
            carried(voxels, cells),
            floors(voxels, cells),
            guards(voxels, cells, way),
            stairs(voxels, cells),
            access(voxels, way),
            headroom(voxels, way),
            rooms(voxels, programme),
            volumes(voxels, cells),
            lamplight(voxels, way, light),
            plot(voxels, outline),
            party(voxels, sub),
            bill(voxels, rows),
            recorded(voxels, record),
        )
    )
