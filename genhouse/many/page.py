"""The page of a contact sheet: pictures, plans, room graphs and figures, with no network."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from genhouse.many.sheet import Entry, sheet
from genhouse.outputs.figures.named_figures import NAMED
from genhouse.outputs.pages import data_address, rendered
from genhouse.outputs.plans.diagram import tint
from genhouse.outputs.written import Marker, sealed

FARTHEST = 0.8
"""The distance at which a cell of a table of distances is quite dark."""


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


def page(words: Words, entries: Sequence[Entry], apart: Sequence[tuple[str, Rows]]) -> bytes:
    """One HTML document in UTF-8.  apart: distances between the houses, in rows, with what they
    measure."""
    return rendered(
        "genhouse.many",
        "page.html.j2",
        words=words,
        articles=[_shown(entry) for entry in entries],
        columns=[(figure.title, figure.unit, figure.name in words.aims) for figure in NAMED],
        meanings=[(figure.title, figure.meaning, figure.name) for figure in NAMED],
        apart=[(said, _table(rows)) for said, rows in apart],
        scale=[tint(n / 6) for n in range(7)],
    )


def set_files(
    words: Words,
    entries: Sequence[Entry],
    apart: Sequence[tuple[str, Rows]],
    marker: Marker,
    said: Mapping[str, Any],
    more: Mapping[str, bytes] = MappingProxyType({}),
) -> dict[str, bytes]:
    """A set of houses as files: its sheet, its page, and the document that lists them all.

    said: what the document says beside its format.  more: files of the houses.
    """
    import msgspec

    text = msgspec.json.encode({"format": marker.format, **said}, order="deterministic")
    files = {
        "sheet.png": sheet(words.title, words.lead, entries),
        marker.file.replace(".json", ".html"): page(words, entries, apart),
        marker.file: msgspec.json.format(text, indent=1) + b"\n",
        **more,
    }
    return sealed(files, marker.file)


def _shown(entry: Entry) -> dict[str, Any]:
    card = entry.card
    return {
        "heading": entry.heading,
        "lines": entry.lines,
        "note": entry.note,
        "command": entry.command,
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
