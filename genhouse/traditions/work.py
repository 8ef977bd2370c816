"""The order of building as a tradition has it: steps of one operation each, within the stages of a
house.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated, Literal

from genhouse.core.sentences import closest
from genhouse.model.part import STAGES
from genhouse.traditions.reading import Of, Table

StoreyName = Literal["", "low", "high"]


class Work(Table, frozen=True, kw_only=True):
    """One step; see the tradition's file for the meaning of each field."""

    name: str
    stage: str
    title: str
    say: tuple[str, ...]
    roles: tuple[Annotated[str, Of("role")], ...] = ()
    storey: StoreyName = ""
    by: Literal["layer", "room"] = "layer"
    row: tuple[str, ...] = ()


def amiss(steps: Sequence[Work]) -> Iterator[str]:
    """A sentence for each rule that steps break: known stages, and the last of each takes all that is
    left.
    """
    for work in steps:
        if work.stage not in STAGES:
            yield f"{work.name}: there is no building stage {work.stage!r}; {closest(work.stage, STAGES)}"
    for stage in STAGES:
        last = [work for work in steps if work.stage == stage][-1:]
        if not last or last[0].roles or last[0].storey:
            yield f"{stage}: its last step must set all that is left, without roles or storey"
