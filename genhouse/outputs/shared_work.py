"""Work in pieces, shared out among copies of this process: whoever is free takes the next."""

from __future__ import annotations

import contextlib
import os
import pickle
import threading
from collections.abc import Callable, Iterator, Sequence
from types import TracebackType
from typing import NamedTuple


class _Helper(NamedTuple):
    """A copy of this process; what it has done comes through the pipe when nothing is left to do."""

    process: int
    pipe: int


class SharedWork:
    """Pieces of work by name, at most 255, begun at once by helpers and ended by ``done``.

    Helpers start with all that this process has read.  Where it cannot be copied, or has threads,
    which a copy would lack, everything is done here; and so is what a helper did not bring.
    """

    def __init__(self, names: Sequence[str], work: Callable[[str], bytes], helpers: int) -> None:
        self._names, self._work = tuple(names), work
        self._waiting, put = os.pipe()  # a byte for each piece, which only one reader gets
        os.write(put, bytes(range(len(self._names))))
        os.close(put)
        alone = not hasattr(os, "fork") or threading.active_count() > 1
        self._helpers = [] if alone else [self._helper() for _ in range(helpers)]

    def done(self) -> dict[str, bytes]:
        """Help, until nothing is left; then what came of each piece, by name."""
        found = self._taken()
        for helper in self._helpers:
            with (
                os.fdopen(helper.pipe, "rb", closefd=False) as pipe,
                contextlib.suppress(EOFError, pickle.UnpicklingError),
            ):
                found |= pickle.load(pipe)
        return {name: found[name] if name in found else self._work(name) for name in self._names}

    def _taken(self) -> dict[str, bytes]:
        return {name: self._work(name) for name in self._next()}

    def _next(self) -> Iterator[str]:
        while number := os.read(self._waiting, 1):
            yield self._names[number[0]]

    def _helper(self) -> _Helper:
        pipe, bring = os.pipe()
        process = os.fork()
        if process:
            os.close(bring)
            return _Helper(process, pipe)
        try:
            os.close(pipe)
            with os.fdopen(bring, "wb") as out:
                pickle.dump(self._taken(), out)
        finally:
            os._exit(0)  # none of what this process does at its end is a copy's business

    def __enter__(self) -> SharedWork:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Let helpers go after the piece that each is at."""
        os.read(self._waiting, len(self._names))
        for handle in (self._waiting, *(helper.pipe for helper in self._helpers)):
            os.close(handle)
        for helper in self._helpers:
            os.waitpid(helper.process, 0)
