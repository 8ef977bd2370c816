"""``compare.html``: what changed between two surveys, kind by kind, before, after and the difference."""

from __future__ import annotations

from typing import Any

from genhouse.core.progress import told
from genhouse.generate.remade import line, read_recipe
from genhouse.model.voxels import Voxels
from genhouse.outputs.pages import data_address, rendered
from genhouse.outputs.pictures import picture
from genhouse.survey.compare import FINDINGS, OUTCOME, TABLES, Comparison, Kind
from genhouse.survey.difference import LEGEND, difference
from genhouse.survey.sides import Maker

SIZE = (520, 430)
PICTURED = 8
"""Kinds of change that are pictured: the commonest."""
NONE = "Not pictured: that genhouse is not at hand to make the house again."


def headline(kind: Kind) -> str:
    """A kind of change in a few words."""
    if kind.first == OUTCOME:
        return "{}, then {}".format(*kind.changes[0].outcome)
    if kind.first == TABLES:
        return "the same cells, told otherwise"
    if kind.first == FINDINGS:
        return "the same house, with other draws before it"
    return f"from the {kind.first} on: {', '.join(kind.stages)}"


def figures_said(kind: Kind) -> str:
    """Which figures move, from which mean to which."""
    said = (f"{name.replace('_', ' ')} {a:.4g} → {b:.4g}" for name, a, b in kind.means)
    return "; ".join(said)


def page(
    title: str, found: Comparison, before: Maker | None, after: Maker | None, words: str
) -> bytes:
    """The page.  before, after: what makes the houses of either side, where that can be had."""
    kinds = [
        _shown(kind, before, after)
        for kind in told("pictures", found.kinds[:PICTURED], min(PICTURED, len(found.kinds)))
    ]
    kinds += [_shown(kind, None, None) for kind in found.kinds[PICTURED:]]
    return rendered(
        "genhouse.survey",
        "compare.html.j2",
        title=title,
        words=words,
        found=found,
        kinds=kinds,
        legend=[(entry.name, entry.colour) for entry in LEGEND[1:]],
    )


def _shown(kind: Kind, before: Maker | None, after: Maker | None) -> dict[str, Any]:
    example = kind.changes[0]
    pictures, cells, note = [], None, ""
    old, new = (make(example.recipe) if make else None for make in (before, after))
    for name, house in (("before", old), ("after", new)):
        if house is not None:
            pictures.append((name, _address(house)))
    if old is not None and new is not None:
        unlike = difference(old, new)
        cells = unlike.cells
        if cells:
            image = picture.jpeg(unlike.picture(SIZE))
            pictures.append((f"{cells} cells differ", data_address(image)))
    elif before is None or after is None:
        note = NONE
    return {
        "headline": headline(kind),
        "count": len(kind.changes),
        "figures": figures_said(kind),
        "line": line(read_recipe(example.recipe)),
        "others": [line(read_recipe(c.recipe)) for c in kind.changes[1:6]],
        "least": min(change.cells for change in kind.changes),
        "most": max(change.cells for change in kind.changes),
        "pictures": pictures,
        "note": note,
    }


def _address(house: Voxels) -> str:
    return data_address(picture.jpeg(picture.seen(house, "outside", size=SIZE)))
