"""A real browser, where one is installed."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

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


def opened(folder: Path, page: Path, *options: str) -> subprocess.CompletedProcess[str]:
    """Open a page from disk, with a profile of its own in the folder."""
    if BROWSER is None:
        pytest.skip("no Chromium is installed here")
    profile = folder / "profile"
    shutil.rmtree(profile, ignore_errors=True)
    command = [BROWSER, *QUIET, f"--user-data-dir={profile}", *options, page.as_uri()]
    return subprocess.run(command, capture_output=True, text=True, timeout=90, check=True)
