"""The command as a process: what becomes of what it says, and its exit codes."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import msgspec
import pytest

from tests.cli.conftest import Run

START = "from genhouse.cli.start import start; start()"


def started(*words: object, code: str = START, **how: Any) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", code, *map(str, words)]
    how = {"stdout": subprocess.PIPE, **how}
    return subprocess.run(command, stderr=subprocess.PIPE, text=True, check=False, **how)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="has no full device")
@pytest.mark.parametrize("words", [["inspect"], ["show"], ["show", "--json"]], ids="-".join)
def test_an_answer_that_cannot_be_written_is_a_refusal(written: Path, words: list[str]) -> None:
    with Path("/dev/full").open("w") as full:
        run = started(words[0], written, *words[1:], stdout=full)
    said = "genhouse: the answer was not written: no space left on device\n"
    assert (run.returncode, run.stderr) == (2, said)


@pytest.mark.parametrize("words", [["inspect"], ["show"], ["show", "--json"]], ids="-".join)
def test_a_reader_that_has_gone_is_no_fault(written: Path, words: list[str]) -> None:
    read, write = os.pipe()
    os.close(read)
    run = started(words[0], written, *words[1:], stdout=write)
    os.close(write)
    assert (run.returncode, run.stderr) == (0, "")


def test_findings_are_found_though_nobody_listens(house: Path) -> None:
    (house / "materials.csv").write_text("stage,material,piece,count\n", "utf-8")
    read, write = os.pipe()
    os.close(read)
    run = started("inspect", house, stdout=write)
    os.close(write)
    assert (run.returncode, run.stderr) == (1, "")


@pytest.mark.skipif(os.name != "posix", reason="shuts streams by number")
@pytest.mark.parametrize("shut", [[0], [1], [2], [0, 1, 2]])
def test_streams_that_are_shut_take_no_files_in(written: Path, shut: list[int]) -> None:
    """A file opened later would else get the number of a stream, and what is said would go into it."""
    command = [sys.executable, "-c", START, "show", str(written)]

    def close() -> None:
        for number in shut:
            os.close(number)

    run = subprocess.run(command, preexec_fn=close, check=False)
    assert run.returncode == 0


@pytest.mark.parametrize(
    "how", [{"PYTHONIOENCODING": "ascii"}, {"LC_ALL": "C", "PYTHONUTF8": "0", "LANG": "C"}]
)
def test_letters_that_a_terminal_lacks_are_replaced(house: Path, how: dict[str, str]) -> None:
    renamed(house, "Ōe 大江")
    environment = {**os.environ, **how}
    for words in (["show", house], ["design", "七", "--out", "ō"]):
        run = started(*words, env=environment)
        assert run.returncode == (2 if words[0] == "design" else 0), run.stderr
        assert "Traceback" not in run.stderr


def renamed(house: Path, client: str) -> None:
    told = msgspec.json.decode((house / "house.json").read_bytes())
    told["recipe"]["brief"]["client"] = client
    (house / "house.json").write_bytes(msgspec.json.encode(told))


@pytest.mark.parametrize(
    ("client", "said"),
    [("Smith [/b]", "Smith [/b]"), ("[red]Ada", "[red]Ada"), (":smile:", ":smile:")],
)
def test_a_name_is_said_as_it_is(run: Run, house: Path, client: str, said: str) -> None:
    renamed(house, client)
    result = run("show", house)
    assert result.exit_code == 0, result.output
    assert f"House 9, {said}\n" in result.output


def test_a_name_never_commands_the_terminal(run: Run, house: Path, tmp_path: Path) -> None:
    """Neither from a saved house, nor from a brief, where it is refused before it is written."""
    renamed(house, "Ada\x1b[2J")
    assert "\x1b" not in run("show", house).output
    (tmp_path / "brief.toml").write_text('client = "Ada\\u001b[2J"', "utf-8")
    result = run("design", "7", "--brief", "brief.toml")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "client: 'Ada\\x1b[2J' has letters that cannot be printed" in result.stderr


FAULT = "import genhouse.cli.main as m; m.main = lambda: 1 / 0\n" + START


def test_a_fault_of_its_own_has_a_code_of_its_own() -> None:
    run = started(code=FAULT)
    assert run.returncode == 70
    assert run.stderr.startswith("genhouse: a fault of its own, not of what was asked: Zero")
    assert run.stderr.count("\n") == 1
    traced = started(code=FAULT, env={**os.environ, "GENHOUSE_TRACE": "1"})
    assert "Traceback" in traced.stderr


@pytest.mark.parametrize("words", [["--bogus"], ["design"], ["build", "7"], ["design", "\x1b[2J"]])
def test_a_refusal_is_one_line(words: list[str]) -> None:
    run = started(*words)
    assert (run.returncode, run.stdout) == (2, "")
    assert run.stderr.startswith("genhouse: ")
    assert run.stderr.count("\n") == 1
    assert run.stderr.strip().isprintable()


def test_the_package_runs_as_the_command_does() -> None:
    run = started("--help", code="import runpy; runpy.run_module('genhouse', run_name='__main__')")
    assert run.returncode == 0
    assert run.stdout == started("--help").stdout
