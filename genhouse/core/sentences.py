"""What is said of words that others wrote: on one line, and nothing in it that a terminal would obey."""

from __future__ import annotations

from collections.abc import Iterable
from unicodedata import category

LONGEST = 40
"""Letters of a quoted value."""
MOST = 1000
"""Letters of a sentence."""
UNSAID = ("Cc", "Cs", "Zl", "Zp")
"""Unicode's categories of control characters, halves of surrogate pairs and ends of lines."""


def plain(text: str) -> str:
    r"""The text with its control characters spelled out.

    >>> print(plain("Smith\x1b[2J\n"))
    Smith\x1b[2J\n
    """
    return "".join(_spelled(c) if unsaid(c) else c for c in text)


def quoted(value: object) -> str:
    """A value as one would write it, no longer than one would read.

    >>> quoted("n" * 99)
    "'nnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnn…"
    """
    try:
        text = plain(repr(value[:LONGEST]) if isinstance(value, str) else repr(value))
    except ValueError:  # a number of more digits than Python spells
        text = "a number of thousands of digits"
    return text if len(text) <= LONGEST else f"{text[:LONGEST]}…"


def sentence(text: str) -> str:
    """Words on one line, no more of them than one would read."""
    line = plain(" ".join(text.split()))
    return line if len(line) <= MOST else f"{line[: MOST // 2]} … {line[-MOST // 3 :]}"


def unsaid(character: str) -> bool:
    """Whether a character has no place in a line of text."""
    return category(character) in UNSAID


def _spelled(character: str) -> str:
    return character.encode("unicode_escape", "surrogatepass").decode()


def closest(name: object, known: Iterable[str]) -> str:
    """What would be right instead of a name.

    >>> closest("timbre", ["timber", "brick"]), closest("glass", ["timber", "brick"])
    ("did you mean 'timber'?", 'try timber, brick')
    """
    import difflib

    known = tuple(known)
    word = name[:LONGEST] if isinstance(name, str) else ""
    close = difflib.get_close_matches(word, known, 1)
    return f"did you mean {close[0]!r}?" if close else f"try {', '.join(known)}"
