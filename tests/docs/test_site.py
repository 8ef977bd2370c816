"""The pages of the documents: built without a warning, and every sample on them runs."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

import genhouse
from genhouse.cli.main import main
from tests.reference import SHARED

DOCS = SHARED / "docs"
APART = ("testing.md",)
"""Run as a project of its own: tests/testing."""
PAGES = sorted(p.name for p in DOCS.glob("*.md") if p.name not in APART)


def samples(page: str) -> list[tuple[str, str]]:
    """The samples of a page in order: their language and their text."""
    text = (DOCS / page).read_text("utf-8")
    return re.findall(r"```(sh|python)\n(.*?)```", text, re.DOTALL)


@pytest.mark.parametrize("page", [page for page in PAGES if samples(page)])
def test_samples_run_as_they_stand(
    page: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One after the other in one folder, as a reader would run them."""
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {}
    for language, text in samples(page):
        if language == "python":
            exec(compile(text, page, "exec"), names)
        else:
            for line in text.strip().splitlines():
                command, *words = shlex.split(line)
                assert command == "genhouse"
                done = CliRunner().invoke(main, words)
                assert done.exit_code == 0, f"{line}: {done.output}"


def test_the_site_is_built_without_a_warning(tmp_path: Path) -> None:
    pytest.importorskip("mkdocs")
    config = SHARED / "mkdocs.yml"
    command = ["build", "--strict", "-q", "-f", str(config), "-d", str(tmp_path / "site")]
    run = [sys.executable, "-m", "mkdocs", *command]
    done = subprocess.run(run, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    built = {path.stem for path in (tmp_path / "site").glob("*.html")}
    assert {Path(page).stem for page in (*PAGES, *APART)} <= built
    for page in PAGES:  # what its code draws of it stands beside it
        text = (tmp_path / "site" / page).with_suffix(".html").read_text("utf-8")
        figures = re.findall(r'src="(figures/[^"]+)"', text)
        assert all((tmp_path / "site" / figure).stat().st_size > 10_000 for figure in figures)
        assert len(figures) == (DOCS / page).read_text("utf-8").count("](figures/")
    reference = (tmp_path / "site" / "reference.html").read_text("utf-8")
    assert all(f'id="genhouse.{name}"' in reference for name in genhouse.__all__)
