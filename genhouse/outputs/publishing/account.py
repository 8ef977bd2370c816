"""What one writes below the pictures of a house: its size, its pieces, its steps and the time it takes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from genhouse.outputs.guide._counts import Counts
from genhouse.outputs.steps.steps import Steps

RATE = 15
"""Pieces that one person sets in a minute, fetching and looking among it (common practice)."""


def account(
    title: str,
    figures: Sequence[tuple[str, str]],
    counts: Counts,
    steps: Steps,
    titles: Sequence[str],
    rate: int,
) -> str:
    """A plain text.  figures: of the house.  titles: of the steps.  rate: pieces a minute."""
    return "\n".join(
        (
            title,
            "=" * len(title),
            "",
            *_columns(figures),
            "",
            *_headed("Pieces by material"),
            *_columns((name, _number(count)) for name, count in _materials(counts)),
            "",
            *_headed("Steps and the time for placing"),
            *_columns(_steps(steps, titles, rate)),
            "",
            _rate(sum(step.pieces for step in steps.steps), rate),
            "",
        )
    )


def _rate(pieces: int, rate: int) -> str:
    source = "common practice for one person" if rate == RATE else "as asked for"
    return f"{_number(pieces)} pieces at {rate} a minute ({source}) take {hours(pieces, rate)}."


def hours(pieces: int, rate: int) -> str:
    """The time for placing, to the minute above.

    >>> hours(45, 15), hours(5000, 15)
    ('3 min', '5 h 34 min')
    """
    whole, minutes = divmod(-(-pieces // rate), 60)
    return f"{whole} h {minutes:02} min" if whole else f"{minutes} min"


def _materials(counts: Counts) -> list[tuple[str, int]]:
    """Most of all first, in the builder's own names where there are any."""
    found: dict[str, int] = {}
    for need in counts.all:
        found[need.material] = found.get(need.material, 0) + need.count
    return sorted(found.items(), key=lambda pair: (-pair[1], pair[0]))


def _steps(steps: Steps, titles: Sequence[str], rate: int) -> Iterator[tuple[str, str]]:
    for step, title in zip(steps.steps, titles, strict=True):
        told = f"{_number(step.pieces)} pieces, {hours(step.pieces, rate)}"
        yield f"{step.number:2}. {title}", told


def _headed(words: str) -> tuple[str, str]:
    return words, "-" * len(words)


def _columns(rows: Iterable[tuple[str, str]]) -> Iterator[str]:
    told = list(rows)
    wide = max((len(name) for name, _ in told), default=0)
    return (f"{name:<{wide}}  {value}" for name, value in told)


def _number(n: int) -> str:
    return f"{n:,}".replace(",", " ")
