"""Where the command starts: a stop is followed at once, and what it says cannot fail half-way.

Exit codes: 0 done; 1 an inspection found something; 2 refused, in one sentence; 70 a fault of genhouse
itself; 130 and 143 stopped by an interrupt or a termination.
"""

from __future__ import annotations

import io
import os
import sys
from typing import Any, NoReturn, TextIO

from genhouse.core.errors import UNEXPECTED, WriteError
from genhouse.core.stopping import stop_at_once

OUT, ERR = 1, 2
TRACE = "GENHOUSE_TRACE"
"""Set in the environment, a fault of genhouse's own shows where it arose."""


class Outward(io.FileIO):
    """A stream to the outside.  Where nobody listens any more, the rest is said to nobody; where it
    cannot be written, that is a refusal, or nothing where it was itself the place for refusals."""

    def write(self, data: Any, /) -> int:
        try:
            return super().write(data) or 0
        except OSError as error:
            _to_nobody(self.fileno())
            if isinstance(error, BrokenPipeError) or self.fileno() == ERR:
                return len(data)
            reason = (error.strerror or "").lower()
            raise WriteError(f"the answer was not written: {reason}") from error


def start() -> NoReturn:
    """Run the command, and end."""
    stop_at_once()
    _open_all_three()
    sys.stdout, sys.stderr = _outward(sys.stdout, OUT), _outward(sys.stderr, ERR)
    sys.exit(_run())


def _run() -> int:
    """The exit code."""
    try:
        from genhouse.cli.main import main

        try:
            main()
        finally:
            sys.stdout.flush()
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else 0
    except WriteError as error:
        print(f"genhouse: {error}", file=sys.stderr)
        return error.exit_code
    except Exception as error:
        if os.environ.get(TRACE):
            raise
        print(f"genhouse: {_fault(error)}", file=sys.stderr)
        return UNEXPECTED
    return 0


def _fault(error: Exception) -> str:
    """What went wrong within, on one line."""
    from genhouse.core.sentences import plain

    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    place = f"{trace.tb_frame.f_globals.get('__name__')}, line {trace.tb_lineno}" if trace else "?"
    said = plain(f"{type(error).__name__}: {error}")[:300]
    return f"a fault of its own, not of what was asked: {said} ({place}); {TRACE}=1 shows more"


def _open_all_three() -> None:
    """A stream that is shut leads nowhere, so that no file opened later takes its number."""
    while (number := os.open(os.devnull, os.O_RDWR)) <= ERR:
        pass
    os.close(number)


def _outward(stream: TextIO | None, number: int) -> TextIO:
    """The stream, with signs that its reader's letters lack replaced."""
    encoding = stream.encoding if stream else "utf-8"
    whole_lines = bool(stream and stream.isatty())
    raw = io.BufferedWriter(Outward(number, "w", closefd=False))
    return io.TextIOWrapper(raw, encoding, errors="replace", line_buffering=whole_lines)


def _to_nobody(number: int) -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, number)
    os.close(nowhere)
