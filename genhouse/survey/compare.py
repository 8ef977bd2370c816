"""Two surveys row by row: which recipes make another house, from which stage on, and in what.

Changes that begin at the same stage and move the same things the same way are of one kind, and are told
together (``likeness.py``).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

from msgspec import Struct

from genhouse.core.errors import BriefError, UnreadableError
from genhouse.core.reading import first_line, said
from genhouse.core.sentences import quoted
from genhouse.model.part import STAGES
from genhouse.survey.likeness import Change, alike
from genhouse.survey.row import DIGESTS, FAILED, FIGURES
from genhouse.survey.store import FILE

ORDER = ("site", "rooms", *(stage for stage in STAGES if stage != "site"))
"""In which order stages are looked at: what comes first is where a change comes from."""
OUTCOME, TABLES, FINDINGS = "outcome", "tables", "findings"
"""Where a change begins that is none of cells: whether there is a house; what the cells' numbers mean;
what was found in draws before it."""
ANY, FAULT = "any", "fault"
FAIL_ON = (ANY, OUTCOME, FAULT, TABLES, FINDINGS, *ORDER)
SHOWN = 5
"""Figures told of one kind of change."""


class Kind(Struct, frozen=True, kw_only=True):
    """Changes that are alike, the one in their midst first.  stages: those that differ in most of them.

    means: figures that move most, with their means before and after.
    """

    first: str
    stages: tuple[str, ...]
    changes: tuple[Change, ...]
    means: tuple[tuple[str, float, float], ...]


class Comparison(Struct, frozen=True, kw_only=True):
    """both: recipes in both; gone, come: in one alone.  kinds: the commonest first."""

    both: int
    gone: int
    come: int
    kinds: tuple[Kind, ...]

    @property
    def changes(self) -> tuple[Change, ...]:
        return tuple(change for kind in self.kinds for change in kind.changes)

    def fails(self, words: Sequence[str]) -> bool:
        """Whether some change is of a sort that is asked for."""
        return any(
            ANY in words
            or change.first in words
            or (FAULT in words and change.fault)
            or bool(set(words) & set(change.stages))
            for change in self.changes
        )


def fail_words(text: str) -> tuple[str, ...]:
    """Sorts of change, commas between.  Raises BriefError."""
    words = tuple(word.strip() for word in text.split(",") if word.strip())
    for word in words:
        if word not in FAIL_ON:
            raise BriefError(f"fail-on: {quoted(word)} is none; try {', '.join(FAIL_ON)}")
    return words


def compare(old: Path, new: Path) -> Comparison:
    """Compare the rows of two folders.  Raises UnreadableError where they have no rows."""
    for folder in (old, new):
        if not (folder / FILE).is_file():
            raise UnreadableError(f"{said(folder)} is no survey: it has no {FILE}")
    try:
        with closing(sqlite3.connect(":memory:")) as table:
            table.row_factory = sqlite3.Row
            table.execute("ATTACH ? AS a", (f"{old / FILE}",))
            table.execute("ATTACH ? AS b", (f"{new / FILE}",))
            return _compared(table)
    except sqlite3.Error as error:
        raise UnreadableError(f"{said(old)} and {said(new)}: {first_line(error)}") from error


def _compared(table: sqlite3.Connection) -> Comparison:
    shared = _columns(table, "a") & _columns(table, "b")
    (both,) = _one(table, "SELECT count(*) FROM a.rows x JOIN b.rows y USING (recipe)")
    (before,), (after,) = (_one(table, f"SELECT count(*) FROM {s}.rows") for s in "ab")
    names = ("outcome", "findings", "digest", *DIGESTS, *FIGURES)
    told = [name for name in names if name in shared]
    words = ", ".join(f"x.{name} AS a_{name}, y.{name} AS b_{name}" for name in told)
    unlike = [n for n in ("outcome", "findings", "digest", *DIGESTS) if n in shared]
    differ = " OR ".join(f"x.{name} IS NOT y.{name}" for name in unlike)
    rows = table.execute(
        f"SELECT recipe, {words} FROM a.rows x JOIN b.rows y USING (recipe) WHERE {differ} ORDER BY y.n"
    )
    changes = [_change(row, told) for row in rows]
    return Comparison(both=both, gone=before - both, come=after - both, kinds=_kinds(changes))


def _columns(table: sqlite3.Connection, side: str) -> set[str]:
    found = {row["name"] for row in table.execute(f"PRAGMA {side}.table_info(rows)")}
    if not {"n", "recipe", "outcome", "digest"} <= found:
        raise sqlite3.DatabaseError("its table is of no survey")
    return found


def _one(table: sqlite3.Connection, words: str) -> Any:
    return table.execute(words).fetchone()


def _change(row: sqlite3.Row, told: Sequence[str]) -> Change:
    def moved(name: str) -> bool:
        return name in told and row[f"a_{name}"] != row[f"b_{name}"]

    stages = tuple(stage for stage in ORDER if moved(f"digest_{stage}"))
    outcome = (row["a_outcome"], row["b_outcome"])
    figures = tuple(
        (name, row[f"a_{name}"], row[f"b_{name}"])
        for name in FIGURES
        if moved(name) and None not in (row[f"a_{name}"], row[f"b_{name}"])
    )
    otherwise = TABLES if moved("digest") else FINDINGS
    first = OUTCOME if outcome[0] != outcome[1] else (*stages, otherwise)[0]
    return Change(
        recipe=row["recipe"],
        first=first,
        stages=stages,
        cells=int(sum(abs(b - a) for name, a, b in figures if name.startswith("cells_"))),
        figures=figures,
        outcome=outcome,
        fault=_at_fault(row, "b") and not _at_fault(row, "a"),
    )


def _at_fault(row: sqlite3.Row, side: str) -> bool:
    return row[f"{side}_outcome"] == FAILED or bool(row[f"{side}_findings"])


def _kinds(changes: Sequence[Change]) -> tuple[Kind, ...]:
    """By where they begin and which way whether there is a house has gone; of these, by likeness."""
    found = alike(changes, lambda one: (one.first, one.outcome if one.first == OUTCOME else ()))
    kinds = [
        Kind(
            first=some[0].first,
            stages=tuple(s for s in ORDER if 2 * sum(s in c.stages for c in some) >= len(some)),
            changes=tuple(some),
            means=_means(some),
        )
        for some in found
    ]
    return tuple(sorted(kinds, key=lambda kind: -len(kind.changes)))


def _means(changes: Sequence[Change]) -> tuple[tuple[str, float, float], ...]:
    """Figures that move in most of the changes, and their means over those in which they move."""
    moves: dict[str, list[tuple[float, float]]] = {}
    for change in changes:
        for name, before, after in change.figures:
            if not name.startswith("cells_"):
                moves.setdefault(name, []).append((before, after))
    often = sorted(moves.items(), key=lambda item: (-len(item[1]), FIGURES.index(item[0])))
    return tuple(
        (name, sum(a for a, _ in pairs) / len(pairs), sum(b for _, b in pairs) / len(pairs))
        for name, pairs in often[:SHOWN]
    )
