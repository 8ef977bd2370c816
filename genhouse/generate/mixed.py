"""Mixed briefs: every key, drawn by one rule from its type, so that a new key needs no more code.

A number gives the same brief on every machine (``brief(5)``).  What a type does not tell stands in a
table: the bounds of a number in ``genhouse.model.bounds.BOUNDS``, the words that a text may be in
``words``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import MISSING, Field, fields, is_dataclass, replace
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, Protocol, TypeVar, Union, get_args, get_origin, get_type_hints

from genhouse.core.draw import Draw
from genhouse.core.errors import GenhouseError
from genhouse.generate.brief_schema import names_of
from genhouse.model.bounds import BOUNDS, LARGEST_PLOT, SMALLEST_PLOT
from genhouse.model.brief import STAGE_NAMES, Brief, Recipe
from genhouse.model.shapes import Steps, region
from genhouse.traditions.shelf import check_brief

T = TypeVar("T")

RULE = "mixed-5"
"""The name of this rule: another rule, another name."""
OWN = Brief().tradition
"""The way of building of a brief that names none."""
CLIENTS = ("", "Ada Thorne, Oxmere")
GIVEN = (3, 8)
"""How many of the keys that may be left out are given."""
NEIGHBOURS = (1, 9)
"""The same of the sides of a plot."""
SLOPED = (1, 16)
"""The same of the corners of its ground."""
MEASURED = "ground.levels"
"""No words: what a client has measured, in place of corners."""
WISHED = (1, 6)
"""The same of the keys of a line in a list: all lines together should often have an answer."""
USUAL = 2
"""How far a number lies from the least that it may be, at most, as it usually is."""
USUALLY = (5, 6)
STEPS = 3
"""Steps of a stair that is cut from a corner of a plot, at most."""
CONTRARY = (1, 12)
"""How many briefs may contradict themselves; in all others, what a refusal names is left out."""
SEEDED = (1, 6)
"""How many recipes give stages seeds of their own."""


class Chooser(Protocol):
    """Where choices come from: named draws, or hypothesis, which forgets the names."""

    def at(self, *names: object) -> Chooser: ...
    def between(self, low: int, high: int, purpose: str) -> int: ...
    def chance(self, part: int, whole: int, purpose: str) -> bool: ...
    def choice(self, options: Sequence[T], purpose: str) -> T: ...


def brief(number: int, tradition: str = OWN) -> Brief:
    """The brief of a number, for a house of a tradition.

    >>> brief(5) == brief(5) != brief(6)
    True
    """
    return drawn_brief(Draw(number).at("whole brief"), tradition)


def recipe(number: int, tradition: str = OWN) -> Recipe:
    """The recipe of a number: its brief, a seed, and perhaps seeds of their own for some stages."""
    return drawn_recipe(Draw(number).at("whole brief"), tradition)


def drawn_recipe(here: Chooser, tradition: str = OWN) -> Recipe:
    """A seed, a brief, and perhaps seeds of their own for some stages."""
    return Recipe(
        seed=here.between(0, (1 << 64) - 1, "seed"),
        brief=drawn_brief(here, tradition),
        stage_seeds=drawn_seeds(here),
    )


def drawn_seeds(here: Chooser) -> tuple[tuple[str, int], ...]:
    """Seeds of their own for some stages; mostly for none."""
    own = [s for s in STAGE_NAMES if here.chance(*GIVEN, f"stage {s}")]
    seeded = own if here.chance(*SEEDED, "seeded") else []
    return tuple(sorted((s, here.between(0, 999, f"seed of {s}")) for s in seeded))


def drawn_brief(here: Chooser, tradition: str = OWN) -> Brief:
    """A brief that mostly does not contradict itself: what a refusal names is left out again."""
    brief: Brief = replace(_drawn(Brief, "", here, tradition), tradition=tradition)
    if here.chance(*CONTRARY, "contrary"):
        return brief
    for _ in fields(Brief):
        try:
            check_brief(brief)
        except GenhouseError as error:
            brief = _without(brief, str(error).partition(":")[0])
        else:
            return brief
    return brief


def _without(brief: Brief, where: str) -> Brief:
    """The brief without what stands there: ``roof.left``, ``rooms[2].area``, ``plot``."""
    name = where.partition(".")[0].partition("[")[0]
    if name == "rooms" and "[" in where:
        n = int(where.partition("[")[2].partition("]")[0])
        return replace(brief, rooms=brief.rooms[:n] + brief.rooms[n + 1 :])
    if name == "roof" and "." in where:
        return replace(brief, roof=replace(brief.roof, **{where.partition(".")[2]: None}))
    return replace(brief, **{name: getattr(Brief(), name)})


@cache
def words(where: str, tradition: str = OWN) -> tuple[str, ...]:
    """What a text may be in a brief for a house of a tradition, by the key it stands under."""
    own = {"client": CLIENTS, "tradition": (tradition,)}
    return own[where] if where in own else tuple(names_of(tradition)[where])


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _drawn(kind: Any, where: str, here: Chooser, of: str) -> Any:
    """A value of a type.  where: the key it stands under, dots between.  of: the tradition."""
    origin, inside = get_origin(kind), get_args(kind)
    if is_dataclass(kind):
        return kind(**_given(kind, where, here, of))  # type: ignore[operator]
    if origin in (Union, UnionType):
        some = [k for k in inside if k is not NoneType and (k not in (str,) or words(where, of))]
        return _drawn(here.choice(some, f"type of {where}"), where, here, of)
    if origin is Literal:
        return here.choice(inside, where)
    if origin in (tuple,) and where == "outline":
        return _corners(here)
    if origin in (tuple,):
        if inside[1:] == (...,):
            return _several(inside[0], where, here, of)
        return _pair(where, here)
    if kind in (bool,):
        return here.chance(1, 2, where)
    if kind in (int,):
        return _number(where, here)
    if kind in (str,):
        return here.choice(words(where, of), where)
    raise TypeError(f"{where}: say here how a {kind} is drawn")


def _given(kind: Any, where: str, here: Chooser, of: str) -> dict[str, Any]:
    """Some of the keys of a table, and all that it cannot do without."""
    values, given = {}, {"rooms": WISHED, "sides": NEIGHBOURS, "ground": SLOPED}.get(where, GIVEN)
    for field in fields(kind):
        name = f"{where}.{field.name}" if where else field.name
        hint = _hints(kind)[field.name]
        if name == MEASURED:
            continue
        if _needed(field) or is_dataclass(hint) or here.chance(*given, f"{name}?"):
            values[field.name] = _drawn(hint, name, here, of)
    return values


def _needed(field: Field[Any]) -> bool:
    return field.default is MISSING and field.default_factory is MISSING


def _several(kind: Any, where: str, here: Chooser, of: str) -> tuple[Any, ...]:
    """A list, mostly short, nothing twice."""
    most = here.choice((2, 4, 7), f"length of {where} at most") if is_dataclass(kind) else 3
    many = here.between(1, most, f"length of {where}")
    found = [_drawn(kind, where, here.at(n), of) for n in range(many)]
    return tuple(dict.fromkeys(found))


def _number(where: str, here: Chooser) -> int:
    """Within its bounds, mostly near the lower one."""
    low, high = BOUNDS[where]
    near = min(high, low + USUAL) if here.chance(*USUALLY, f"{where} is usual") else high
    return here.between(low, near, where)


def _pair(where: str, here: Chooser) -> tuple[int, int]:
    """Width and depth of a plot, or a least and a most."""
    if where in BOUNDS:
        least = here.between(6, 30, f"{where} least")
        return least, least + here.between(0, 40, f"{where} more")
    return _size(where, here)


def _size(where: str, here: Chooser) -> tuple[int, int]:
    (x0, y0), (x1, y1) = SMALLEST_PLOT, LARGEST_PLOT
    return here.between(x0, x1, f"{where} width"), here.between(y0, y1, f"{where} depth")


def _corners(here: Chooser) -> tuple[tuple[int, int], ...]:
    """A plot from each corner of which a stair of up to three steps is cut."""
    wide, deep = size = _size("outline", here)

    def stair(corner: int) -> Steps:
        at = here.at("corner", corner)
        steps = range(at.between(0, STEPS, "steps of outline"))
        part = 2 * STEPS + 1
        return tuple(
            (at.between(2, wide // part, f"step {n} x"), at.between(2, deep // part, f"step {n} y"))
            for n in steps
        )

    return region(size, (stair(0), stair(1), stair(2), stair(3))).corners
