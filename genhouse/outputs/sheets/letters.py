"""What columns are called."""

from __future__ import annotations


def letters_of(n: int) -> str:
    """The name of a column: A to Z, then AA.

    >>> letters_of(0), letters_of(25), letters_of(26)
    ('A', 'Z', 'AA')
    """
    head, last = divmod(n, 26)
    return (letters_of(head - 1) if head else "") + chr(65 + last)
