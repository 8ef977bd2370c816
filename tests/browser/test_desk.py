"""The desk as a person uses it: each control, back and forward and reload, two tabs, a slow and a failing
desk, the keyboard, narrow and dark screens, and axe-core's rules."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest

from tests.browser.desk import TOLD, at_rest, house, opened

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser
BAD = {"plot": [17, 19], "storeys": 1, "rooms": [{"kind": "study", "count": 6}]}


def seen(page: Page) -> Any:
    return page.get_attribute("#picture", "src")


def said(page: Page, what: str) -> str:
    return page.inner_text(what)


def changed(page: Page, before: Any) -> None:
    page.wait_for_selector(f'#picture:not([src="{before}"])')
    at_rest(page)


@pytest.mark.parametrize("look", ["cut", "court", "night", "plan"])
def test_a_look_is_shown_and_stands_in_the_address(page: Page, look: str) -> None:
    before = seen(page)
    page.click(f"#looks label:has(input[value={look}])")
    changed(page, before)
    assert f"look={look}" in page.url
    assert page.evaluate("() => document.querySelector('#picture').naturalWidth") > 0


def test_the_model_turns_and_is_cut(page: Page) -> None:
    page.click("#looks label:has(input[value=turn])")
    page.wait_for_selector("#turning canvas")
    whole = page.get_attribute("#turning canvas", "aria-label")
    page.locator("#turning input[type=range]").nth(1).fill("4")
    assert page.get_attribute("#turning canvas", "aria-label") != whole


@pytest.mark.parametrize("over", ["light", "privacy", "rain", "walking"])
def test_what_lies_over_a_plan_has_a_legend(page: Page, over: str) -> None:
    page.click("#looks label:has(input[value=plan])")
    page.click(f"#overs label:has(input[value={over}])")
    page.wait_for_selector("#over rect", state="attached")
    page.wait_for_selector("#legend svg")
    box, frame = (page.locator(s).bounding_box() for s in ("#over rect >> nth=0", "#picture"))
    assert box is not None and frame is not None  # noqa: PT018
    assert frame["x"] <= box["x"] <= frame["x"] + frame["width"]


def test_another_house_and_back_and_forward_and_reload(page: Page) -> None:
    first, before = page.url, seen(page)
    page.click("#another")
    changed(page, before)
    second = page.url
    assert "seed=8" in second
    page.go_back()
    page.wait_for_url(first)
    at_rest(page)
    page.wait_for_selector("#house-name:text-is('House 7')")
    page.go_forward()
    page.wait_for_selector("#house-name:text-is('House 8')")
    page.reload()
    at_rest(page)
    assert page.url == second
    assert page.locator("#strip li").count() == 2


def test_undo_and_redo_go_along_the_trail(page: Page) -> None:
    for seed in ("11", "12"):
        page.fill("#seed", seed)
        page.press("#seed", "Enter")
        page.wait_for_selector(f"#house-name:text-is('House {seed}')")
    page.click("#undo")
    page.wait_for_selector("#house-name:text-is('House 11')")
    page.keyboard.press("Control+z")
    page.wait_for_selector("#house-name:text-is('House 7')")
    assert page.is_disabled("#undo")
    page.keyboard.press("Control+Shift+z")
    page.wait_for_selector("#house-name:text-is('House 11')")
    page.click("#redo")
    page.wait_for_selector("#house-name:text-is('House 12')")
    assert page.is_disabled("#redo")


def test_a_lock_keeps_all_that_it_stands_on(page: Page) -> None:
    page.check("#stages input[value=roof]")
    assert page.is_checked("#stages input[value=site]")
    assert not page.is_checked("#stages input[value=court]")
    before = seen(page)
    page.click("#again")
    changed(page, before)
    assert re.search(r"fittings=\d+", page.url)
    assert "site=" not in page.url


def test_the_plot_is_dragged_and_the_gate_set(page: Page) -> None:
    handle = page.locator(".paper .handle").bounding_box()
    assert handle is not None
    before = seen(page)
    page.mouse.move(handle["x"] + handle["width"] / 2, handle["y"] + handle["height"] / 2)
    page.mouse.down()
    page.mouse.move(handle["x"] + 34, handle["y"] - 20, steps=4)
    page.mouse.up()
    changed(page, before)
    brief = page.evaluate("() => JSON.parse(new URLSearchParams(location.search).get('brief'))")
    assert brief["plot"][0] > 19
    assert brief["plot"][1] > 22
    page.locator('.paper .gate[aria-label^="Gate to the east"]').focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("#said:has-text('gate to the east')")


def test_a_corner_is_cut(page: Page, address: str) -> None:
    page.goto(address + house({"plot": [30, 38]}))
    at_rest(page)
    before = seen(page)
    page.click("#notch")
    changed(page, before)
    assert "outline" in page.url
    assert page.locator(".paper .grip").count() == 6
    corners = "() => JSON.parse(new URLSearchParams(location.search).get('brief')).outline"
    cut, edge = page.evaluate(corners), page.locator(".paper .grip").nth(2).bounding_box()
    assert edge is not None
    page.mouse.move(edge["x"] + edge["width"] / 2, edge["y"] + edge["height"] / 2)
    page.mouse.down()
    page.mouse.move(edge["x"] + edge["width"] / 2, edge["y"] + 30, steps=3)
    page.mouse.up()
    page.wait_for_url(lambda url: url != cut and "outline" in url)
    dragged = page.evaluate(corners)
    assert [p[0] for p in dragged] == [p[0] for p in cut]
    assert dragged[2][1] < cut[2][1]
    page.click("#whole")
    page.wait_for_selector(".paper .grip", state="detached")


def test_a_slider_shows_a_sketch_while_it_is_dragged(page: Page) -> None:
    before, address = seen(page), page.url
    page.evaluate(
        """() => { const s = document.querySelector("#plot-wide"); s.value = 25;
        s.dispatchEvent(new Event("input", {bubbles: true})); }"""
    )
    page.wait_for_selector(f'#picture:not([src="{before}"])')
    assert page.evaluate("() => document.querySelector('#picture').naturalWidth") == 400
    assert page.url == address
    page.evaluate("() => document.querySelector('#plot-wide').dispatchEvent(new Event('change'))")
    page.wait_for_selector("#said:has-text('25 by 22')")
    assert page.evaluate("() => document.querySelector('#picture').naturalWidth") == 900


def test_rooms_are_added_and_taken_away(page: Page) -> None:
    page.click("summary:text-is('Rooms')")
    page.click("#add-room")
    page.wait_for_selector(".card")
    page.select_option("#f-rooms-0-kind", "library")
    page.wait_for_selector("#figures dt")
    page.wait_for_url(re.compile("library"))
    page.click("button:text-is('Remove')")
    page.wait_for_url(lambda url: "library" not in url)


def test_what_cannot_be_met_is_shown_and_an_offer_mends_it(page: Page, address: str) -> None:
    page.goto(address + house(BAD, 5))
    page.wait_for_selector("#refusal:not([hidden])")
    assert "6 x study" in said(page, "#refusal")
    assert page.locator(".field.wrong").count() == 2
    assert page.locator(".paper .slip").count() == 6
    page.click("#refusal .offers button")
    at_rest(page)
    page.wait_for_selector("#refusal", state="hidden")
    assert page.locator(".field.wrong").count() == 0


@pytest.mark.parametrize(
    ("brief", "field", "words"),
    [
        ({"plot": [19, 22], "courts": 3}, "courts", "3 x court"),
        ({"plot": [17, 19], "arrangement": "pinwheel"}, "arrangement", "arrangement pinwheel"),
        ({"plot": [17, 19], "service": True}, "service", "a service court"),
    ],
)
def test_what_conflicts_lies_on_the_paper_until_it_is_mended(
    page: Page, address: str, brief: dict[str, Any], field: str, words: str
) -> None:
    page.goto(address + house(brief))
    page.wait_for_selector(f".paper [data-field={field}] .wing", state="attached")
    assert page.locator(f".paper .note:text-is('{words}')").count() == 1
    assert page.locator(".paper .land.wrong").count() == 1
    page.click("#refusal .offers button")
    at_rest(page)
    page.wait_for_selector(".paper .wing", state="detached")


def test_the_house_answers(page: Page) -> None:
    page.click("#sheet")
    page.wait_for_selector("#answer .piece")
    page.wait_for_selector("#answer:has-text('wish'), #answer:has-text('Without')")
    first = said(page, "#answer")
    page.focus("#sheet")
    for _ in range(14):
        page.keyboard.press("Shift+ArrowUp")
    page.keyboard.press("Enter")
    page.wait_for_selector("#answer .piece:text-is('bare paper')")
    assert said(page, "#answer") != first


def test_next_door_and_the_tray(page: Page) -> None:
    page.locator("#near").scroll_into_view_if_needed()
    page.wait_for_selector("#near li >> nth=7")
    page.click("#put")
    page.click("#near li >> nth=1 >> button")
    at_rest(page)
    page.wait_for_selector("#undo:not([disabled])")
    page.click("#put")
    page.wait_for_selector("#tray table >> nth=2")
    assert page.locator("#tray thead >> nth=0").locator("img").count() == 2
    page.click("#tray button[aria-label^='Take house 1']")
    page.wait_for_selector("#tray table >> nth=1", state="detached")


def test_two_tabs_share_the_tray_and_nothing_else(browser: Browser, address: str) -> None:
    with opened(browser) as one:
        one.goto(address + house())
        at_rest(one)
        two = one.context.new_page()
        two.goto(address + house(seed=8))
        at_rest(two)
        two.click("#put")
        one.wait_for_selector("#put:has-text('(1 of 8)')")
        one.click("#another")
        one.wait_for_selector("#house-name:text-is('House 8')")
        assert two.is_disabled("#undo")


def test_a_slow_desk_says_so_and_the_newest_wish_wins(page: Page) -> None:
    from time import sleep

    def slowed(route: Any) -> None:
        sleep(3.0 if "seed=21" in route.request.url else 0)
        route.continue_()

    page.route("**/picture?*", slowed)
    page.fill("#seed", "21")
    page.press("#seed", "Enter")
    page.wait_for_selector("#said:has-text('Still drawing')")
    page.fill("#seed", "22")
    page.press("#seed", "Enter")
    page.wait_for_selector("#house-name:text-is('House 22')")
    page.wait_for_timeout(500)
    assert said(page, "#house-name") == "House 22"


def test_a_desk_that_fails_is_said_and_tried_again(browser: Browser, address: str) -> None:
    page = browser.new_page()
    page.goto(address + house())
    at_rest(page)
    page.route("**/picture?*", lambda route: route.abort())
    page.click("#another")
    page.wait_for_selector("#refusal:has-text('does not answer')")
    page.unroute("**/picture?*")
    page.click("#refusal button:text-is('Try again')")
    page.wait_for_selector("#house-name:text-is('House 8')")
    page.route("**/about?*", lambda route: route.fulfill(status=500, body="oops"))
    page.click("#another")
    page.wait_for_selector("#refusal:has-text('stumbled')")
    page.context.close()


@pytest.mark.parametrize("width", [390, 768, 1280])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_at_any_width(
    browser: Browser, address: str, width: int, scheme: Any
) -> None:
    """axe-core's rules (Deque), those of WCAG 2.2 A and AA among them, with all unfolded."""
    from axe_playwright_python.sync_playwright import Axe

    with opened(browser, width, color_scheme=scheme, reduced_motion="reduce") as page:
        for query in (house(), house(look="plan", over="rain"), house(look="turn"), house(BAD, 5)):
            page.goto(address + query)
            page.wait_for_selector(f"{TOLD}, #refusal:not([hidden])")
            page.wait_for_timeout(300)
            page.evaluate(
                "() => { for (const d of document.querySelectorAll('details')) d.open = true; }"
            )
            found = Axe().run(page).response["violations"]
            assert [(v["id"], v["nodes"][0]["html"]) for v in found] == []
            assert page.evaluate("() => document.documentElement.scrollWidth - innerWidth") <= 0


