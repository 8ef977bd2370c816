"""How long a guide keeps one waiting in Chromium, beside what is asked.

    python -m tests.benchmarks.bench_guide [SEED]

Milliseconds that the page's own thread computes, so that other work on the same processor counts little:
until the page stands, and the longest task while it is opened and while all of it is used.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from genhouse.house import design
from tests.browser.chromium import live

if TYPE_CHECKING:
    from playwright.sync_api import Browser

SOON = 1000
"""Milliseconds until a page of 23 x 32 cells can be used, as it was asked for."""
STALL = 200
"""Milliseconds that a page of 45 x 61 cells may do nothing else at most, as it was asked for."""
PLOTS = ((23, 32), (45, 61))

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
        browser = tab.context.browser
        assert browser
        browser.start_tracing(page=tab, categories=["toplevel"])
        tab.goto(page.as_uri())
        for action in use:
            tab.evaluate(action)
        return tasks(browser)


def report(seed: int) -> None:
    for plot in PLOTS:
        with TemporaryDirectory() as folder:
            page = design(seed, {"plot": list(plot)}).save(Path(folder) / "house") / "guide.html"
            opened, used = traced(page), traced(page, USED)
            print(
                f"{plot[0]} x {plot[1]}: stands after {sum(opened):.0f} ms (asked at 23 x 32: {SOON}); "
                f"longest task in opening {max(opened):.0f}, in using {max(used):.0f} (asked: {STALL})"
            )


if __name__ == "__main__":
    report(int(sys.argv[1]) if sys.argv[1:] else 7)
