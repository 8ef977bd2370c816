"""What is taken away from the desk, and the village from which houses come to it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.desk import at_rest, opened

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser


def test_a_house_is_taken_away_and_saved(page: Page, tmp_path: Path) -> None:
    with page.expect_download() as waited:
        page.click("#take-zip")
    waited.value.save_as(tmp_path / "house.zip")
    assert (tmp_path / "house.zip").stat().st_size > 100_000
    page.fill("#name", "Mill House")
    page.click("#saving button")
    page.wait_for_selector("#taken:has-text('Saved as mill-house')")
    page.click("#saving button")
    page.wait_for_selector("[data-path=name] > .error:has-text('mill-house already')")


def test_what_is_taken_is_in_ones_own_words_until_one_wants_the_desks(
    page: Page, tmp_path: Path
) -> None:
    table = tmp_path / "names.csv"
    table.write_text("material,form,name\nsmoked oak,*,ebony of mine\n", "utf-8")

    def guide() -> str:
        with page.expect_download() as waited:
            page.click("#take-guide")
        return Path(waited.value.path()).read_text("utf-8")

    page.set_input_files("#names", table)
    page.wait_for_selector("#taken:has-text('in your words now')")
    assert "ebony of mine" in guide()
    page.click("#unnamed")
    assert "ebony of mine" not in guide()


def test_a_village_is_laid_out_a_plot_moved_and_a_house_opened(
    browser: Browser, address: str
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    with opened(browser) as page:
        page.goto(f"{address}map?seed=7&houses=2&size=320")
        page.wait_for_selector("#plots rect >> nth=1")
        page.select_option("#ways", "farm")
        page.click("#laying button")
        page.wait_for_url(re.compile("ways=farm"))
        page.locator("#plots rect").first.click()
        assert "farm" in (page.get_attribute("#open", "href") or "")
        page.go_back()
        page.wait_for_function("() => document.querySelector('#ways').value !== 'farm'")
        page.goto(f"{address}map?seed=7&houses=3")
        page.wait_for_selector("#plots rect >> nth=2")
        page.locator("#plots rect").nth(2).focus()
        page.keyboard.press("Enter")
        page.wait_for_selector("#moving:not([hidden])")
        before = page.locator("#plots rect").nth(2).get_attribute("x")
        assert [v["id"] for v in Axe().run(page).response["violations"]] == []
        for side in ("West", "East", "North", "South"):
            page.get_by_role("button", name=side).click()
            page.wait_for_selector("#sheet:not([aria-busy])")
            if "moves" in page.url:
                break
        assert "moves=3" in page.url
        assert page.is_hidden("#refusal")
        page.click("#back")
        page.wait_for_selector(f'#plots rect[x="{before}"]')
        box = page.locator("#plots rect").nth(2).bounding_box()
        assert box is not None
        page.mouse.move(box["x"] + 20, box["y"] + 20)
        page.mouse.down()
        page.mouse.move(box["x"] + 420, box["y"] + 320, steps=3)
        page.mouse.up()
        page.wait_for_selector("#sheet:not([aria-busy])")
        page.wait_for_selector(f'#refusal:not([hidden]), #plots rect:not([x="{before}"])')
        page.click("#open")
        at_rest(page)
        assert "client" in page.url
