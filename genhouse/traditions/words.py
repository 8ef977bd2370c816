"""What a tradition says of its houses: sentences with blanks, which facts of the house in hand fill.

``{doors}`` is a fact itself, a row of several one after another; ``{doors:door}`` counts it out,
``{boxes:box|boxes}`` with a plural of its own; ``{doors#runs|run}`` is one word or the other;
``{layer^}`` is an ordinal.  ``{doors?}`` is silent: what it stands in is said only where there are
some, ``{doors!}`` only where there are none.  It stands in a sentence, or in the part between
square brackets that may be left out of one.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping

from msgspec import field

from genhouse.core.sentences import closest
from genhouse.core.spoken import listed, ordinal, some
from genhouse.model.part import STAGES
from genhouse.traditions.looks import RoleName
from genhouse.traditions.reading import Pairs, Register, Table
from genhouse.traditions.work import Work

Fact = int | str | tuple[int | str, ...]
"""A number, a word, or a row of these."""
PLOT = (
    "width",
    "depth",
    "corners",
    "west",
    "south",
    "across",
    "deep",
    "wings",
    "neighbours",
    "terraces",
)
LAYERS = (
    *("beam layers", "band layer", "ceiling layer", "upper layers"),
    *("eaves layer", "ridge layer"),
)
YARDS = ("yards", "yard gates")
COUNTED = (
    *(
        "south gaps",
        "west gaps",
        "outward",
        "inward",
        "window looks",
        "wells",
        "gallery",
        "terrace",
    ),
    *("court screens", "inner screens", "doors", "leaning wings", "flat wings", "fittings", "used"),
)
FACTS = (*PLOT, *LAYERS, *COUNTED, *YARDS, "flights")
"""What is known of every house.  Plot and house in cells, the house's margins to the west and the south,
wings where they do not fill one rectangle, neighbours by side, levels of the lowest floors where there
are several; layers counted from 1 above the ground;
``upper layers`` of the floors above the lowest.  Corners (of a plot that is no rectangle), neighbours,
gaps, looks, wells, wings, yards and flights are rows; all others are numbers, or ``used``: all."""
FLIGHT = ("side", "steps", "wide", "room")
"""Of one flight: the way it climbs, its steps and cells across, the room that it begins in."""
YARD = ("use", "cells", "before")
"""Of one yard: what it is for, with its article; its ground, the room before whose wall it lies, or
nothing."""
LAYER = ("nth", "storey")
"""Of one layer: which beam from below it is, or the storey that it belongs to."""
_PART = re.compile(r"\[([^]]*)]")
_BLANK = re.compile(r"\{([\w ]*)([?!^]?)(?:([:#])([^{}|]*)\|?([^{}]*))?}")


class Count(Table, frozen=True, kw_only=True):
    """What a tradition counts: pieces that a stage sets, of some roles and of forms that begin so.

    whole: parts, however many pieces each has.
    """

    stage: str
    roles: tuple[RoleName, ...] = ()
    forms: tuple[str, ...] = ("",)
    whole: bool = False


class LayerNames(Table, frozen=True, kw_only=True):
    """What the layers are called that a builder counts.  beam: of a house with one; beams: each of more;
    both: all of them."""

    foot: str
    floor: str
    beam: str
    beams: str
    both: str
    plate: str
    eaves: str
    ridge: str


class Signs(Table, frozen=True, kw_only=True):
    """What the signs of a plan mean.  hearth: a flue over one.  eaves: above.  foot: below the drawing."""

    post: str
    infill: str
    window: str
    lattice: str
    screen: str
    door: str
    passage: str
    beam: str
    rail: str
    flue: str
    hearth: str
    lamp: str
    eaves: str
    foot: str


class Words(Register, frozen=True, kw_only=True):
    """bearing: what stands and carries, as a chapter is headed.  clearances: what a builder must ask about
    fire.  gaps: how to count along a side.  palette: roles
    by whose materials one tells palettes.  members: what timbers are called, by their roles.

    flight, yard: what is said of each.
    """

    bearing: str
    clearances: str
    gaps: str
    flight: str
    yard: str
    palette: tuple[RoleName, ...]
    sign: Signs
    layer: LayerNames
    members: Pairs[RoleName, str] = field(name="member", default=())
    counts: Pairs[str, Count] = field(name="count", default=())


def said(sentences: Iterable[str], facts: Mapping[str, Fact]) -> str:
    """Sentences one after another, each with a capital.

    >>> said(["{doors:door} {doors#is|are} here[, {lamps:lamp} too{lamps?}]."], {"doors": 2, "lamps": 0})
    'Two doors are here.'
    """
    told = filter(None, (_told(sentence, facts) for sentence in sentences))
    return " ".join(f"{words[:1].upper()}{words[1:]}" for words in told)


def clause(words: str, facts: Mapping[str, Fact]) -> str:
    """One clause, as it stands within a sentence."""
    return _told(words, facts)


def clauses(step: Work, facts: Mapping[str, Fact]) -> str:
    """What is said of a step, its row in place."""
    row = tuple(filter(None, (_told(clause, facts) for clause in step.row)))
    return said(step.say, {**facts, "row": row})


def _told(sentence: str, facts: Mapping[str, Fact]) -> str:
    pieces = _PART.split(sentence)
    if not all(_holds(piece, facts) for piece in pieces[::2]):
        return ""
    return "".join(
        _BLANK.sub(lambda blank: _filled(blank, facts), piece)
        for n, piece in enumerate(pieces)
        if n % 2 == 0 or _holds(piece, facts)
    )


def _holds(piece: str, facts: Mapping[str, Fact]) -> bool:
    asked = ((facts[name], how) for name, how, *_ in _BLANK.findall(piece) if how in ("?", "!"))
    return all(bool(fact) == (how == "?") for fact, how in asked)


def _filled(blank: re.Match[str], facts: Mapping[str, Fact]) -> str:
    name, how, as_, one, many = blank.groups()
    fact = facts[name]
    row = fact if isinstance(fact, tuple) else (fact,)
    number = fact if isinstance(fact, int) else len(row)
    if how in ("?", "!"):
        return ""
    if as_ == "#":
        return str(one if number == 1 else many)
    if as_ == ":":
        return some(number, one, many)
    return listed(map(ordinal, map(int, row)) if how else row)


def unsaid(words: Words) -> Iterator[str]:
    """What is amiss in the words of a tradition."""
    for name, count in words.counts:
        if count.stage not in STAGES:
            near = closest(count.stage, STAGES)
            yield f"count.{name}.stage: there is no building stage {count.stage!r}; {near}"
    yield from _blank("flight", (words.flight,), FLIGHT)
    yield from _blank("yard", (words.yard,), YARD)
    for key in LayerNames.__struct_fields__:
        yield from _blank(f"layer.{key}", (getattr(words.layer, key),), LAYER)


def untold(steps: Iterable[Work], words: Words) -> Iterator[str]:
    """What is amiss in what is said of the steps."""
    known = (*FACTS, *(name for name, _ in words.counts))
    for step in steps:
        row = ("row",) if step.row else ()
        yield from _blank(f"{step.name}.say", step.say, (*known, *row))
        yield from _blank(f"{step.name}.row", step.row, known)
        yield from _blank(f"{step.name}.title", (step.title,), known)


def _blank(where: str, sentences: Iterable[str], known: Collection[str]) -> Iterator[str]:
    """Blanks in some sentences that nothing known fills."""
    for n, sentence in enumerate(sentences):
        for name, *_ in _BLANK.findall(sentence):
            if name not in known:
                yield f"{where}[{n}]: nothing fills {{{name}}}; {closest(name, known)}"
        if {*"{}[]"} & {*_BLANK.sub("", _PART.sub(r"\1", sentence))}:
            yield f"{where}[{n}]: a bracket stands alone in {sentence!r}; blanks are {{like this}}"
