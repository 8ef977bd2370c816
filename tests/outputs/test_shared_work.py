"""Work shared out among copies of this process: every piece once, whatever becomes of a helper."""

from __future__ import annotations

import os
import time
from collections.abc import Callable

import pytest

from genhouse.outputs.shared_work import SharedWork

NAMES = tuple(f"piece {n}" for n in range(40))


def done(work: Callable[[str], bytes], helpers: int) -> dict[str, bytes]:
    with SharedWork(NAMES, work, helpers) as shared:
        return shared.done()


def slowly(name: str) -> bytes:
    time.sleep(0.002)
    return name.encode() * 5000


@pytest.mark.parametrize("helpers", [0, 1, 3])
def test_every_piece_is_done_and_they_come_in_their_order(helpers: int) -> None:
    found = done(slowly, helpers)
    assert list(found) == list(NAMES)
    assert all(value == name.encode() * 5000 for name, value in found.items())


def test_helpers_take_pieces_and_none_is_left_behind() -> None:
    def who(_: str) -> bytes:
        time.sleep(0.002)
        return str(os.getpid()).encode()

    doers = {int(value) for value in done(who, 2).values()}
    assert len(doers - {os.getpid()}) >= 1
    for process in doers - {os.getpid()}:
        with pytest.raises(ChildProcessError):
            os.waitpid(process, 0)


@pytest.mark.parametrize("end", [lambda: os._exit(3), lambda: os.kill(os.getpid(), 9)])
def test_what_a_lost_helper_did_not_bring_is_done_here(end: Callable[[], None]) -> None:
    here = os.getpid()

    def work(name: str) -> bytes:
        if os.getpid() != here and name in NAMES[-30:]:
            end()
        return slowly(name)

    assert done(work, 2) == done(slowly, 0)


def test_a_piece_that_cannot_be_done_says_so_here() -> None:
    def work(name: str) -> bytes:
        if name == NAMES[7]:
            raise ArithmeticError(name)
        return slowly(name)

    with pytest.raises(ArithmeticError, match=NAMES[7]):
        done(work, 2)
