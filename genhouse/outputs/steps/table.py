"""The order of building as a table: ``steps.csv``."""

from __future__ import annotations

from genhouse.outputs.bill import csv_bytes
from genhouse.outputs.steps.steps import Row, Steps


def steps_csv(steps: Steps) -> bytes:
    """A row a run, in placing order, under the names of a row's fields."""
    return csv_bytes(steps.rows, Row)
