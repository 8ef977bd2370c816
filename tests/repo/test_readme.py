"""README's commands do as printed, one after the other, once genhouse is installed."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.repo.imports import ROOT

README = (ROOT / "README.md").read_text("utf-8")


@pytest.mark.skipif(os.name != "posix", reason="they are written for a POSIX shell")
def test_the_later_commands_run_after_the_first(tmp_path: Path) -> None:
    """In a folder with the briefs, with the command of this environment in place of a new one."""
    (block,) = re.findall(r"```sh\n(\. \.venv/bin/activate\n.*?)```", README, re.DOTALL)
    (tmp_path / "shared").symlink_to(ROOT / "shared")
    bin_folder = tmp_path / ".venv" / "bin"
    bin_folder.mkdir(parents=True)
    (bin_folder / "activate").write_text(f'PATH="{bin_folder}:$PATH"\n', "utf-8")
    command = bin_folder / "genhouse"
    starts = "from genhouse.cli.main import main; main()"
    command.write_text(f"#!/bin/sh\nexec '{sys.executable}' -c '{starts}' \"$@\"\n", "utf-8")
    command.chmod(0o755)
    script = "set -eu\n" + block
    done = subprocess.run(
        ["sh", "-c", script], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    made = {path.name for path in tmp_path.iterdir()}
    assert {"house-7b", "thorn", "thorn-variants", "ideas-0-60"} <= made


def test_the_python_lines_run_after_the_first_command(tmp_path: Path) -> None:
    """In the folder where that has left its house, which nothing may be in the way of."""
    (block,) = re.findall(r"```python\n(.*?)```", README, re.DOTALL)
    (words,) = re.findall(r"/genhouse (design .*)", README)
    starts = "from genhouse.cli.main import main; main()"
    for code, more in ((starts, words.split()), (block, [])):
        command = [sys.executable, "-c", code, *more]
        subprocess.run(command, cwd=tmp_path, check=True, capture_output=True)
    assert (tmp_path / "house-7c" / "guide.html").exists()
