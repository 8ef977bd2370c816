"""The guide's controls, tried in a real browser: steps, ticks, layers, widths, dark and print."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from genhouse.house import design
from tests.browser.chromium import opened

pytestmark = pytest.mark.browser

TRIED = """<script>
addEventListener("load", () => {
  const told = {}, $ = id => document.getElementById(id);
  const ticks = [...document.querySelectorAll("input[data-tick^='step ']")];
  told.before = ticks.map(t => t.checked).filter(Boolean).length;
  if (!told.before) { ticks[0].click(); ticks[2].click(); }
  told.done = $("ticked").textContent;
  told.kept = Object.keys(localStorage).filter(k => k.startsWith("genhouse ")).length;
  $("after").click(); $("after").click();
  told.at = $("at").textContent;
  told.focus = document.activeElement.textContent.trim();
  dispatchEvent(new KeyboardEvent("keydown", {key: "n", bubbles: true}));
  document.body.dispatchEvent(new KeyboardEvent("keydown", {key: "n", bubbles: true}));
  told.key = $("at").textContent;
  const slider = $("layer");
  slider.value = 4; slider.dispatchEvent(new Event("input"));
  const seen = [...document.querySelectorAll("figure.sheet")].filter(f => f.offsetHeight > 0);
  told.seen = seen.map(f => f.dataset.title);
  told.name = $("layer-name").textContent;
  told.wide = document.documentElement.scrollWidth - innerWidth;
  told.small = [...document.querySelectorAll("button, input")].filter(e => {
    const box = e.getBoundingClientRect();
    return box.width && !e.labels?.length && !e.getAttribute("aria-label") && !e.textContent.trim();
  }).length;
  told.unnamed = [...document.querySelectorAll("img:not([alt]), svg[role=img]:not(:has(> title))")].length;
  const ids = [...document.querySelectorAll("[id]")].map(e => e.id);
  told.ids = ids.length - new Set(ids).size;
  const out = document.createElement("pre");
  out.id = "told";
  out.textContent = JSON.stringify(told);
  document.body.append(out);
});
</script>"""


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = design(7, {"plot": [21, 26]}).save(tmp_path_factory.mktemp("guide") / "house")
    path: Path = folder / "guide.html"
    text = path.read_text("utf-8")
    tried = path.with_name("tried.html")
    tried.write_text(text.replace("</body>", TRIED + "</body>"), "utf-8")
    return tried


def told(folder: Path, page: Path, width: int) -> dict[str, Any]:
    shown = opened(
        folder, page, f"--window-size={width},900", "--enable-logging=stderr", "--dump-dom"
    )
    assert "CONSOLE" not in shown.stderr
    found = re.search(r'<pre id="told">(.*?)</pre>', shown.stdout, re.DOTALL)
    assert found
    answer: dict[str, Any] = json.loads(unescape(found[1]))
    return answer


@pytest.mark.parametrize("width", [500, 768, 1280])
def test_every_control_does_what_it_says(width: int, page: Path, tmp_path: Path) -> None:
    """500 pixels is as narrow as this browser's window goes."""
    found = told(tmp_path, page, width)
    steps = int(found["done"].split()[2])
    assert found["before"] == 0
    assert found["done"] == f"2 of {steps} steps done"
    assert found["kept"] == 1
    assert found["at"] == f"Step 2 of {steps}"
    assert found["focus"].startswith("2. ")
    assert found["key"] != found["at"]
    assert found["seen"] == [found["name"]]
    assert found["wide"] <= 0
    assert (found["small"], found["unnamed"], found["ids"]) == (0, 0, 0)


def test_it_is_whole_without_a_script(page: Path, tmp_path: Path) -> None:
    text = page.with_name("guide.html").read_text("utf-8")
    bare = tmp_path / "bare.html"
    bare.write_text(re.sub(r"<script>.*?</script>", "", text, flags=re.DOTALL), "utf-8")
    picture = tmp_path / "shot.png"
    shown = opened(
        tmp_path, bare, "--window-size=1280,900", f"--screenshot={picture}", "--dump-dom"
    )
    assert "scripted" not in shown.stdout.split("<body>")[0].split("<style>")[0]
    assert picture.stat().st_size > 10_000
