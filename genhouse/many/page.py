"""The page of a contact sheet: pictures, plans, room graphs and figures, with no network."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from genhouse.many.sheet import Entry
from genhouse.outputs.figures.named_figures import NAMED
from genhouse.outputs.guide.guide import data_address, rendered
from genhouse.outputs.plans.diagram import tint

FARTHEST = 0.8
"""The distance at which a cell of a table of distances is quite dark."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Article:
    """A house on the page.  command: what makes it.  note: how it stands among the others."""

    entry: Entry
    command: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """title, lead: at the head.  method: how the choice was made.  aims: names of figures asked for.

    seen: what the pictures show, in words.
    """

    title: str
    lead: str
    method: tuple[str, ...]
    aims: tuple[str, ...]
    seen: str


Rows = Sequence[Sequence[float]]


def page(words: Words, articles: Sequence[Article], apart: Sequence[tuple[str, Rows]]) -> bytes:
    """One HTML document in UTF-8.  apart: distances between the houses, in rows, with what they
    measure."""
    return rendered(
        "genhouse.many",
        "page.html.j2",
        words=words,
        articles=[_shown(article) for article in articles],
        columns=[(figure.title, figure.unit, figure.name in words.aims) for figure in NAMED],
        meanings=[(figure.title, figure.meaning, figure.name) for figure in NAMED],
        apart=[(said, _table(rows)) for said, rows in apart],
        scale=[tint(n / 6) for n in range(7)],
    )


def _shown(article: Article) -> dict[str, Any]:
    card = article.entry.card
    return {
        "heading": article.entry.heading,
        "lines": article.entry.lines,
        "note": article.note,
        "command": article.command,
        "picture": data_address(card.picture),
        "plans": card.plans,
        "graph": card.graph,
        "figures": [
            (figure.title, figure.text(figure.read(card.figures)), figure.unit) for figure in NAMED
        ],
    }


def _table(apart: Rows) -> list[list[tuple[str, str]]]:
    """Text and colour of each distance; a house's distance from itself is left blank."""
    return [
        [
            ("", "none") if n == own else (f"{value:.2f}", tint(min(1.0, value / FARTHEST)))
            for n, value in enumerate(row)
        ]
        for own, row in enumerate(apart)
    ]