def test_a_first_visitor_makes_changes_locks_and_saves_a_house(
    browser: Browser, address: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Only what one sees is used, by its words; all of it in under two minutes."""
    from time import perf_counter

    start, steps = perf_counter(), []

    def done(what: str) -> None:
        steps.append(f"{perf_counter() - start:6.1f} s  {what}")

    with opened(browser) as page:
        page.goto(address)
        at_rest(page)
        done("a house is there")
        page.get_by_role("button", name="Another").click()
        page.wait_for_selector("#house-name:text-is('House 8')")
        done("another")
        page.get_by_label("Width, west to east").fill("26")
        page.wait_for_selector("#said:has-text('26 by')")
        done("a wider plot")
        page.get_by_text("Rooms", exact=True).click()
        page.get_by_role("button", name="Add a room").click()
        at_rest(page)
        done("a room asked for")
        page.get_by_label("roof").check()
        page.get_by_role("button", name="Again, but keep these").click()
        page.wait_for_url(re.compile("fittings="))
        at_rest(page)
        done("again, but the roof is kept")
        page.get_by_label("Save it on this machine, as").fill("my first house")
        page.get_by_role("button", name="Save", exact=True).click()
        page.wait_for_selector("#taken:has-text('Saved as my-first-house')")
        done("saved")
    with capsys.disabled():
        print("\n" + "\n".join(steps))
    assert perf_counter() - start < 120


def test_another_way_of_building_brings_its_own_words(page: Page) -> None:
    page.click("summary:text-is('How it looks')")
    before = set(page.locator("#f-palette option").all_inner_texts())
    page.select_option("#f-tradition", label="farm")
    page.wait_for_selector("#f-palette option:has-text('white')", state="attached")
    at_rest(page)
    assert set(page.locator("#f-palette option").all_inner_texts()) != before
    assert "farm" in page.url
