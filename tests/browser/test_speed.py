"""How long a guide keeps one waiting, in the time that its own thread computes: other work on the same
processor does not count.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from genhouse.house import design
from tests.browser.chromium import live

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

SOON = 1000
"""Milliseconds until a page of 23 x 32 cells can be used, as it was asked for."""
STALL = 200
"""Milliseconds that a page of 45 x 61 cells may do nothing else at most, as it was asked for."""
MEGABYTES = {(23, 32): 6, (45, 61): 20}
"""What a page may weigh."""

USED = """async () => {
  const rest = () => new Promise(done => requestAnimationFrame(() => setTimeout(done, 20)));
  const moved = async (range, by) => {
    for (let n = 1; n <= Number(range.max); n += by) {
      range.value = n;
      range.dispatchEvent(new Event("input"));
      await rest();
    }
  };
  for (let y = 0; y < document.documentElement.scrollHeight; y += 3000) { scrollTo(0, y); await rest(); }
  document.getElementById("model").scrollIntoView();
  await rest();
  for (const range of document.querySelectorAll("#maquette input[type=range]")) await moved(range, 3);
  for (let n = 0; n < 4; n++) { document.getElementById("after").click(); await rest(); }
  await moved(document.getElementById("layer"), 3);
}"""


def tasks(browser: Browser) -> list[float]:
    """Milliseconds that each task of the page's main thread computed."""
    events: list[dict[str, Any]] = json.loads(browser.stop_tracing())["traceEvents"]
    thread = next(
        (e["pid"], e["tid"])
        for e in events
        if e["name"] == "thread_name" and e["args"]["name"] == "CrRendererMain"
    )
    return [
        e["tdur"] / 1000
        for e in events
        if e["name"] == "ThreadControllerImpl::RunTask"
        and (e["pid"], e["tid"]) == thread
        and "tdur" in e
    ]


def traced(page: Path, *use: str) -> list[float]:
    """The tasks of opening a page, and of using it."""
    empty = page.with_name("empty.html")
    empty.write_text("<!DOCTYPE html><title>-</title><link rel=icon href='data:,'>", "utf-8")
    with live(empty) as tab:
        browser = _browser(tab)
        browser.start_tracing(page=tab, categories=["toplevel"])
        tab.goto(page.as_uri())
        for action in use:
            tab.evaluate(action)
        return tasks(browser)


def _browser(tab: Page) -> Browser:
    browser = tab.context.browser
    assert browser
    return browser


@pytest.fixture(scope="module", params=MEGABYTES, ids=str)
def house(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[tuple[int, int], Path]:
    folder = tmp_path_factory.mktemp("speed") / "house"
    return request.param, design(7, {"plot": list(request.param)}).save(folder) / "guide.html"


def test_it_weighs_no_more_than_asked(house: tuple[tuple[int, int], Path]) -> None:
    plot, page = house
    assert page.stat().st_size < MEGABYTES[plot] * 10**6


def test_it_keeps_nobody_waiting(house: tuple[tuple[int, int], Path]) -> None:
    plot, page = house
    if plot == (23, 32):
        assert sum(traced(page)) < SOON
    assert max(traced(page, USED)) < STALL
