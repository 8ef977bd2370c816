"""What every engine does, done on a Dask cluster of this machine; run as a script by the tests.

A cluster leaves threads behind in its process, and beside threads nothing is forked: so it has a
process of its own.
"""

from __future__ import annotations

import os
import sys
from functools import partial
from itertools import count, islice
from pathlib import Path

import pytest

from genhouse.core import engines
from genhouse.core.engines import AHEAD, Engine, opened
from genhouse.core.errors import BriefError, StoppedError
from tests.core.work import cores_here, ends, ends_once, noted


def same_in_order(engine: Engine) -> None:
    assert list(engine.map(abs, range(-70, 70))) == list(map(abs, range(-70, 70)))
    assert list(engine.map(str, ())) == []
    with pytest.raises(ZeroDivisionError):
        list(engine.map(partial(divmod, 7), [0]))
    with pytest.raises(FileNotFoundError):
        list(engine.map(os.stat, ["/no such place"]))


def few_ahead(engine: Engine) -> None:
    taken: list[int] = []
    assert list(islice(engine.map(abs, noted(count(), taken)), 5)) == [0, 1, 2, 3, 4]
    assert len(taken) <= 2 * AHEAD + 5


def no_workers_of_workers(engine: Engine) -> None:
    assert {many for _, many in engine.map(cores_here, range(4))} == {1}


def a_loss_made_good(engine: Engine, place: Path) -> None:
    found = list(engine.map(partial(ends_once, str(place)), range(60)))
    assert (place / "ended").exists()
    assert found == [n * n for n in range(60)]


def given_up(engine: Engine) -> None:
    with pytest.raises(StoppedError, match="again and again"):
        list(engine.map(ends, [1]))


def nobody_there() -> None:
    engines.ANSWER = 1
    with pytest.raises(BriefError, match="no Dask scheduler"), opened("tcp://127.0.0.1:9"):
        pass


def main(place: Path) -> None:
    with opened("dask", 2) as engine:
        same_in_order(engine)
        few_ahead(engine)
        no_workers_of_workers(engine)
        a_loss_made_good(engine, place)
        given_up(engine)
    nobody_there()
    print("all held")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
