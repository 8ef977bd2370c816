"""What holds at every door: an answer or a refusal of one sentence, soon, and in little memory."""

from __future__ import annotations

import os
import resource
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from click.testing import Result
from hypothesis import HealthCheck, settings

from genhouse.core.errors import GenhouseError

SOON = 3.0
"""Seconds of work for one case."""
MEMORY = 256
"""MB by which all cases of a door may make the process grow."""
TIMES = int(os.environ.get("FUZZ", "1"))
"""How many times the cases of the suite are tried; more than once, others each time."""


def tried(cases: int) -> settings:
    """How a door is tried."""
    return settings(
        max_examples=cases * TIMES,
        derandomize=TIMES == 1,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
    )


def answered(door: Callable[..., Any], *words: Any) -> Any:
    """What comes through the door, or None where it is refused as the law has it."""
    begun, refusal, answer = time.process_time(), None, None
    try:
        answer = door(*words)
    except GenhouseError as error:
        refusal = error
    assert time.process_time() - begun < SOON
    if refusal is not None:
        assert refusal.exit_code == 2
        check_sentence(str(refusal))
    return answer


def check_sentence(said: str) -> None:
    """One line that can be read."""
    assert said
    assert said.count("\n") == 0
    assert len(said) < 1500
    assert not any(ord(c) < 32 or 127 <= ord(c) < 160 for c in said), repr(said)


def check_result(result: Result, command: str) -> None:
    """Exit code 0, 1 or 2; 1 for findings alone; a refusal is one line."""
    assert isinstance(result.exception, (SystemExit, type(None))), repr(result.exception)
    assert result.exit_code in ((0, 1, 2) if command == "inspect" else (0, 2)), result.output
    if result.exit_code == 2:
        check_sentence(result.stderr.strip().splitlines()[-1])
        assert "Traceback" not in result.output


@contextmanager
def little_memory() -> Iterator[None]:
    """The process grows by no more than is allowed."""
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    yield
    grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
    assert grown < MEMORY << 10, f"{grown >> 10} MB more"
