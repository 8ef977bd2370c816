"""A survey of small houses, and what its rows say but for how long they took."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from genhouse.core.engines import opened
from genhouse.model.brief import Brief
from genhouse.survey import run, store
from genhouse.survey.request import Request
from genhouse.survey.row import COLUMNS

SAME = tuple(name for name in COLUMNS if name != "seconds")


def asked(houses: int = 12) -> Request:
    brief = Brief(plot_least=(18, 20), plot_most=(22, 25))
    return Request(first=40, end=40 + houses, brief=brief)


def made(folder: Path, words: str = "here", houses: int = 12) -> list[Any]:
    """The rows of such a survey, made there by some engine."""
    with opened(words, 2) as engine, run.surveyed(asked(houses), folder, engine):
        return rows(folder)


def rows(folder: Path) -> list[Any]:
    with store.opened(folder) as table:
        return table.read("n", *SAME, where="ORDER BY n")
