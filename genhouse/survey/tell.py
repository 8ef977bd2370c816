"""What the rows of a survey tell: how figures are spread, which pairs of values there are, and which
houses stand out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from genhouse.core.spoken import listed
from genhouse.outputs.figures.named_figures import NAMED, Named
from genhouse.survey.row import FIGURES, MADE
from genhouse.survey.store import Store

Floats = npt.NDArray[np.float64]
BARS = 24
ACROSS, UP = 14, 10
"""Cells of an expressive range."""
SHOWN = 6
"""Houses pictured of each kind that stands out."""
TREES = 100
ODD = (
    "The oddest are those that an isolation forest parts from all others in the fewest cuts (F. T. Liu, "
    f"K. M. Ting and Z.-H. Zhou, 2008; scikit-learn's IsolationForest of {TREES} trees, random_state 0, "
    "over all figures of a row)."
)
NO_ODD = (
    "The oddest are not told: they want scikit-learn, which pip install 'genhouse[survey]' brings."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How a figure is spread: its least, middle and most, and how many houses each bar has."""

    figure: Named
    least: float
    middle: float
    most: float
    bars: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """The expressive range: how many houses have which two values (G. Smith and J. Whitehead, Analyzing
    the expressive range of a level generator, 2010).

    counts: [UP][ACROSS], from below.  examples: the place of a house of each cell that has any.
    """

    across: Spread
    up: Spread
    counts: tuple[tuple[int, ...], ...]
    examples: tuple[tuple[int, int, int], ...]


class Made:
    """The houses that were made: their places among the recipes, and their figures."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self.places = np.array(
            [n for (n,) in store.read("n", where=_WHERE, given=_GIVEN)], dtype=np.int64
        )

    def __len__(self) -> int:
        return len(self.places)

    def column(self, name: str) -> Floats:
        """The numbers of one column, in order."""
        rows = self._store.read(name, where=_WHERE, given=_GIVEN)
        return np.fromiter((value for (value,) in rows), np.float64, len(rows))

    def all(self) -> npt.NDArray[np.float32]:
        """[houses, FIGURES]."""
        table = np.zeros((len(self), len(FIGURES)), dtype=np.float32)
        for n, name in enumerate(FIGURES):
            table[:, n] = self.column(name)
        return table


_WHERE, _GIVEN = "WHERE outcome = ? ORDER BY n", (MADE,)


def column_of(figure: Named) -> str:
    """Where a named figure stands in a row."""
    return figure.name.replace("-", "_")


def spread(figure: Named, values: Floats) -> Spread:
    """How a figure is spread over some houses."""
    bars = np.bincount(_bins(values, BARS), minlength=BARS)
    return Spread(
        figure=figure,
        least=float(values.min()),
        middle=float(np.median(values)),
        most=float(values.max()),
        bars=tuple(bars.tolist()),
    )


def range_of(made: Made, across: Named, up: Named) -> Range:
    """The expressive range of two figures; in each cell the first house is its example."""
    xs, ys = made.column(column_of(across)), made.column(column_of(up))
    cells = _bins(ys, UP) * ACROSS + _bins(xs, ACROSS)
    counts = np.bincount(cells, minlength=UP * ACROSS).reshape(UP, ACROSS)
    found, first = np.unique(cells, return_index=True)
    return Range(
        across=spread(across, xs),
        up=spread(up, ys),
        counts=tuple(map(tuple, counts.tolist())),
        examples=tuple(
            (int(cell) // ACROSS, int(cell) % ACROSS, int(made.places[n]))
            for cell, n in zip(found, first, strict=True)
        ),
    )


def _bins(values: Floats, many: int) -> npt.NDArray[np.int64]:
    """In which of so many equal parts, from the least to the most, each value lies."""
    least, most = values.min(), values.max()
    if least == most:
        return np.zeros(len(values), dtype=np.int64)
    part = (values - least) / (most - least)
    return np.asarray(np.minimum(part * many, many - 1), dtype=np.int64)


def worst(made: Made) -> list[tuple[int, str]]:
    """Places of the houses that most others better, figure by figure, and what is said of each."""
    better = np.zeros(len(made))
    for figure in NAMED:
        values = made.column(column_of(figure)) * (1 if figure.more else -1)
        lined = np.sort(values)
        below, up_to = np.searchsorted(lined, values), np.searchsorted(lined, values, "right")
        better += (below + up_to - 1) / 2 / max(1, len(made) - 1)
    part = better / len(NAMED)
    first = np.argsort(part, kind="stable")[:SHOWN]
    return [
        (int(made.places[n]), f"betters {100 * part[n]:.0f} % of the others on the mean")
        for n in first
    ]


def oddest(made: Made) -> list[tuple[int, str]] | None:
    """Places of the houses that are most unlike all others, and in what; None without the library."""
    try:
        from sklearn.ensemble import IsolationForest
    except ImportError:
        return None
    table = made.all()
    if len(table) < 2:
        return []
    forest = IsolationForest(n_estimators=TREES, random_state=0).fit(table)
    first = np.argsort(forest.score_samples(table), kind="stable")[:SHOWN]
    middle = np.median(table, axis=0)
    far = np.abs(table[first] - middle) / np.maximum(table.std(axis=0), 1e-9)
    return [
        (int(made.places[n]), f"most unlike in {listed(_names(row))}")
        for n, row in zip(first, far, strict=True)
    ]


def _names(far: npt.NDArray[Any]) -> list[str]:
    titles = {column_of(figure): figure.title.lower() for figure in NAMED}
    first = (FIGURES[n] for n in np.argsort(-far, kind="stable")[:3])
    return [titles.get(name, name.replace("_", " ")) for name in first]


def slowest(made: Made) -> list[tuple[int, str]]:
    """Places of the houses that took longest, and how long."""
    seconds = made.column("seconds")
    first = np.argsort(-seconds, kind="stable")[:SHOWN]
    return [(int(made.places[n]), f"{seconds[n]:.2f} s of a processor") for n in first]
