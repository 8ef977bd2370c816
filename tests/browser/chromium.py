"""A real browser, where one is installed."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
BROWSER = next((path for name in NAMES if (path := shutil.which(name))), None)
QUIET = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
)
DRAWN_HERE = ("--use-angle=swiftshader", "--enable-unsafe-swiftshader")
"""WebGL without a graphics card."""
READ_BACK = "GPU stall due to ReadPixels"
"""What the browser says of its own photographing."""
NO_WEBGL = ("--disable-3d-apis",)


def opened(folder: Path, page: Path, *options: str) -> subprocess.CompletedProcess[str]:
    """Open a page from disk, with a profile of its own in the folder."""
    if BROWSER is None:
        pytest.skip("no Chromium is installed here")
    profile = folder / "profile"
    shutil.rmtree(profile, ignore_errors=True)
    command = [BROWSER, *QUIET, *DRAWN_HERE, f"--user-data-dir={profile}", *options, page.as_uri()]
    return subprocess.run(command, capture_output=True, text=True, timeout=90, check=True)


@contextmanager
def live(page: Path, *options: str, width: int = 1280, **context: Any) -> Iterator[Page]:
    """A page from disk that one can use as a person does; whatever it says on its console fails."""
    if BROWSER is None:
        pytest.skip("no Chromium is installed here")
    from playwright.sync_api import sync_playwright

    args = [*QUIET, *(options or DRAWN_HERE)]
    said: list[str] = []

    def hear(text: str) -> None:
        if READ_BACK not in text:
            said.append(text)

    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=BROWSER, args=args)
        tab = browser.new_page(viewport={"width": width, "height": 900}, **context)
        tab.on("console", lambda message: hear(message.text))
        tab.on("pageerror", lambda error: hear(str(error)))
        tab.goto(page.as_uri())
        yield tab
        browser.close()
    assert said == [], said
