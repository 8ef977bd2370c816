"""What goes amiss on the desk is said beside its field; the trail and the keyboard are not lost by it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote

import pytest

from tests.browser.desk import at_rest, house, opened

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser


@pytest.mark.parametrize(
    ("brief", "field"),
    [
        ('{"plot":5}', "plot"),
        ('{"plot":[1000000000,1000000000]}', "plot"),
        ('{"outline":[]}', "outline"),
        ('{"rooms":[null]}', "rooms"),
        ('{"rooms":[{"kind":"bath","beside":"x"}]}', "rooms.0.beside"),
        ('{"low":5}', "low"),
        ('{"sides":["a"]}', "sides"),
        ('{"tradition":"straw"}', "tradition"),
        ('{"plot"', ""),
    ],
)
def test_an_address_that_is_no_brief_is_refused_beside_its_field(
    browser: Browser, address: str, brief: str, field: str
) -> None:
    with opened(browser) as page:
        page.goto(f"{address}?seed=7&brief={quote(brief)}")
        page.wait_for_selector("#refusal:not([hidden])")
        if not field:
            assert "not JSON" in page.inner_text("#refusal")
            assert "brief=" in page.url
            return
        beside = f'[data-path="{field}"] > .error, [data-keys~="{field}"] > .error'
        page.wait_for_selector(beside)
        if "." not in field:
            page.click("#refusal .offers button >> nth=0")
            at_rest(page)


def test_a_seed_out_of_range_is_said_beside_it(page: Page) -> None:
    page.fill("#seed", "99999999999999999999")
    page.press("#seed", "Enter")
    page.wait_for_selector("#seeding .error")
    page.click("#undo")
    page.wait_for_selector("#seeding .error", state="detached")


def test_what_another_way_of_building_has_not_is_shown_and_left_open(
    page: Page, address: str
) -> None:
    page.goto(address + house({"palette": "cedar"}))
    at_rest(page)
    page.select_option("#f-tradition", label="riad")
    page.wait_for_selector(".field[data-path=palette] > .error")
    assert page.input_value("#f-palette") == '"cedar"'
    assert page.inner_text("#said") == "What is shown is the house before."
    page.click("#refusal button:text-is('this without palette cedar')")
    page.wait_for_selector("#refusal", state="hidden")
    at_rest(page)
    assert page.locator("#sheet.before").count() == 0
    assert page.evaluate("() => document.activeElement.id") == "house"


def test_a_storey_that_the_next_house_has_not_is_not_looked_for(page: Page, address: str) -> None:
    page.goto(address + house({"plot": [25, 31], "storeys": 2}, look="plan", level="2"))
    at_rest(page)
    page.select_option("#f-storeys", "1")
    page.wait_for_url(lambda url: "level" not in url)
    page.wait_for_selector("#levels label >> nth=1", state="detached")
    assert page.is_hidden("#refusal")


def test_a_look_taken_while_a_house_is_drawn_leaves_nothing_old(page: Page) -> None:
    page.click("#another")
    page.click("#looks label:has(input[value=cut])")
    page.wait_for_selector("#house-name:text-is('House 8')")


def test_back_to_a_house_that_the_trail_left_does_not_break_undo(page: Page) -> None:
    def draw(seed: str) -> None:
        page.fill("#seed", seed)
        page.press("#seed", "Enter")
        page.wait_for_selector(f"#house-name:text-is('House {seed}')")

    draw("11")
    draw("12")
    page.click("#undo")
    page.wait_for_selector("#house-name:text-is('House 11')")
    draw("13")
    page.go_back()
    page.go_back()
    page.wait_for_selector("#house-name:text-is('House 12')")
    page.click("#undo")
    page.wait_for_selector("#house-name:text-is('House 13')")


def test_the_trail_has_no_end(page: Page) -> None:
    many = 1000
    steps = """async (many) => { const { change, step, state } = await import("/static/state.js");
        for (let n = 1; n <= many; n += 1) change({ seed: `${n + 7}` });
        for (let n = 0; n < many; n += 1) step(-1);
        return state().seed; }"""
    assert page.evaluate(steps, many) == "7"


def test_the_keyboard_goes_on_from_where_it_was(page: Page) -> None:
    page.click("summary:text-is('Rooms')")
    page.click("#add-room")
    page.wait_for_selector(".card")
    page.fill("#f-rooms-0-count", "2")
    page.press("#f-rooms-0-count", "Tab")
    page.wait_for_url(re.compile("count"))
    at_rest(page)
    assert page.evaluate("() => document.activeElement.id") == "f-rooms-0-kind"


def test_what_is_amiss_with_a_name_or_a_table_stands_beside_it(page: Page, tmp_path: Path) -> None:
    from axe_playwright_python.sync_playwright import Axe

    (tmp_path / "none.csv").write_bytes(bytes(range(256)) * 20)
    page.set_input_files("#names", tmp_path / "none.csv")
    page.click("#take-zip")
    page.wait_for_selector("[data-path=names] > .error:has-text('line 1')")
    page.fill("#name", "///")
    page.click("#saving button")
    page.wait_for_selector("[data-path=name] > .error:has-text('letters')")
    page.click("#put")
    page.wait_for_selector("#tray table")
    page.click("#sheet", position={"x": 450, "y": 420})
    page.wait_for_selector("#answer .piece")
    assert [v["id"] for v in Axe().run(page).response["violations"]] == []
