"""What the guide says repeats, done as it says with the pieces of steps.csv.

Knows the order of building, the walls and the ground of ``house.json``, and the sentences; and the rule
that the page states: a bay that repeats another is counted from both ends inward, a wider one takes more
of what stands in its middle.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from typing import Any, NamedTuple

from tests.outside.alike import Bays, Column, rect_of
from tests.outside.marks import (
    LINE,
    LISTED,
    MARK,
    PLACE,
    SPAN,
    WORDS,
    Rect,
    cells_of,
    int_of,
    listed_of,
    number_of,
    rect_at,
    turned,
)
from tests.outside.steps import Piece

Cell = tuple[int, int, int]


class Astray(NamedTuple):
    """A sentence that does not hold."""

    step: int
    sentence: str
    why: str


def astray(
    told: Iterable[tuple[int, str]], pieces: Iterable[tuple[Cell, Piece]], document: dict[str, Any]
) -> Iterator[Astray]:
    """told: the number of a step, and a sentence of it."""
    steps: dict[int, dict[tuple[int, int], set[tuple[int, str, str]]]] = {}
    for (x, y, z), piece in pieces:
        if not piece.support:
            over = steps.setdefault(piece.step, {}).setdefault((x, y), set())
            over.add((z, piece.material, piece.form))
    sites: dict[int, Site] = {}
    for number, sentence in told:
        if number not in sites:
            columns = {at: frozenset(column) for at, column in steps[number].items()}
            sites[number] = Site(columns, document)
        try:
            sites[number].follow(sentence)
        except (ValueError, KeyError, IndexError) as error:
            yield Astray(number, sentence, str(error))
    for number, site in sites.items():
        if why := site.left():
            yield Astray(number, "", why)


class Site:
    """The pieces of one step, and what sentences have told of them."""

    def __init__(self, columns: dict[tuple[int, int], Column], document: dict[str, Any]) -> None:
        self.columns, self.ground = columns, document["heights"]["ground"]
        self.bays = Bays(columns, document)
        self.told = self.bays.told
        self.tiled = self.posts = False
        self.kinds = list[Column]()

    def follow(self, sentence: str) -> None:
        """Raises ValueError where it does not hold."""
        for pattern, act in SENTENCES:
            if found := re.fullmatch(pattern, sentence):
                act(self, found)
                return
        raise ValueError("nobody would know what it means")

    def left(self) -> str:
        """What is said of nothing, where all should be told."""
        left = self.columns.keys() - self.told
        if self.tiled and left:
            return f"no sentence tells of {sorted(left)[0]}"
        if self.posts and left - {c for wall in self.bays.walls for c in cells_of(rect_of(wall))}:
            return "a column is told of by no sentence"
        return ""

    # What stands by itself

    def columns_alike(self, found: re.Match[str]) -> None:
        cells = [
            (number_of(mark), int(row) - 1)
            for row, marks in re.findall(
                r"in row (\d+) at ([A-Z]+(?:(?:, | and )[A-Z]+)*)", found["rows"]
            )
            for mark in listed_of(marks, "[A-Z]+")
        ]
        kinds = {self.columns.get(cell, frozenset()) for cell in cells}
        if len(kinds) != 1 or not (kind := kinds.pop()):
            raise ValueError("these are not alike")
        if kind in self.kinds:
            raise ValueError("what is alike is told of twice")
        if found["all"] and int_of(found["all"]) != len(cells):
            raise ValueError(f"it names {len(cells)}")
        heights = sorted(z for z, *_ in kind)
        if found["high"]:
            low = int(found["low"]) + self.ground - 1
            if heights != list(range(low, low + int_of(found["high"]))):
                raise ValueError(f"it is built in {heights}")
        elif heights != self._layers(found["foot"]):
            raise ValueError(f"it is built in {heights}")
        self.kinds.append(kind)
        self.told.update(cells)
        self.posts = True

    def _layers(self, words: str) -> list[int]:
        spans = re.findall(r"in layers? (-?\d+)(?: to (-?\d+))?", words)
        return sorted(z + self.ground - 1 for a, b in spans for z in range(int(a), int(b or a) + 1))

    # Roofs

    def slope(self, found: re.Match[str]) -> None:
        rows, others = dict[int, tuple[int, int]](), set[tuple[int, int]]()
        columns, axis = dict[int, Column](), ""
        for clause in found["rows"].split("; "):
            if odd := re.fullmatch(rf"other pieces at ({LISTED.format(PLACE)})", clause):
                others |= {c for p in listed_of(odd[1], PLACE) for c in cells_of(rect_at(p))}
                continue
            told = re.fullmatch(
                rf"(?P<noun>rows?|lines?) (?P<rows>{LISTED.format(MARK)}) from (?P<a>{MARK}) to "
                rf"(?P<b>{MARK})(?:, (?P<of>.*)| repeats? (?:rows?|lines?) (?P<like>{LISTED.format(MARK)})"
                r"(?: (?P<rise>\w+) layers? higher)?)",
                clause,
            )
            if told is None:
                raise ValueError(f"{clause!r} cannot be followed")
            axis = "x" if told["noun"].startswith("row") else "y"
            mine = [number_of(mark) for mark in listed_of(told["rows"], MARK)]
            span = number_of(told["a"]), number_of(told["b"]) + 1
            if told["of"]:
                columns[mine[0]] = self.columns.get(turned(axis, span[0], mine[0]), frozenset())
                if sorted(z for z, *_ in columns[mine[0]]) != self._layers(told["of"]):
                    raise ValueError(f"{clause!r} is not in these layers")
            else:
                like = [number_of(mark) for mark in listed_of(told["like"], MARK)]
                rise = {None: 0, "a": 1}.get(told["rise"], WORDS.get(told["rise"] or "", 99))
                for row, other in zip(mine, like, strict=True):
                    columns[row] = frozenset((z + rise, *rest) for z, *rest in columns[other])  # type: ignore[misc]
            rows |= dict.fromkeys(mine, span)
        seen = set()
        for row, (a, b) in rows.items():
            for n in range(a, b):
                cell = turned(axis, n, row)
                seen.add(cell)
                if (self.columns.get(cell, frozenset()) != columns[row]) != (cell in others):
                    raise ValueError(f"{cell} is{' not' * (cell not in others)} as the row has it")
        if others - seen:
            raise ValueError(f"{min(others - seen)} lies in no row that is told of")
        if seen & self.told:
            raise ValueError("a cell is told of twice")
        self.told |= seen

    # Floors

    def tiles(self, found: re.Match[str]) -> None:
        places = re.findall(rf"({PLACE}) in room \d+", found["rooms"])
        cells = {cell for place in places for cell in cells_of(rect_at(place))}
        if len({frozenset(p[1:] for p in self.columns.get(c, ())) for c in cells}) != 1:
            raise ValueError("not every cell has the same piece")
        self.told |= cells
        self.tiled = True

    def mats(self, found: re.Match[str]) -> None:
        self.tiled = True
        for clause in found["mats"].split("; "):
            if half := re.fullmatch(rf"half (?:a mat|mats) at ({LISTED.format(PLACE)})", clause):
                self._lay([rect_at(place) for place in listed_of(half[1], PLACE)])
                continue
            told = re.fullmatch(
                rf"(?:across them )?({PLACE})(?:, and the same way from ({LISTED.format(PLACE)}))?",
                clause,
            )
            if told is None:
                raise ValueError(f"{clause!r} cannot be followed")
            x0, y0, x1, y1 = first = rect_at(told[1])
            corners = (rect_at(place)[:2] for place in listed_of(told[2] or "", PLACE))
            self._lay([first, *((x, y, x + x1 - x0, y + y1 - y0) for x, y in corners)])

    def _lay(self, rects: list[Rect]) -> None:
        def shown(rect: Rect) -> list[Column]:
            return [self.columns.get(cell, frozenset()) for cell in cells_of(rect)]

        for rect in rects:
            if shown(rect) != shown(rects[0]) or not all(shown(rect)):
                raise ValueError(f"{rect} is not laid as the first")
            if self.told & set(cells_of(rect)):
                raise ValueError(f"{rect} lies on another")
            self.told.update(cells_of(rect))


SENTENCES: tuple[tuple[str, Callable[[Site, re.Match[str]], None]], ...] = (
    (
        rf"Along (?P<noun>rows?|lines?) (?P<line>{LINE}): build (?P<first>{SPAN}), and repeat it for "
        r"(?P<others>[^;]*?)(?:; (?P<odd>.*))?\.",
        lambda site, found: site.bays.along(found),
    ),
    (
        rf"Bay after bay is built like (?P<first>{PLACE}): (?P<lines>[^;]*?)(?:; (?P<odd>.*))?\.",
        lambda site, found: site.bays.everywhere(found),
    ),
    (
        rf"Build (?P<first>{PLACE}), and repeat it for (?P<others>{LISTED.format(PLACE)})\.",
        lambda site, found: site.bays.repeated(found),
    ),
    (r"Each on its own: (?P<bays>.*)\.", lambda site, found: site.bays.alone(found)),
    (
        r"(?:(?P<high>\w+) cells? high, from layer (?P<low>-?\d+)|From the foot up, (?P<foot>.*?)): "
        r"(?P<rows>in row .*?)(?:, (?P<all>\d+) in all)?\.",
        Site.columns_alike,
    ),
    (r"Every cell takes .*?: (?P<rooms>.*)\.", Site.tiles),
    (r"In room \d+ lay (?P<mats>.*)\.", Site.mats),
    (
        r"[A-Z][a-z -]*(?:, \w+ side, from the (?:eaves up|edge inward))?: (?P<rows>.*)\.",
        Site.slope,
    ),
)
