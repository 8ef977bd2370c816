"""The report: one verdict a check, in a fixed order, as values."""

from __future__ import annotations

import json

import numpy as np

from genhouse.inspection import CHECKS, Verdict, inspect
from genhouse.inspection.verdict import SHOWN, cells_of, finding
from tests.houses import anyhow, rows
from tests.inspection.blocks import Hut


def test_a_verdict_for_each_check_in_order() -> None:
    v = anyhow(2).voxels
    report = inspect(v, rows=rows(v))
    assert tuple(verdict.check for verdict in report.verdicts) == CHECKS
    assert report.clean
    assert all(verdict.evidence for verdict in report.verdicts)


def test_without_a_list_or_a_record_the_verdicts_say_so() -> None:
    report = inspect(anyhow(2).voxels)
    assert tuple(verdict.check for verdict in report.verdicts) == CHECKS
    told = {verdict.check: verdict.evidence for verdict in report.verdicts}
    assert told["bill"].startswith("no list")
    assert told["record"].startswith("no record")


def test_plain_values_are_json() -> None:
    hut = Hut()
    hut.set((7, 7, 5))
    plain = inspect(hut.voxels(), rows=()).plain()
    assert json.loads(json.dumps(plain)) == list(plain)
    broken = {p["check"]: p for p in plain if not p["kept"]}
    assert broken["standing"]["findings"] == [
        {"sentence": "a piece hangs on nothing", "where": [[7, 7, 5]], "count": 1}
    ]


def test_a_finding_shows_a_few_cells_and_counts_all() -> None:
    marked = np.zeros((4, 4, 4), dtype=bool)
    assert finding("x", marked, "nothing") == ()
    marked[1:3] = True
    (found,) = finding("x", marked, "much")
    assert len(found.where) == SHOWN
    assert found.count == 32
    assert found.where[0] == (1, 0, 0)
    assert str(found) == "x: much at (1, 0, 0) and 31 more"


def test_cells_of_marks_the_cell_of_each_sub_cell() -> None:
    sub = np.zeros((8, 8, 8), dtype=bool)
    sub[7, 0, 4] = True
    assert np.argwhere(cells_of(sub)).tolist() == [[1, 0, 1]]


def test_looking_changes_nothing() -> None:
    v = anyhow(2).voxels
    before = v.form.tobytes(), v.room.tobytes()
    assert inspect(v) == inspect(v)
    assert (v.form.tobytes(), v.room.tobytes()) == before
    assert isinstance(inspect(v).verdicts[0], Verdict)
