"""Numbers and rows as one reads them out."""

from __future__ import annotations

from collections.abc import Iterable

ORDINALS = (
    *("zeroth", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"),
    *("ninth", "tenth", "eleventh", "twelfth"),
)
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def ordinal(n: int) -> str:
    return ORDINALS[n] if n < len(ORDINALS) else f"{n}th"


def with_article(noun: str) -> str:
    """
    >>> with_article("green"), with_article("orchard")
    ('a green', 'an orchard')
    """
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def numeral(n: int) -> str:
    """
    >>> numeral(0), numeral(4), numeral(11)
    ('no', 'four', '11')
    """
    return NUMBERS[n] if n < len(NUMBERS) else str(n)


def some(n: int, noun: str, plural: str = "") -> str:
    """A number and what it counts.

    >>> some(1, "door"), some(3, "door"), some(24, "half mat")
    ('one door', 'three doors', '24 half mats')
    """
    return f"{numeral(n)} {noun if n == 1 else plural or noun + 's'}"


def listed(words: Iterable[object]) -> str:
    """Words in a row.

    >>> listed("abc"), listed([])
    ('a, b and c', '')
    """
    *most, last = list(map(str, words)) or [""]
    return f"{', '.join(most)} and {last}" if most else last
