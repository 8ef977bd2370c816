"""The pages that are tried, made once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from genhouse.house import design
from tests.browser.desk import at_rest, browsed, house, opened, served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture(scope="session")
def saved(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a house."""
    return design(7, {"plot": [21, 26]}).save(tmp_path_factory.mktemp("page") / "house")


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with served(tmp_path_factory.mktemp("desk")) as found:
        yield found


@pytest.fixture(scope="module")
def browser(address: str) -> Iterator[Browser]:
    with browsed() as found:
        yield found


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    with opened(browser) as found:
        found.goto(address + house())
        at_rest(found)
        yield found
