"""Many houses as a table: what a survey keeps of each, for people who count."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, SupportsIndex

from genhouse.core import engines
from genhouse.core.errors import BriefError
from genhouse.core.progress import told
from genhouse.generate import taken
from genhouse.model.bounds import MOST_HELPERS
from genhouse.model.brief import Brief, Recipe
from genhouse.survey.row import COLUMNS, row_of

if TYPE_CHECKING:
    import pandas as pd


def figures(
    recipes: Iterable[Recipe | SupportsIndex],
    brief: Brief | Mapping[str, Any] | str | os.PathLike[str] | None = None,
    *,
    engine: str = engines.POOL,
    processes: int | None = None,
) -> pd.DataFrame:
    """Design, inspect and measure a house for each recipe: a pandas table, a row each, in their order.

    recipes: recipes, or seeds of houses of one brief.  engine: ``pool``, ``here``, ``dask`` or the
    address of a Dask scheduler.  Columns: ``seed``, ``recipe``, ``outcome``, ``findings``, digests, and
    every figure of a house by its name; those of a house are missing where there is none.
    Raises BriefError, also where pandas is not installed.

    >>> table = figures([7, 8], {"plot": (20, 23)}, engine="here")
    >>> list(table.seed), list(table.outcome)
    (['7', '8'], ['made', 'made'])
    """
    try:
        import pandas as pd
    except ImportError as error:
        raise BriefError(
            "figures: pandas is not installed here; pip install 'genhouse[survey]' brings it"
        ) from error
    listed = _recipes(recipes, taken.brief_of(brief))
    helpers = None if processes is None else taken.whole("processes", processes, 1, MOST_HELPERS)
    with engines.opened(engine, helpers) as where:
        rows = list(told("houses", where.map(row_of, listed), len(listed)))
    return pd.DataFrame.from_records(rows, columns=list(COLUMNS))


def _recipes(recipes: Any, brief: Brief) -> list[Recipe]:
    try:
        given = list(recipes)
    except TypeError as error:
        raise BriefError(f"recipes: {type(recipes).__name__} is no list of them") from error
    return [
        taken.recipe_again(one)
        if isinstance(one, Recipe)
        else Recipe(seed=taken.whole("seed", one), brief=brief)
        for one in given
    ]
