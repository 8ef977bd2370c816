"""What a guide has a browser do at once: counted, so that a busy machine changes nothing.

How long that takes is measured in ``tests/benchmarks/bench_guide.py``.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from genhouse.house import design
from tests.browser.chromium import live

pytestmark = pytest.mark.browser

MEGABYTES = {(23, 32): 6, (45, 61): 20}
"""What a page may weigh."""
STANDING = {(23, 32): 20_000, (45, 61): 42_000}
"""Elements of a page that is opened: a plan of the largest house has 7 000, and all its layer sheets, which
wait as text until each is asked for, another 25 000."""
AT_ONCE = 1300
"""Elements that are made within one frame at most: a part of a sheet."""
IN_SIGHT = 9000
"""Elements that are laid out in each frame that scrolls by less than a screen."""

REST = "const rest = () => new Promise(done => requestAnimationFrame(() => setTimeout(done)));"
MADE = f"""async () => {{
  {REST}
  const layer = document.getElementById("layer"), made = [];
  let now = 0;
  const seen = new MutationObserver(all => {{
    for (const node of all.flatMap(one => [...one.addedNodes]))
      now += node.querySelectorAll?.("*").length ?? 0;
  }});
  seen.observe(document.getElementById("sheets"), {{ childList: true, subtree: true }});
  for (layer.value = 0; ; layer.value++) {{
    layer.dispatchEvent(new Event("input"));
    for (let frame = 0; frame < 8; frame++) {{ await rest(); made.push(now); now = 0; }}
    if (layer.value === layer.max) return made;
  }}
}}"""
SEEN = f"""async () => {{
  {REST}
  const seen = [];
  let now = 0;
  addEventListener("contentvisibilityautostatechange", event => {{
    if (!event.skipped) now += event.target.querySelectorAll("*").length;
  }}, true);
  for (let y = 0; y < document.documentElement.scrollHeight; y += 600) {{
    scrollTo(0, y);
    await rest();
    seen.push(now);
    now = 0;
  }}
  return seen;
}}"""
Guide = tuple[tuple[int, int], Path]


@pytest.fixture(scope="module", params=MEGABYTES, ids=str)
def house(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Guide:
    folder = tmp_path_factory.mktemp("speed") / "house"
    return request.param, design(7, {"plot": list(request.param)}).save(folder) / "guide.html"


def test_it_weighs_no_more_than_asked(house: Guide) -> None:
    plot, page = house
    assert page.stat().st_size < MEGABYTES[plot] * 10**6


def test_it_is_of_letters_that_are_soon_read(house: Guide) -> None:
    """Any letter beyond them makes a browser hold, and read, each of the page at twice its size."""
    assert house[1].read_bytes().isascii()


def test_little_is_made_or_laid_out_at_once(house: Guide) -> None:
    plot, page = house
    with live(page) as tab:
        assert tab.evaluate("document.querySelectorAll('*').length") < STANDING[plot]
        seen: list[int] = tab.evaluate(SEEN)
        made: list[int] = tab.evaluate(MADE)
        assert 0 < max(seen) < IN_SIGHT
        assert 0 < max(made) < AT_ONCE
        assert sum(made) > 3 * AT_ONCE
        assert tab.locator("figure:has(noscript)").count() == 0
