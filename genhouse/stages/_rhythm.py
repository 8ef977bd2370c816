"""The rhythm of a row of bays."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import accumulate

from genhouse.core.draw import Draw
from genhouse.traditions.tradition import Rhythm


def bay_lengths(gaps: Sequence[int]) -> tuple[int, int]:
    """The least and the most of a bay, post line to post line, by the clear cells that are allowed."""
    return min(gaps) + 1, max(gaps) + 1


def divisible(length: int, gaps: Sequence[int]) -> bool:
    """Whether a distance between two wall lines can be cut into bays.

    >>> [n for n in range(13) if divisible(n, (3, 4, 5))]
    [4, 5, 6, 8, 9, 10, 11, 12]
    """
    least, most = bay_lengths(gaps)
    return length >= least and -(-length // most) <= length // least


def axial(length: int, gaps: Sequence[int], *, odd: bool = True) -> list[tuple[int, ...]]:
    """The ways to cut a distance alike on both sides of its middle, where bays are widest: one for each
    number of them, as alike as may be.  odd: whether their number has to be.

    >>> axial(16, (3, 4, 5)), axial(8, (3, 4, 5)), axial(8, (3, 4, 5), odd=False)
    ([(5, 6, 5)], [], [(4, 4)])
    """
    least, most = bay_lengths(gaps)
    found: list[tuple[int, ...]] = []
    for count in range(1, length // least + 1, 1 + odd):
        half, single = divmod(count, 2)
        middles = range(-(-length // count), most + 1) if single else (0,)
        middle = next((m for m in middles if (length - m) % 2 == 0), None)
        if middle is None:
            continue
        each, more = divmod((length - middle) // 2, half) if half else (0, 0)
        side = (*(each,) * (half - more), *(each + 1,) * more)
        bays = (*side, *(middle,) * single, *side[::-1])
        if sum(bays) == length and min(bays) >= least and max(bays) <= most:
            found.append(bays)
    return found


def measured(lengths: Collection[int], gaps: Sequence[int]) -> int | None:
    """The least of a bay such that some distances can all be cut into bays of it, or a cell more.

    >>> measured([8, 12, 9], (3, 4, 5)), measured([10, 6, 12], (3, 4, 5)), measured([4, 6], (3, 4, 5))
    (4, 5, None)
    """
    least, most = bay_lengths(gaps)
    some = range(least, max(most, least + 1))
    return next((n for n in some if all(_counts(length, n) for length in lengths)), None)


def _counts(length: int, least: int) -> range:
    """Numbers of bays of a measure, or a cell more, into which a distance can be cut."""
    return range(-(-length // (least + 1)), length // least + 1)


def divide(
    length: int,
    gaps: Sequence[int],
    draw: Draw,
    rhythm: Rhythm = "lively",
    measure: int | None = None,
) -> tuple[int, ...]:
    """Cut a distance into bays, line to line: symmetrical, or deliberately not.

    rhythm: axial is always symmetrical, of an odd number of bays wherever there is one; those that are
    alike are within a cell of each other.  measure: the least of them, wherever that may be.
    Raises ValueError where it is not divisible.
    """
    least, most = bay_lengths(gaps)
    counts = range(-(-length // most), length // least + 1)
    if length < least or not counts:
        raise ValueError(f"{length} cells cannot be cut into bays of {min(gaps)} to {max(gaps)}")
    ways: Sequence[tuple[int, ...]] = ()
    if rhythm == "axial":
        ways = axial(length, gaps) or axial(length, gaps, odd=False)
    if rhythm == "alike":
        some = (measure and _counts(length, measure)) or counts
        ways = [_alike(length, count, draw.at(count)) for count in some]
    if ways:
        return draw.choice(ways, "bays")
    lively = [n for n in counts if least * n < length] or list(counts)
    count = draw.choice(lively, "bays", weights=[1 + n for n in range(len(lively))])
    extra = length - least * count
    bays = [least] * count
    order = draw.shuffled(range(count), "wide bays")
    if draw.chance(1, 2, "symmetry"):
        order = _from_middle(count) if draw.chance(2, 3, "wide middle") else _from_ends(count)
    for i in range(extra):
        bays[order[i % count]] += 1
    return tuple(bays)


def _alike(length: int, count: int, draw: Draw) -> tuple[int, ...]:
    """So many bays within a cell of each other."""
    each, more = divmod(length, count)
    return tuple(draw.shuffled([each + 1] * more + [each] * (count - more), "wider"))


def _from_middle(count: int) -> list[int]:
    return sorted(range(count), key=lambda i: (abs(2 * i - count + 1), i))


def _from_ends(count: int) -> list[int]:
    return _from_middle(count)[::-1]


def lines(start: int, bays: tuple[int, ...]) -> tuple[int, ...]:
    """Post lines from the first one on.

    >>> lines(2, (4, 4, 5))
    (2, 6, 10, 15)
    """
    return tuple(accumulate(bays, initial=start))
