"""Stopping: at once, without a word of code, and with nobody and nothing left behind."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="looks into /proc")

CODES = {"SIGINT": 130, "SIGTERM": 143, "SIGKILL": -signal.SIGKILL}
WORDS = {
    "design": ["design", "7", "--out", "house"],
    "ideas": ["ideas", "0:40", "--out", "ideas"],
    "vary": ["vary", "first", "-n", "8", "--out", "variants"],
}
WORKERS = {"design": 1, "ideas": 2, "vary": 2}
START = "from genhouse.cli.start import start; start()"


def session(number: int) -> list[int]:
    """The processes of a session that have not ended."""
    found = []
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            state, _, _, leader, *_ = path.read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(leader) == number and state != "Z":
            found.append(int(path.parent.name))
    return found


def begun(words: list[str], folder: Path) -> subprocess.Popen[str]:
    pipe = subprocess.PIPE
    command = [sys.executable, "-c", START, *words]
    return subprocess.Popen(
        command, cwd=folder, stdout=pipe, stderr=pipe, text=True, start_new_session=True
    )


@pytest.mark.parametrize(
    ("command", "how"),
    [
        *(("design", how) for how in CODES),
        *(("ideas", how) for how in ("SIGTERM", "SIGKILL")),
        ("vary", "SIGINT"),
    ],
)
def test_a_stop_amid_the_work_leaves_nobody(
    written: Path, tmp_path: Path, command: str, how: str
) -> None:
    """The signal comes when the workers are there: an interrupt to all, as from a terminal."""
    (tmp_path / "first").symlink_to(written)
    run = begun(WORDS[command], tmp_path)
    least = min(WORKERS[command], os.cpu_count() or 1)
    while len(session(run.pid)) <= least and run.poll() is None:
        time.sleep(0.01)
    (os.killpg if how == "SIGINT" else os.kill)(run.pid, getattr(signal, how))
    try:
        out, err = run.communicate(timeout=20)
    finally:
        time.sleep(0.05)
        left = session(run.pid)
        for number in left:
            os.kill(number, signal.SIGKILL)
    assert (run.returncode, out, err, left) == (CODES[how], "", "", [])
    assert [p.name for p in tmp_path.iterdir()] == ["first"]


@pytest.mark.parametrize("how", ["SIGINT", "SIGTERM"])
def test_an_ignored_signal_stays_ignored(tmp_path: Path, how: str) -> None:
    ignore = f"import signal; signal.signal(signal.{how}, signal.SIG_IGN); "
    kill = f"import os; os.kill(os.getpid(), signal.{how}); "
    code = f"{ignore}from genhouse.core.stopping import stop_at_once; stop_at_once(); {kill}"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
