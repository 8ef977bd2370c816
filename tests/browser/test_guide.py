"""The guide's controls, tried in a real browser: steps, ticks, layers, model, widths, dark and print."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.chromium import live

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser

WIDTHS = (390, 768, 1280)


@pytest.fixture
def guide(saved: Path) -> Path:
    return saved / "guide.html"


def text(tab: Page, place: str) -> str:
    return tab.locator(place).inner_text()


def label(tab: Page) -> str:
    return tab.locator("#maquette canvas").get_attribute("aria-label") or ""


def test_steps_are_gone_through_with_keys_and_buttons(guide: Path) -> None:
    with live(guide) as tab:
        steps = tab.locator("section.stage").count()
        tab.click("#after")
        tab.click("#after")
        assert text(tab, "#at") == f"Step 2 of {steps}"
        assert tab.evaluate("document.activeElement.textContent").startswith("2. ")
        assert f"step 2 of {steps}" in label(tab)
        tab.keyboard.press("n")
        assert text(tab, "#at") == f"Step 3 of {steps}"
        tab.keyboard.press("p")
        tab.click("#before")
        assert text(tab, "#at") == f"Step 1 of {steps}"
        tab.locator("#step-5 button[data-step]").click()
        assert f"step 5 of {steps}" in label(tab)


def test_what_is_ticked_off_is_ticked_off_the_next_time(guide: Path) -> None:
    with live(guide) as tab:
        steps = tab.locator("section.stage").count()
        for number in (1, 3):
            tab.get_by_label(f"Step {number} is done").check()
        assert text(tab, "#ticked") == f"2 of {steps} steps done"
        tab.reload()
        assert tab.get_by_label("Step 3 is done").is_checked()
        assert text(tab, "#ticked") == f"2 of {steps} steps done"


def test_a_step_leads_to_its_layer_sheets(guide: Path) -> None:
    """And on a narrow screen no heading hides below the buttons."""
    with live(guide, width=390) as tab:
        link = tab.locator('#step-3 a[href^="#sheet-"]').last
        name = link.get_attribute("aria-label")
        link.click()
        assert text(tab, "#layer-name").startswith(f"{name},")
        assert tab.locator(".level:not(.aside)").get_attribute("data-title") == text(
            tab, "#layer-name"
        )
        tab.click("#after")
        tab.wait_for_timeout(200)
        head, bar = (
            tab.evaluate(f"document.querySelector('{place}').getBoundingClientRect().toJSON()")
            for place in ("#step-1 h3", "#steps .tools")
        )
        assert head["top"] >= bar["bottom"]


def test_one_layer_is_shown_at_a_time(guide: Path) -> None:
    with live(guide) as tab:
        tab.get_by_role("slider", name="Level").fill("4")
        seen = tab.locator("div.level:visible")
        assert seen.count() == 1
        assert seen.get_attribute("data-title") == text(tab, "#layer-name")


def test_any_drawing_can_be_looked_at_closely_and_put_back(guide: Path) -> None:
    with live(guide, width=390) as tab:
        sheet = tab.locator("figure.sheet:visible").first
        small = sheet.locator("> svg").bounding_box()
        sheet.get_by_role("button").click()
        large = tab.locator("dialog svg").bounding_box()
        assert small
        assert large
        assert large["width"] > 3 * small["width"]
        tab.keyboard.press("Escape")
        assert sheet.locator("> svg").count() == 1
        assert tab.evaluate("document.activeElement.className") == "enlarge"


def test_what_is_folded_up_is_printed(guide: Path) -> None:
    with live(guide) as tab:
        for event, expected in (("beforeprint", True), ("afterprint", False)):
            tab.evaluate("event => dispatchEvent(new Event(event))", event)
            opened = tab.evaluate("[...document.querySelectorAll('details')].map(d => d.open)")
            assert set(opened) == {expected}


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_fits_any_width(width: int, scheme: str, guide: Path) -> None:
    with live(guide, width=width, color_scheme=scheme) as tab:
        assert tab.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
        ids = tab.evaluate("[...document.querySelectorAll('[id]')].map(e => e.id)")
        assert len(ids) == len(set(ids))


def test_it_is_whole_without_a_script(guide: Path) -> None:
    with live(guide, java_script_enabled=False) as tab:
        assert tab.locator("html.scripted").count() == 0
        assert "needs scripts" in text(tab, "#maquette")
        assert tab.locator("figure.sheet svg:visible").count() == tab.locator(".sheet").count() > 9
        assert not tab.locator("#after").is_visible()


def test_nothing_is_lost_when_it_is_printed(guide: Path) -> None:
    """Every sheet of a level, whichever the slider shows, hatched by lines: a pattern would be printed as a
    picture of the whole sheet.  No control."""
    hatched = """() => [...document.querySelectorAll("figure > svg [data-part=materials] > path")]
      .map(path => path.getAttribute("fill"))"""
    with live(guide) as tab:
        tab.emulate_media(media="print")
        assert len(tab.pdf()) < 2 * guide.stat().st_size
        assert all(fill.startswith("url(") for fill in tab.evaluate(hatched))
        tab.evaluate("dispatchEvent(new Event('beforeprint'))")
        assert not any(fill.startswith("url(") for fill in tab.evaluate(hatched))
        assert tab.locator("figure.sheet > svg:visible").count() == tab.locator(".sheet").count()
        assert tab.locator("button:visible, input:visible").count() == 0
