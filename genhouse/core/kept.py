"""What is worked out once and kept for the whole process: by value, filled under a lock, read-only.

So it never matters which thread, house or test asked first, nor whether a value is the very one that
was handed out before: nothing may ask for that.  ``functools`` caches hold to the same, but two threads
may both work a value out; they suit what is small.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from threading import RLock
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar

if TYPE_CHECKING:
    import numpy.typing as npt

P = ParamSpec("P")
T = TypeVar("T")
A = TypeVar("A", bound="npt.NDArray[Any]")


def once(work: Callable[P, T]) -> Callable[P, T]:
    """Work out an answer once for each arguments, however many threads ask at the same time."""
    kept: dict[tuple[Any, ...], T] = {}
    lock = RLock()

    @wraps(work)
    def asked(*args: P.args, **named: P.kwargs) -> T:
        key = (*args, *named.items())
        try:
            return kept[key]
        except KeyError:
            with lock:
                if key not in kept:
                    kept[key] = work(*args, **named)
                return kept[key]

    return asked


def fixed(array: A) -> A:
    """The same array, read-only from now on."""
    array.flags.writeable = False
    return array
