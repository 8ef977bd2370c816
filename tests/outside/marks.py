"""Places as a guide names them: letters run east and numbers north, from A1 in the south-west."""

from __future__ import annotations

import re

Rect = tuple[int, int, int, int]
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
WORDS = {word: n for n, word in enumerate(NUMBERS)}
PLACE = r"[A-Z]+\d+(?: to [A-Z]+\d+)?"
MARK = r"(?:[A-Z]+|\d+)"
SPAN = rf"{MARK}(?: to {MARK})?"
LISTED = "{0}(?:(?:, | and ){0})*"
LINE = rf"{MARK}(?: (?:and|to) {MARK})?"


def turned(axis: str, along: int, across: int) -> tuple[int, int]:
    return (along, across) if axis == "x" else (across, along)


def cells_of(rect: Rect) -> list[tuple[int, int]]:
    x0, y0, x1, y1 = rect
    return [(x, y) for y in range(y0, y1) for x in range(x0, x1)]


def int_of(word: str) -> int:
    return int(word) if word.isdecimal() else WORDS[word.lower()]


def number_of(mark: str) -> int:
    """A letter or a number as a cell counted from 0."""
    if mark.isdecimal():
        return int(mark) - 1
    number = 0
    for letter in mark:
        number = 26 * number + ord(letter) - 64
    return number - 1


def ends_of(span: str) -> tuple[int, int]:
    low, _, high = span.partition(" to ")
    return number_of(low), number_of(high or low) + 1


def line_of(noun: str, names: str) -> tuple[str, int, int]:
    marks = re.findall(MARK, re.sub(" (and|to) ", " ", names))
    return "x" if noun.startswith("row") else "y", number_of(marks[0]), number_of(marks[-1]) + 1


def rect_at(place: str) -> Rect:
    low, _, high = place.partition(" to ")
    (x0, y0), (x1, y1) = (
        (number_of(re.sub(r"\d", "", one)), int(re.sub(r"\D", "", one)) - 1)
        for one in (low, high or low)
    )
    return x0, y0, x1 + 1, y1 + 1


def listed_of(words: str, name: str) -> list[str]:
    return re.findall(name, words)
