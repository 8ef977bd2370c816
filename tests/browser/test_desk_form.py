"""The form is drawn from the schema: every key of a brief has its field, and what is set there is asked."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qs, urlparse

import pytest

from genhouse.generate.brief_schema import schema
from tests.browser.desk import at_rest, house

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser
CARDS = "Wish"


def keys(of: str = "Brief", before: str = "") -> list[str]:
    """Every key of a brief, those within others too, as the form calls them."""
    found = []
    for name, its in schema()["$defs"][of]["properties"].items():
        inner = its.get("$ref", "").rpartition("/")[2]
        found += keys(inner, f"{name}.") if inner else [f"{before}{name}"]
    return found


def brief(page: Page) -> Any:
    return json.loads(parse_qs(urlparse(page.url).query).get("brief", ["{}"])[0])


def test_every_key_of_a_brief_has_its_field(page: Page, address: str) -> None:
    page.goto(address + house({"rooms": [{"kind": "bath"}]}))
    at_rest(page)
    for path in keys():
        field = page.locator(f'[data-path="{path}"], #group-{path}, #f-{path}')
        assert field.count(), path
    for name in schema()["$defs"][CARDS]["properties"]:
        assert page.locator(f'#f-rooms-0-{name}, [data-path="rooms.0.{name}"]').count(), name


def test_ground_that_falls_is_set_by_its_corners_or_its_levels(page: Page) -> None:
    page.click("summary:text-is('Ground that falls')")
    assert page.input_value("#f-ground-northeast") == ""
    assert page.locator("#f-ground-northeast option").all_inner_texts() == ["0", "1", "2", "3", "4"]
    page.select_option("#f-ground-northeast", "2")
    page.wait_for_url(re.compile("ground"))
    at_rest(page)
    assert brief(page)["ground"] == {"northeast": 2}
    page.select_option("#f-ground-northeast", "")
    page.wait_for_url(lambda url: "ground" not in url)
    page.fill("#f-ground-levels", "0 0 / 100, 200")
    page.press("#f-ground-levels", "Enter")
    page.wait_for_url(re.compile("levels"))
    at_rest(page)
    assert brief(page)["ground"] == {"levels": [[0, 0], [100, 200]]}
    assert page.input_value("#f-ground-levels") == "0 0 / 100 200"
    page.fill("#f-ground-levels", "steep")
    page.press("#f-ground-levels", "Enter")
    page.wait_for_selector('[data-path="ground.levels"] > .error:has-text("whole numbers")')


@pytest.mark.parametrize("look", ["outside", "cut", "night"])
def test_house_answer_and_last_houses_stand_on_one_screen(page: Page, look: str) -> None:
    page.click(f"#looks label:has(input[value={look}])")
    at_rest(page)
    page.wait_for_timeout(200)
    for what in ("#sheet", "#answer", "#stages", "#strip h3"):
        box = page.locator(what).bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= 900, what
