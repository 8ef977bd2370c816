"""What is said of words that others wrote: on one line, and nothing in it that a terminal would obey."""

from __future__ import annotations

from unicodedata import category

UNSAID = ("Cc", "Cs", "Zl", "Zp")
"""Unicode's categories of control characters, halves of surrogate pairs and ends of lines."""


def plain(text: str) -> str:
    r"""The text with its control characters spelled out.

    >>> print(plain("Smith\x1b[2J\n"))
    Smith\x1b[2J\n
    """
    return "".join(_spelled(c) if unsaid(c) else c for c in text)


def unsaid(character: str) -> bool:
    """Whether a character has no place in a line of text."""
    return category(character) in UNSAID


def _spelled(character: str) -> str:
    return character.encode("unicode_escape", "surrogatepass").decode()
