"""The command ``desk``: it serves until it is stopped, and refuses what cannot be served."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path
from urllib.request import urlopen

import pytest
from click.testing import CliRunner

from genhouse.cli.main import main

STARTS = "from genhouse.cli.start import start; start()"


@pytest.mark.skipif(os.name != "posix", reason="it is stopped by a signal")
def test_it_prints_its_address_answers_there_and_ends_with_its_workers(tmp_path: Path) -> None:
    command = [sys.executable, "-c", STARTS, "desk", "--benches", "1"]
    with subprocess.Popen(
        command, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        address = process.stdout.readline().strip()
        assert address.startswith("http://127.0.0.1:")
        with urlopen(address, timeout=60) as answer:
            assert answer.status == 200
        with urlopen(f"{address}picture?seed=7&size=small", timeout=60) as answer:
            assert answer.read()[:2] == b"\xff\xd8"
        process.send_signal(signal.SIGTERM)
        _, said = process.communicate(timeout=60)
        assert said == ""
    assert list(tmp_path.iterdir()) == []


def test_an_address_that_is_none_is_refused() -> None:
    refused = CliRunner().invoke(main, ["desk", "--host", "203.0.113.9"])
    assert refused.exit_code == 2
    assert "host: nothing can be served at 203.0.113.9" in refused.output


def test_another_host_is_served_with_a_warning(monkeypatch: pytest.MonkeyPatch) -> None:
    from genhouse.desk import serve

    served = []
    monkeypatch.setattr(serve, "serve", lambda *asked: served.append(asked[0]))
    warned = CliRunner().invoke(main, ["desk", "--host", "0.0.0.0"])
    assert served == ["0.0.0.0"]
    assert "neither a password nor encryption" in warned.output
    quiet = CliRunner().invoke(main, ["desk"])
    assert quiet.output == ""
