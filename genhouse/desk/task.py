"""What is asked of a bench, and what comes of it: frozen values that pass between processes."""

from __future__ import annotations

from typing import Any

import msgspec
from msgspec import Struct

from genhouse.core.digest import digest
from genhouse.model.brief import Recipe


class Task(Struct, frozen=True):
    """work: its name among ``works.WORKS``.  options: further ones by name.  given: what follows from
    these and was worked out before.
    """

    work: str
    recipe: Recipe
    options: tuple[tuple[str, Any], ...] = ()
    given: tuple[tuple[str, Any], ...] = ()

    @property
    def key(self) -> str:
        """Its digest: the same task has the same answer."""
        return digest((self.work, self.recipe, self.options))


class Answer(Struct, frozen=True):
    """kind: media type.  status: as HTTP counts them.  name: of the file, where it is one to keep."""

    body: bytes
    kind: str = "application/json"
    status: int = 200
    name: str = ""


OK, REFUSED, BUSY, OVERTAKEN, UNKNOWN, WRONG, STUMBLED = 200, 422, 503, 409, 404, 400, 500
"""Answered; refused in a sentence; too much is waited for; a newer wish came; no such thing; malformed; a
fault of the desk's own."""
NO_WAY = 405
"""Asked by a method that the page has not."""


def whole(text: str) -> int | None:
    """The whole number that a word of an address says, of at most nine figures.

    >>> whole("12"), whole("-1"), whole("²"), whole("9" * 5000)
    (12, None, None, None)
    """
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else None


def told(value: Any, status: int = OK) -> Answer:
    """A plain value, as JSON."""
    return Answer(msgspec.json.encode(value), status=status)


def sentence(words: str, status: int = REFUSED, **more: Any) -> Answer:
    """Why not, in one sentence."""
    return told({"sentence": words, "fields": [], "offers": [], **more}, status)
