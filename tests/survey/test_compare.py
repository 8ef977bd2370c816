"""Comparing: what changed is found, by the stage where it begins, and counted cell by cell."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from genhouse.core.errors import BriefError
from genhouse.model.voxels import Voxels
from genhouse.survey import store
from genhouse.survey.compare import FINDINGS, OUTCOME, TABLES, compare, fail_words
from genhouse.survey.difference import CAME, OTHER, SAME, WENT, difference
from genhouse.survey.row import COLUMNS
from tests.houses import anyhow

Row = dict[str, object]


def row(seed: int, **changes: object) -> Row:
    whole = dict.fromkeys(COLUMNS, 1) | {name: "d" for name in COLUMNS if "digest" in name}
    said = {"seed": str(seed), "recipe": f'{{"seed":{seed}}}', "outcome": "made", "findings": ""}
    return whole | said | changes


def written(folder: Path, rows: list[Row]) -> Path:
    folder.mkdir()
    with store.opened(folder, new=True) as table:
        table.append([tuple(r[name] for name in COLUMNS) for r in rows])
    return folder


def test_each_change_is_told_from_where_it_begins(tmp_path: Path) -> None:
    old = written(tmp_path / "old", [row(n) for n in range(10)])
    roof = {"digest_roof": "e", "digest_lamps": "e", "digest": "e", "cells_roof": 4, "ridges": 5}
    new = [
        row(1),
        row(2, **roof),
        row(3, **roof | {"ridges": 7}),
        row(4, digest_rooms="e", digest_frame="e", digest="e"),
        row(5, outcome="failed", findings="a fault", digest=None, ridges=None),
        row(6, digest="e"),
        row(7, findings="drawn anew"),
        row(11),
    ]
    found = compare(old, written(tmp_path / "new", new))
    assert (found.both, found.gone, found.come) == (7, 3, 1)
    first = {change.recipe: change.first for change in found.changes}
    wanted = ("roof", "roof", "rooms", OUTCOME, TABLES, FINDINGS)
    assert first == {f'{{"seed":{n}}}': word for n, word in enumerate(wanted, 2)}
    assert [len(kind.changes) for kind in found.kinds] == [2, 1, 1, 1, 1]
    kind = found.kinds[0]
    assert kind.stages == ("roof", "lamps")
    assert [change.cells for change in kind.changes] == [3, 3]
    assert kind.means == (("ridges", 1.0, 6.0),)
    for words, fails in (
        ("any", True),
        ("roof", True),
        ("walls", False),
        ("frame", True),
        ("fault", True),
        ("outcome", True),
        ("", False),
    ):
        assert found.fails(fail_words(words)) is fails, words


def test_what_is_as_it_was_is_no_change(tmp_path: Path) -> None:
    rows = [row(n, seconds=n) for n in range(4)]
    old = written(tmp_path / "old", rows)
    new = written(tmp_path / "new", [r | {"seconds": 9, "version": "2"} for r in rows])
    found = compare(old, new)
    assert (found.both, found.changes) == (4, ())
    assert not found.fails(["any"])


def test_an_unknown_sort_of_change_is_refused() -> None:
    with pytest.raises(
        BriefError, match="'roofs' is none; try any, outcome, fault, tables, findings"
    ):
        fail_words("any,roofs")


def named(v: Voxels) -> dict[tuple[int, int, int], tuple[str, str]]:
    """Material and form of each cell, by their names, one by one."""
    return {
        (x, y, z): (
            v.about.materials[v.material[x, y, z]].name,
            v.about.forms[v.form[x, y, z]].name,
        )
        for x, y, z in np.argwhere(v.form > 0).tolist()
    }


def test_cells_that_differ_are_counted_as_one_would_one_by_one() -> None:
    old, new = anyhow(7).voxels, anyhow(8).voxels
    found, a, b = difference(old, new), named(old), named(new)
    want = Counter(
        SAME if a.get(c) == b.get(c) else CAME if c not in a else WENT if c not in b else OTHER
        for c in {*a, *b}
    )
    counts = np.bincount(found.fate.ravel(), minlength=5).tolist()
    assert counts[1:] == [want[n] for n in (SAME, CAME, WENT, OTHER)]
    assert found.cells == sum(want.values()) - want[SAME]


def test_a_house_does_not_differ_from_itself() -> None:
    assert difference(anyhow(7).voxels, anyhow(7).voxels).cells == 0
