"""Long work says on a terminal how far it has come; into a pipe it says nothing."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from genhouse.cli import progress

SHOWN = """
import sys, time
from genhouse.cli import progress
from genhouse.core.progress import told
progress.PATIENCE = 0.05
with progress.progress_shown():
    for _ in told("houses", range(40), 40):
        time.sleep(0.01)
"""


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a terminal")
def test_a_terminal_is_told_what_is_left(tmp_path: Path) -> None:
    master, slave = os.openpty()
    command = [sys.executable, "-c", SHOWN]
    env = {**os.environ, "TERM": "xterm", "COLUMNS": "100"}
    done = subprocess.Popen(command, stderr=slave, cwd=tmp_path, env=env)
    os.close(slave)
    said = b""
    while True:
        try:
            more = os.read(master, 65536)
        except OSError:  # the other end is gone
            break
        if not more:
            break
        said += more
    os.close(master)
    assert done.wait() == 0
    assert b"houses" in said
    assert b"/40" in said
    assert b"0:00:" in said


def test_a_pipe_is_told_nothing(tmp_path: Path) -> None:
    command = [sys.executable, "-c", SHOWN]
    done = subprocess.run(command, capture_output=True, cwd=tmp_path, check=True)
    assert (done.stdout, done.stderr) == (b"", b"")


def test_quick_work_shows_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(progress, "_shown", lambda: pytest.fail("shown at once"))
    line = progress._Line()
    line("houses", 1, 2)
    line.gone()
