"""What rows tell, beside numpy's and scipy's own counts, and a house that is planted among them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from scipy.stats import rankdata

from genhouse.outputs.figures.named_figures import NAMED, named_figures
from genhouse.survey import store, tell
from genhouse.survey.row import COLUMNS, FIGURES

MANY = 300


def planted(n: int) -> tuple[object, ...]:
    """Rows that wave gently, but for one that is far from all others, and some that were refused."""
    values = {name: round(np.sin(n * (k + 1)) * 3, 4) for k, name in enumerate(FIGURES)}
    if n == 77:
        values |= {"pieces": 900.0, "lived_corridors": -800.0}
    outcome = "refused" if n % 50 == 49 else "made"
    values |= {"outcome": outcome, "findings": "", "seconds": float(n == 5)}
    return tuple(values.get(name) for name in COLUMNS)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tell.Made]:
    with store.opened(tmp_path_factory.mktemp("rows"), new=True) as table:
        table.append([planted(n) for n in range(MANY)])
        yield tell.Made(table)


def test_only_houses_that_were_made_count(made: tell.Made) -> None:
    assert len(made) == MANY - MANY // 50
    assert 49 not in made.places


def test_the_range_counts_as_numpy_does(made: tell.Made) -> None:
    across, up = named_figures(["privacy", "walk"])
    found = tell.range_of(made, across, up)
    xs, ys = made.column("privacy"), made.column("walk")
    want, _, _ = np.histogram2d(ys, xs, bins=(tell.UP, tell.ACROSS))
    assert np.array(found.counts).tolist() == want.tolist()
    assert len(found.examples) == np.count_nonzero(want)
    for y, x, place in found.examples:
        n = made.places.tolist().index(place)
        one, _, _ = np.histogram2d(
            ys[n : n + 1],
            xs[n : n + 1],
            bins=(tell.UP, tell.ACROSS),
            range=[(ys.min(), ys.max()), (xs.min(), xs.max())],
        )
        assert one[y, x] == 1


def test_a_spread_counts_as_numpy_does(made: tell.Made) -> None:
    (figure,) = named_figures(["walk"])
    values = made.column("walk")
    found = tell.spread(figure, values)
    assert list(found.bars) == np.histogram(values, tell.BARS)[0].tolist()
    assert found.middle == pytest.approx(float(np.quantile(values, 0.5)))


def test_a_figure_that_is_the_same_everywhere_has_one_bar() -> None:
    (figure,) = named_figures(["walk"])
    assert tell.spread(figure, np.full(5, 3.0)).bars == (5, *[0] * (tell.BARS - 1))


def test_the_worst_are_those_that_rank_last(made: tell.Made) -> None:
    ranks = np.zeros(len(made))
    for figure in NAMED:
        values = made.column(figure.name.replace("-", "_"))
        ranks += rankdata(values if figure.more else -values)
    want = made.places[np.argsort(ranks, kind="stable")[: tell.SHOWN]]
    assert [place for place, _ in tell.worst(made)] == want.tolist()


def test_the_slowest_stands_first(made: tell.Made) -> None:
    assert tell.slowest(made)[0] == (5, "1.00 s of a processor")


def test_what_is_far_from_all_others_is_the_oddest_and_it_is_said_in_what(made: tell.Made) -> None:
    found = tell.oddest(made)
    assert found
    assert found[0][0] == 77
    assert "pieces" in found[0][1]
    assert "lived corridors" in found[0][1]


def test_without_the_library_nobody_is_called_odd(
    made: tell.Made, monkeypatch: pytest.MonkeyPatch
) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "sklearn.ensemble", None)
    assert tell.oddest(made) is None
