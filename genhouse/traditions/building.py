"""Trades: small pure functions that make parts of elements, in the order that a tradition gives them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from importlib import import_module

from genhouse.model.elements import Element, Member, of
from genhouse.model.part import Part
from genhouse.traditions.tradition import Tradition

Trade = Callable[[Sequence[Element], Tradition], Iterable[Part]]


def trades_of(tradition: Tradition) -> tuple[Trade, ...]:
    """A tradition's trades in their order."""
    found: tuple[Trade, ...] = import_module(
        f"genhouse.traditions.{tradition.builders}.trades"
    ).TRADES
    return found


def built(
    elements: Sequence[Element], tradition: Tradition, trades: Sequence[Trade]
) -> tuple[Part, ...]:
    """What each trade makes of the elements, one after another."""
    return tuple(part for trade in trades for part in trade(elements, tradition))


Uses = Mapping[str, tuple[str, str, str]]
"""Building stage, role and piece of a member, by its use."""


def fitted(kind: type[Member], uses: Uses) -> Trade:
    """The trade that makes one part of each member of a kind whose use it knows."""

    def trade(elements: Sequence[Element], _: Tradition) -> Iterator[Part]:
        for e in of(kind, elements):
            if e.use in uses:
                stage, role, piece = uses[e.use]
                yield Part(stage, role, f"{piece} {e.side}".rstrip(), e.box)

    return trade
