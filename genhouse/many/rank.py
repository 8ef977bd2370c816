"""Which houses are better, by figures that a person names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from genhouse.core.errors import BriefError
from genhouse.outputs.figures._ranks import ranks
from genhouse.outputs.figures._tables import ShellFigures
from genhouse.outputs.figures.named_figures import Named, named_figures


@dataclass(frozen=True, slots=True)
class Aim:
    """A figure, and whether more of it is wanted."""

    figure: Named
    more: bool

    @property
    def words(self) -> str:
        return f"{'most' if self.more else 'least'} {self.figure.title.lower()}"


def aims(text: str) -> tuple[Aim, ...]:
    """Read figure names with commas between; a minus before one turns its order round.

    Raises BriefError for an unknown name, or none.
    """
    words = [word.strip() for word in text.split(",") if word.strip()]
    if not words:
        raise BriefError("by: it names no figure, such as privacy,court-light")
    found = named_figures([word.removeprefix("-") for word in words])
    return tuple(
        Aim(figure, figure.more != word.startswith("-"))
        for figure, word in zip(found, words, strict=True)
    )


def scores(measured: Sequence[ShellFigures], wanted: Sequence[Aim]) -> tuple[Fraction, ...]:
    """For each house 0 to 1: the mean, over the aims, of the part of all others that it betters.

    Only the order within each figure counts, so that units do not; a tie counts half.
    """
    columns = [_placed([aim.figure.read(f) for f in measured], aim.more) for aim in wanted]
    return tuple(sum(row, Fraction(0)) / len(wanted) for row in zip(*columns, strict=True))


def _placed(values: Sequence[float], more: bool) -> list[Fraction]:
    others = max(1, len(values) - 1)
    return [(r - 1) / others for r in ranks([value if more else -value for value in values])]


def order(worth: Sequence[Fraction]) -> list[int]:
    """Places from best to worst; among equals the earlier first."""
    return sorted(range(len(worth)), key=lambda n: (-worth[n], n))
