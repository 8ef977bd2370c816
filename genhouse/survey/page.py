"""``survey.html``: what a survey tells, on one page that opens from disk."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, replace
from io import BytesIO
from typing import Any

from genhouse.core.engines import Engine
from genhouse.core.errors import GenhouseError
from genhouse.core.progress import told
from genhouse.generate.remade import line
from genhouse.house import make
from genhouse.model.brief import Recipe
from genhouse.outputs.figures.named_figures import NAMED, Named
from genhouse.outputs.pages import data_address, rendered
from genhouse.outputs.plans.diagram import tint
from genhouse.survey import tell
from genhouse.survey.request import Request
from genhouse.survey.row import COLUMNS, FAILED, MADE, REFUSED, row_of
from genhouse.survey.shrink import smallest
from genhouse.survey.store import Store

PICTURE = (520, 430)
QUALITY = 82
KINDS = 12
"""Kinds of failure, and of refusal, that are told one by one."""
_FINDINGS, _OUTCOME = (list(COLUMNS).index(name) for name in ("findings", "outcome"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One kind of fault: how many houses have it, the first of them, and the smallest that has it."""

    sentence: str
    count: int
    example: str
    smallest: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    made: int
    refused: int
    failed: int
    seconds: float

    @property
    def all(self) -> int:
        return self.made + self.refused + self.failed


def counts(store: Store) -> Counts:
    """How many houses were made, refused, and failed: were unsound, or unsound before they were drawn
    anew; and the seconds that all took."""
    found = dict(store.read("outcome", "count(*)", where="GROUP BY outcome"))
    anew = store.read("count(*)", where="WHERE outcome = ? AND findings != ''", given=(MADE,))
    ((seconds,),) = store.read("total(seconds)")
    return Counts(
        made=found.get(MADE, 0) - anew[0][0],
        refused=found.get(REFUSED, 0),
        failed=found.get(FAILED, 0) + anew[0][0],
        seconds=seconds,
    )


def page(asked: Request, store: Store, across: Named, up: Named, engine: Engine) -> bytes:
    """The page of a survey's rows.  across, up: figures of its expressive range."""
    counted, made = counts(store), tell.Made(store)
    values: dict[str, Any] = {"spreads": (), "range": None, "groups": (), "odd": ""}
    if len(made):
        values = _of_made(asked, made, across, up, engine)
    return rendered(
        "genhouse.survey",
        "survey.html.j2",
        title=f"Survey of {_count(counted.all)} houses",
        words=asked.words,
        counts=counted,
        count=_count,
        faults=faults(asked, store, engine),
        refusals=_kinds(asked, store, "reason", "WHERE outcome = ? ORDER BY n", REFUSED),
        **values,
    )


def _of_made(
    asked: Request, made: tell.Made, across: Named, up: Named, engine: Engine
) -> dict[str, Any]:
    range_ = tell.range_of(made, across, up)
    odd = tell.oddest(made)
    groups = [
        ("Oddest", odd or []),
        ("Worst", tell.worst(made)),
        ("Slowest", tell.slowest(made)),
    ]
    places = [place for *_, place in range_.examples]
    places += [place for _, found in groups for place, _ in found]
    recipes = {place: asked.recipe(place) for place in dict.fromkeys(places)}
    shown = told("pictures", engine.map(pictured, recipes.values()), len(recipes))
    cards = {
        place: {"picture": data_address(image), "line": line(recipe), "seed": recipe.seed}
        for (place, recipe), image in zip(recipes.items(), shown, strict=True)
    }
    return {
        "spreads": [tell.spread(f, made.column(tell.column_of(f))) for f in NAMED],
        "range": range_,
        "shades": _shades(range_),
        "examples": [(f"cell-{x}-{y}", cards[place]) for y, x, place in range_.examples],
        "groups": [
            (title, [(cards[place], words) for place, words in found]) for title, found in groups
        ],
        "odd": tell.NO_ODD if odd is None else tell.ODD,
    }


def _shades(range_: tell.Range) -> list[list[tuple[int, str]]]:
    """Counts and colours, from above; the darkest has the most houses."""
    most = max(max(row) for row in range_.counts)
    return [
        [(n, tint((n / most) ** 0.5) if n else "none") for n in row]
        for row in reversed(range_.counts)
    ]


def pictured(recipe: Recipe) -> bytes:
    """A small JPEG of a house; none where there is no such house any more."""
    try:
        picture = make(recipe).picture("outside", size=PICTURE)
    except GenhouseError:
        return b""
    file = BytesIO()
    picture.convert("RGB").save(file, "JPEG", quality=QUALITY)
    return file.getvalue()


def faults(asked: Request, store: Store, engine: Engine) -> list[Fault]:
    """The kinds of fault, the commonest first, each with the smallest recipe that shows it."""
    found = _kinds(asked, store, "findings", "WHERE findings != ? ORDER BY n", "")
    recipes = [asked.recipe(place) for place, _ in found]
    less = told("shrunk", engine.map(shrunk, recipes), len(recipes))
    return [
        replace(fault, smallest=line(other)) for (_, fault), other in zip(found, less, strict=True)
    ]


def _kinds(
    asked: Request, store: Store, column: str, where: str, given: str
) -> list[tuple[int, Fault]]:
    """What is said under a column, by kind: the place of its first house, and what there is of it."""
    first: dict[str, tuple[int, str]] = {}
    many: Counter[str] = Counter()
    for place, text in store.read("n", column, where=where, given=(given,)):
        for sentence in text.splitlines():
            kind = kind_of(sentence)
            many[kind] += 1
            first.setdefault(kind, (place, sentence))
    return [
        (place, Fault(sentence=sentence, count=n, example=line(asked.recipe(place))))
        for kind, n in many.most_common(KINDS)
        for place, sentence in (first[kind],)
    ]


def kind_of(sentence: str) -> str:
    """What sentences have alike that say the same of unlike places and numbers.

    >>> kind_of("light: 2 lux at (3, 4, 2)") == kind_of("light: 1 lux at (9, 14, 2)")
    True
    """
    return re.sub(r"[0-9]+", "#", sentence)[:120]


def shrunk(recipe: Recipe) -> Recipe:
    """The smallest recipe with the first fault of this one."""
    kind = _kind(recipe)
    return smallest(recipe, lambda other: _kind(other) == kind)


def _kind(recipe: Recipe) -> str:
    text = str(row_of(recipe)[_FINDINGS])
    return kind_of(text.splitlines()[0]) if text else ""


def _count(number: int) -> str:
    return f"{number:,}".replace(",", " ")
