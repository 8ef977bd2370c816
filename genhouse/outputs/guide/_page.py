"""The pieces of the guide's page, as HTML; what is said in them is escaped here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from pathlib import Path
from string import Template

SKELETON = Path(__file__).with_name("guide.html")

NUMBER, ROW, GAPS = "number", "row", "gaps"
"""Kinds of column: right-aligned numbers, the name of the row, and gaps in a row of their own."""
_OPEN = {"": "<td>", NUMBER: '<td class="n">', ROW: '<th scope="row">', GAPS: '<td class="gaps">'}
_HEAD = {"": '<th scope="col">', NUMBER: '<th scope="col" class="n">'}

Columns = Sequence[tuple[str, str]]
"""The heading of each column and its kind, empty for plain words."""
COUNTED: Columns = (("Material", ""), ("Piece", ""), ("Count", NUMBER))


def whole(**pieces: str) -> str:
    """The whole page."""
    return Template(SKELETON.read_text("utf-8").rstrip()).substitute(pieces)


def table(
    caption: str, columns: Columns, rows: Iterable[Sequence[object]], total: int | None = None
) -> str:
    """A table; total: what its last column comes to, in a row below."""
    heads = "".join(f"{_HEAD.get(kind, _HEAD[''])}{word}</th>" for word, kind in columns)
    lines = "".join(f"<tr>{_cells(columns, row)}</tr>\n" for row in rows)
    foot = (
        ""
        if total is None
        else f'<tfoot><tr><th scope="row" colspan="{len(columns) - 1}">In all</th>'
        f'<td class="n">{total}</td></tr></tfoot>\n'
    )
    return (
        f"<table>\n<caption>{caption}</caption>\n<thead><tr>{heads}</tr></thead>\n"
        f"<tbody>\n{lines}</tbody>\n{foot}</table>\n"
    )


def _cells(columns: Columns, row: Sequence[object]) -> str:
    return "".join(
        f"{_OPEN[kind]}{escape(str(value))}</{_OPEN[kind][1:3]}>"
        for (_, kind), value in zip(columns, row, strict=True)
    )


def cautions(found: Iterable[tuple[str, str]]) -> str:
    """A list of fittings and what a builder must heed; empty for none."""
    items = "".join(
        f"<li><strong>{escape(fitting.capitalize())}.</strong> {escape(sentence)}</li>\n"
        for fitting, sentence in found
    )
    return f"<ul>\n{items}</ul>\n" if items else ""


def terms(pairs: Iterable[tuple[str, str]]) -> str:
    """Words and what they stand at, for a list of figures."""
    return "".join(
        f"<div><dt>{escape(word)}</dt><dd>{escape(value)}</dd></div>\n" for word, value in pairs
    )


def figure(address: str, alt: str, *, kind: str = "", caption: str = "") -> str:
    """A picture by its address; empty for none."""
    if not address:
        return ""
    style = f' class="{kind}"' if kind else ""
    below = f"<figcaption>{caption}</figcaption>" if caption else ""
    return f'<figure{style}><img src="{address}" alt="{alt}">{below}</figure>\n'


def plan(drawing: str, number: int, count: int) -> str:
    """A plan, which is SVG."""
    return (
        f'<figure class="plan">{drawing}<figcaption>Storey {number} of {count}. '
        "North is up; all lengths are in cells.</figcaption></figure>\n"
    )


def stage(name: str, heading: str, words: str, picture: str, bill: str) -> str:
    """The section of one building stage, its picture beside its words and its bill."""
    shown = figure(picture, f"The house after the stage {name}.", kind="picture")
    bare = "" if shown else " bare"
    return (
        f'<section class="stage" id="stage-{name}">\n<h3>{escape(heading)}</h3>\n'
        f'<div class="step{bare}">\n{shown}<div class="words">\n<p>{escape(words)}</p>\n{bill}'
        "</div>\n</div>\n</section>\n"
    )
