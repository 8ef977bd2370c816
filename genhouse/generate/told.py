"""Refusals of a brief as a client is told them: the line, the key, what it wants.

Within the program a place in a brief is ``rooms[0].area[1]``; a client counts rooms from one, and
looks for a line of the file.
"""

from __future__ import annotations

import re

from genhouse.model.brief import line_name
from genhouse.model.keys import key_of

TABLES = {
    "sides": 'a table of sides, such as { west = "party" }',
    "ground": "a table of corners, such as { northwest = 2, northeast = 2 }",
    "roof": "a table of its own, headed [roof]",
    "rooms": "a table for each line of the programme, headed [[rooms]]",
}

PLACE = re.compile(r"\b(?P<table>rooms)\[(?P<n>\d+)\](?:\.(?P<word>\w+))?")
START = re.compile(r"(?P<place>(?:rooms\[\d+\]|[a-z_]+)(?:\.\w+)?)(?:\[\d+\])?: ")


def for_people(message: str, text: str | None = None) -> str:
    """A refusal in a client's words.  text: of the file, to find the line in.

    >>> for_people("rooms[1].area: [9, 2] is not a least and a most")
    'rooms 2, `area`: [9, 2] is not a least and a most'
    """
    start = START.match(message)
    at = line_of(text, start["place"]) if text and start else None
    return f"line {at}: {counted(message)}" if at else counted(message)


def counted(message: str) -> str:
    """Places among the rooms, counted from one."""

    def said(place: re.Match[str]) -> str:
        word = f", `{place['word']}`" if place["word"] else ""
        return line_name(int(place["n"])) + word

    return PLACE.sub(said, message)


def wanted(place: str) -> str | None:
    """What a key wants, with an example: for a value of the wrong kind.  place: ``rooms[0].area[1]``.

    >>> wanted("plot[0]")
    'plot: it wants two whole numbers, such as [25, 31]'
    """
    bare = re.sub(r"(\[\d+\])+$", "", place)
    name = re.sub(r"\[\d+\]", "", bare)
    if name in TABLES:
        return f"{bare}: it wants {TABLES[name]}"
    key = key_of(name)
    return f"{bare}: it wants {key.wants}, such as {key.example}" if key else None


def line_of(text: str, place: str) -> int | None:
    """The line of a TOML text on which a key stands, from one; None where it is not to be found.

    >>> line_of('plot = [20, 30]\\n[[rooms]]\\nkind = "bath"\\n', "rooms[0].kind")
    3
    """
    match = re.fullmatch(
        r"(?:(?P<table>\w+?)(?:\[(?P<n>\d+)\])?\.)?(?P<word>\w+)(?:\[(?P<m>\d+)\])?", place
    )
    if match is None:
        return None
    table, word = match["table"] or "", match["word"]
    wanted_n = int(match["n"] or 0)
    if match["m"] is not None:  # a whole line of the programme: its header
        table, word, wanted_n = word, "", int(match["m"])
    inside, seen, header = "", -1, None
    for number, line in enumerate(text.splitlines(), 1):
        if opened := re.match(r"\s*\[\[?\s*([\w.]+)\s*\]\]?", line):
            inside = opened[1]
            seen += inside == table
            if inside == table and seen == wanted_n:
                header = number
                if not word:
                    return number
            continue
        here = inside == table and (not table or seen == wanted_n)
        if word and here and re.match(rf"\s*[\"']?{word}[\"']?\s*=", line):
            return number
        if table and not inside and re.match(rf"\s*{table}(\s*\.\s*{word})?\s*=", line):
            return number  # written in one line
    return header
