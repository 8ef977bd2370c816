"""Houses side by side: their figures, and how unlike each two are, inside and outside."""

from __future__ import annotations

from genhouse.desk.made import features_of, figures_of
from genhouse.desk.task import Answer, told
from genhouse.many.distinct import Features, distance, seen
from genhouse.model.brief import Recipe
from genhouse.outputs.figures.named_figures import NAMED

MOST = 8
"""Houses on a tray."""


def row(recipe: Recipe) -> tuple[Features, tuple[float, ...]]:
    """What is compared of a house, and its figures in the order of ``NAMED``."""
    figures = figures_of(recipe)
    return features_of(recipe), tuple(figure.read(figures) for figure in NAMED)


def compared(
    _first: Recipe, others: tuple[Recipe, ...], rows: tuple[tuple[Features, tuple[float, ...]], ...]
) -> Answer:
    """Figures by name, a value a house; distances between each two, the mean of three outside.

    rows: of all of them.
    """
    assert len(rows) == len(others) + 1
    features = [one for one, _ in rows]
    return told(
        {
            "figures": [
                {"title": f.title, "unit": f.unit, "meaning": f.meaning, "more": f.more}
                | {"texts": [f.text(values[n]) for _, values in rows]}
                | {"values": [values[n] for _, values in rows]}
                for n, f in enumerate(NAMED)
            ],
            "inside": [[round(distance(a, b), 2) for b in features] for a in features],
            "outside": [[round(sum(seen(a, b)) / 3, 2) for b in features] for a in features],
        }
    )
