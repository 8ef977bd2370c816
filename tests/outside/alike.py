"""Bays that a guide says are alike, held to the pieces of a step."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any, NamedTuple

from tests.outside.marks import (
    LINE,
    LISTED,
    MARK,
    PLACE,
    SPAN,
    WORDS,
    Rect,
    cells_of,
    ends_of,
    int_of,
    line_of,
    listed_of,
    number_of,
    rect_at,
    turned,
)

Column = frozenset[tuple[int, str, str]]
"""What stands over a cell: z, material and form of each piece."""
Shown = list[frozenset[tuple[int, int, str, str]]]
"""What a bay shows, cell by cell along: row across, z, material and form of each piece."""
VERBS = r"(?:has|have|is|are|stays|stay|takes|take)"


class Bay(NamedTuple):
    """The ground of a bay as it runs: from a to b along its axis, from c to d across."""

    axis: str
    a: int
    b: int
    c: int
    d: int


class Bays:
    """The bays in which one step sets something, and those that sentences have told of."""

    def __init__(self, columns: dict[tuple[int, int], Column], document: dict[str, Any]) -> None:
        self.columns = columns
        self.walls = sorted({bay for wall in document["segments"] if (bay := self._bay(wall))})
        self.told = set[tuple[int, int]]()

    def along(self, found: re.Match[str]) -> None:
        axis, low, high = line_of(found["noun"], found["line"])
        first, odd = (
            self._in(axis, low, high, found["first"]),
            self._odd(found["odd"], axis, low, high),
        )
        if between := re.fullmatch(
            rf"the (\w+) bays between ({MARK}) and ({MARK})", found["others"]
        ):
            ends = number_of(between[2]), number_of(between[3])
            within = [w for w in self._line(axis, low, high) if ends[0] < w.a and w.b <= ends[1]]
            if not within or (within[0].a - 1, within[-1].b) != ends:
                raise ValueError("no bay ends there")
            others = [w for w in within if w not in odd and w != first]
            if len(others) != int_of(between[1]):
                raise ValueError(f"there are {len(others)} bays between these")
        else:
            others = [self._in(axis, low, high, span) for span in listed_of(found["others"], SPAN)]
        if not {first, *others, *odd} <= set(self._line(axis, low, high)):
            raise ValueError("it names what is no bay")
        if left := set(self._line(axis, low, high)) - {first, *others, *odd}:
            raise ValueError(f"it leaves out {min(left)}")
        self._hold(first, others, odd)

    def everywhere(self, found: re.Match[str]) -> None:
        first, odd = self._at(found["first"]), self._odd(found["odd"])
        others = list[Bay]()
        lines = re.split(r",? (?:and )?(?=(?:rows?|lines?) )", " " + found["lines"])
        for line in filter(None, lines):
            told = re.fullmatch(rf"(?P<noun>rows?|lines?) (?P<line>{LINE}) (?P<spans>.*)", line)
            if told is None:
                raise ValueError(f"{line!r} names no line")
            axis, low, high = line_of(told["noun"], told["line"])
            for span in listed_of(told["spans"], SPAN):
                a, b = ends_of(span)
                mine = [w for w in self._line(axis, low, high) if a <= w.a and w.b <= b]
                if not mine or (mine[0].a, mine[-1].b) != (a, b):
                    raise ValueError(f"no bays go from {span}")
                others += mine
        if left := set(self.walls) - {first, *others, *odd}:
            raise ValueError(f"it leaves out {min(left)}")
        self._hold(first, others, odd)

    def repeated(self, found: re.Match[str]) -> None:
        others = [self._at(place) for place in listed_of(found["others"], PLACE)]
        self._hold(self._at(found["first"]), others, {})

    def alone(self, found: re.Match[str]) -> None:
        self._mark(self._at(place) for place in re.findall(PLACE, found["bays"]))

    def _hold(self, first: Bay, others: Iterable[Bay], odd: dict[Bay, str]) -> None:
        for other in others:
            if self._shown(other) != self._wide(first, other):
                raise ValueError(f"{other} is not like the first")
        for other, words in odd.items():
            mine, like = self._shown(other), self._wide(first, other)
            if mine == like:
                raise ValueError(f"{other} is like the first")
            if why := unlike(mine, like, words):
                raise ValueError(f"{other}: {why}")
        self._mark((first, *others, *odd))

    def _mark(self, bays: Iterable[Bay]) -> None:
        for bay in bays:
            if bay not in self.walls:
                raise ValueError(f"{bay} is no bay")
            self.told.update(cells_of(rect_of(bay)))

    def _shown(self, bay: Bay) -> Shown:
        """Cell by cell along."""
        ways = [
            [(across - bay.c, self.columns.get(turned(bay.axis, n, across), frozenset()))
             for across in range(bay.c, bay.d)]
            for n in range(bay.a, bay.b)
        ]  # fmt: skip
        return [frozenset((row, *p) for row, column in way for p in column) for way in ways]

    def _wide(self, first: Bay, other: Bay) -> Shown:
        """The first as wide as another: each cell as that which lies as far from the nearer end."""
        shown, wide, most = self._shown(first), other.b - other.a, (first.b - first.a - 1) // 2
        if first.d - first.c != other.d - other.c:
            return []
        return [
            shown[min(n, most)] if n <= wide - 1 - n else shown[-1 - min(wide - 1 - n, most)]
            for n in range(wide)
        ]

    def _bay(self, wall: dict[str, Any]) -> Bay | None:
        """Of a wall in which the step sets something."""
        x0, y0, x1, y1 = wall["cells"]
        over = (p for c in cells_of((x0, y0, x1, y1)) for p in self.columns.get(c, ()))
        if not any(wall["z0"] <= z < wall["z1"] for z, *_ in over):
            return None
        return Bay("x", x0, x1, y0, y1) if wall["axis"] == "x" else Bay("y", y0, y1, x0, x1)

    def _line(self, axis: str, low: int, high: int) -> list[Bay]:
        return [w for w in self.walls if (w.axis, w.c, w.d) == (axis, low, high)]

    def _in(self, axis: str, low: int, high: int, span: str) -> Bay:
        return Bay(axis, *ends_of(span), low, high)

    def _at(self, place: str) -> Bay:
        x0, y0, x1, y1 = rect_at(place)
        for bay in self.walls:
            if rect_of(bay) == (x0, y0, x1, y1):
                return bay
        raise ValueError(f"{place} is no bay")

    def _odd(self, told: str, *line: Any) -> dict[Bay, str]:
        """Bays that differ, and what is said of them."""
        name = SPAN if line else PLACE
        found = {}
        for clause in filter(None, (told or "").split("; ")):
            parts = re.fullmatch(rf"({LISTED.format(name)}) ({VERBS} .*|stay|stays open)", clause)
            if parts is None:
                raise ValueError(f"{clause!r} names no bay")
            for one in listed_of(parts[1], name):
                found[self._in(*line, one) if line else self._at(one)] = parts[2]
        return found


def rect_of(bay: Bay) -> Rect:
    return (bay.a, bay.c, bay.b, bay.d) if bay.axis == "x" else (bay.c, bay.a, bay.d, bay.b)


def unlike(mine: Shown, like: Shown, words: str) -> str:
    """What is wrong with what is said of a bay that differs."""
    if moved := re.fullmatch(r"(?:is|are) the same, (\w+) layers? (higher|lower)", words):
        by = (1 if moved[1] == "a" else WORDS[moved[1]]) * (1 if moved[2] == "higher" else -1)
        lifted = [frozenset((row, z + by, *rest) for row, z, *rest in way) for way in like]
        return "" if lifted == mine else "it is not the same so much higher"
    if "mirror image" in words:
        return "" if like[::-1] == mine else "it is no mirror image"
    if words.startswith(("takes the same pieces", "take the same pieces")):
        return "" if kinds(mine) == kinds(like) else "the pieces are others"
    if words.startswith(("takes ", "take ")):
        more, _, less = words.partition(" in place of ")
        if words.endswith(" less"):
            more, less = "", words
        by = sum(map(int, re.findall(r"\((\d+)\)", more))) - sum(
            map(int, re.findall(r"\((\d+)\)", less))
        )
        return "" if len(kinds(mine)) - len(kinds(like)) == by else "it has not so many pieces more"
    return ""


def kinds(ways: Shown) -> list[tuple[str, str]]:
    return sorted(piece[2:] for way in ways for piece in way)
