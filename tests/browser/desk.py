"""The desk in a real browser: served by its own command, its console heard."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

import pytest

from tests.browser.chromium import BROWSER, DRAWN_HERE, QUIET, READ_BACK

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

STARTS = "from genhouse.cli.start import start; start()"
SHOWN = "#sheet.drawn:not([aria-busy])"
TOLD = "#figures dt"
PLOT = {"plot": [19, 22], "storeys": 1}
PATIENCE = 60_000
"""Milliseconds: tests share their machine."""


@contextmanager
def served(folder: Path, *options: str) -> Iterator[str]:
    """Its address, while the command runs."""
    if BROWSER is None:
        pytest.skip("no Chromium is installed here")
    command = [sys.executable, "-c", STARTS, "desk", "--benches", "2", *options]
    with subprocess.Popen(command, cwd=folder, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        try:
            yield process.stdout.readline().strip()
        finally:
            process.terminate()
            process.wait(30)


@contextmanager
def browsed() -> Iterator[Browser]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=BROWSER, args=[*QUIET, *DRAWN_HERE])
        yield browser
        browser.close()


@contextmanager
def opened(browser: Browser, width: int = 1280, **context: Any) -> Iterator[Page]:
    """A tab of its own; whatever it says on its console fails."""
    said: list[str] = []
    tab = browser.new_context(viewport={"width": width, "height": 900}, **context)
    page = tab.new_page()
    tab.set_default_timeout(PATIENCE)
    page.on("console", lambda m: None if READ_BACK in m.text else said.append(m.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    yield page
    tab.close()
    assert said == [], said


def house(brief: dict[str, Any] | None = None, seed: int = 7, **words: str) -> str:
    more = "".join(f"&{key}={value}" for key, value in words.items())
    return f"?seed={seed}&brief={quote(json.dumps(PLOT if brief is None else brief))}{more}"


def at_rest(page: Page) -> None:
    """The house is drawn, and told of."""
    page.wait_for_selector(SHOWN)
    page.wait_for_selector(TOLD)
