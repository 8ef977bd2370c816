"""The model on its page, used as a person uses it: turned, cut, stepped through, pointed at."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt
import pytest

from genhouse.model.voxels import Voxels
from genhouse.outputs.maquette import maquette
from genhouse.outputs.steps.steps import Steps, building_steps
from tests.browser.chromium import NO_WEBGL, live
from tests.outputs.houses import SMALL, built, designed

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser

GROUND = 2
SEED = 7


def voxels() -> Voxels:
    return built(SEED, SMALL)


def steps() -> Steps:
    return building_steps(designed(SEED, SMALL), voxels())


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    told = maquette.data_of(
        voxels(),
        steps(),
        titles=[step.name for step in steps().steps],
        levels=[f"level {z}" for z in range(voxels().size[2])],
        ground=GROUND,
        rooms={room.id: f"{room.id}, {room.kind}" for room in designed(SEED, SMALL).rooms},
        called=lambda material, _: material,
    )
    path = tmp_path_factory.mktemp("maquette") / "model.html"
    path.write_text(
        f"<!DOCTYPE html><html lang=en><title>Model</title><link rel=icon href='data:,'>"
        f"<style>{maquette.style()}</style><div id=place></div><script>{maquette.script()}\n"
        f"const DATA = {maquette.in_page(told)};\n"
        "const chosen = [];\n"
        "const model = mountMaquette(document.getElementById('place'), DATA,"
        " {onStep: n => chosen.push(n)});"
        "</script></html>",
        "utf-8",
    )
    return path


@pytest.fixture
def tab(page: Path) -> Iterator[Page]:
    with live(page) as found:
        yield found


def in_sight(tab: Page) -> int:
    label = tab.locator("canvas").get_attribute("aria-label") or ""
    return int(re.findall(r"(\d+) pieces", label)[0])


def told(tab: Page) -> str:
    return tab.locator(".maquette-told").inner_text()


def fine(v: Voxels) -> npt.NDArray[np.bool_]:
    """Quarters of cells that are filled, with air all round."""
    filled = v.shapes[v.form].transpose(0, 3, 1, 4, 2, 5)
    return np.pad(filled.reshape([4 * n for n in v.size]), 1)


def test_its_faces_are_all_that_is_exposed_and_nothing_else(tab: Page) -> None:
    """Counted from the arrays: quarters with nothing before them, each way, beside the area of faces."""
    solid = fine(voxels())
    exposed = [
        int((solid & ~np.roll(solid, shift, axis)).sum()) for axis in range(3) for shift in (-1, 1)
    ]
    areas = tab.evaluate(
        """() => {
          const house = housed(DATA), mesh = meshed(house, standing(house, {step: 0, layer: 99})).faces;
          const areas = [0, 0, 0];
          for (let n = 0; n < mesh.length; n += 20) {
            const size = [0, 1, 2].map(axis => Math.abs(mesh[n + 10 + axis] - mesh[n + axis]));
            const flat = size.indexOf(0);
            areas[flat] += size.reduce((area, side, axis) => axis === flat ? area : area * side, 1);
          }
          return areas;
        }"""
    )
    assert areas == [exposed[0] + exposed[1], exposed[2] + exposed[3], exposed[4] + exposed[5]]


def test_steps_and_cuts_show_what_stands(tab: Page) -> None:
    v, order = voxels(), steps()
    assert in_sight(tab) == (v.form > 0).sum()
    for number in (1, 4, len(order.steps)):
        tab.locator("input[type=range]").first.fill(str(number))
        assert in_sight(tab) >= ((order.of > 0) & (order.of <= number)).sum()
        tab.get_by_label("Only what the step sets").check()
        assert in_sight(tab) >= (order.of == number).sum() > 0
        tab.get_by_label("Only what the step sets").uncheck()
    assert tab.evaluate("chosen") == [1, 4, len(order.steps)]
    tab.locator("input[type=range]").first.fill(str(len(order.steps) + 1))
    for layer in (3, 6):
        tab.get_by_role("slider", name="Cut above").fill(str(layer))
        assert in_sight(tab) == (v.form[:, :, : layer + 1] > 0).sum()


def test_keys_do_what_they_say(tab: Page) -> None:
    canvas = tab.locator("canvas")
    canvas.focus()
    total = len(steps().steps)
    tab.keyboard.press("p")
    assert f"step {total} of {total}" in (canvas.get_attribute("aria-label") or "")
    tab.keyboard.press("n")
    assert "the whole house" in (canvas.get_attribute("aria-label") or "")
    before = canvas.screenshot()
    for key in ("ArrowLeft", "+", "ArrowUp", "PageDown"):
        tab.keyboard.press(key)
        tab.wait_for_timeout(100)
        after = canvas.screenshot()
        assert after != before
        before = after


def test_a_click_tells_of_the_first_piece_behind_it(tab: Page) -> None:
    """Found again by looking through all quarters that the line of sight meets."""
    v = voxels()
    box = tab.locator("canvas").bounding_box()
    assert box
    tab.wait_for_timeout(200)
    pieces = 0
    for across, down in np.random.default_rng(5).uniform(0.3, 0.7, (25, 2)).tolist():
        x, y = box["x"] + across * box["width"], box["y"] + down * box["height"]
        tab.mouse.click(x, y)
        expected = first_met(v, (x - box["x"], y - box["y"]), box)
        if expected is None:
            assert told(tab) == "No piece is there."
            continue
        i, j, k = expected
        pieces += 1
        room = f" Room {v.room[i, j, k]}, " if v.room[i, j, k] else "."
        assert told(tab).startswith(f"{chr(65 + i)}{j + 1}, layer {k - GROUND + 1}: ")
        assert v.about.materials[v.material[i, j, k]].name in told(tab)
        assert f"Step {steps().of[i, j, k]}, " in told(tab)
        assert room in told(tab)
    assert pieces > 10


def first_met(v: Voxels, point: tuple[float, float], box: Any) -> tuple[int, int, int] | None:
    """The cell of the filled quarter that is nearest along an isometric line of sight."""
    yaw, tilt = np.radians(maquette.YAW[view(v)]), np.arcsin(3**-0.5)
    right = np.array([np.cos(yaw), np.sin(yaw), 0])
    up = np.array([-np.sin(yaw) * np.sin(tilt), np.cos(yaw) * np.sin(tilt), np.cos(tilt)])
    into = np.cross(up, right)
    size = np.array(v.size)
    tall = max(np.abs(up) @ size, np.abs(right) @ size * box["height"] / box["width"]) * 1.04
    offset = np.array([point[0] - box["width"] / 2, box["height"] / 2 - point[1]])
    across, upward = offset * tall / box["height"]
    start = size / 2 + across * right + upward * up - 1000 * into
    low = np.argwhere(fine(v)[1:-1, 1:-1, 1:-1]) / 4
    ends = np.stack([(low - start) / into, (low + 0.25 - start) / into])
    near, far = ends.min(axis=0).max(axis=1), ends.max(axis=0).min(axis=1)
    hit = near < far - 1e-9
    if not hit.any():
        return None
    x, y, z = (int(n) for n in low[hit][np.argmin(near[hit])])
    return x, y, z


def view(v: Voxels) -> Any:
    from genhouse.outputs.pictures import picture

    return picture.SUNNY_SIDE[picture.gate_side(v)]


def test_a_cell_can_be_looked_up(tab: Page) -> None:
    v = voxels()
    x, y, z = np.argwhere(v.form[:, :, GROUND:] > 0)[40].tolist()
    for name, value in (("column", chr(97 + x)), ("row", y + 1), ("layer", z + 1)):
        tab.fill(f"input[name={name}]", str(value))
    tab.keyboard.press("Enter")
    assert told(tab).startswith(f"{chr(65 + x)}{y + 1}, layer {z + 1}: ")
    assert v.about.materials[v.material[x, y, z + GROUND]].name in told(tab)
    tab.fill("input[name=layer]", "99")
    tab.keyboard.press("Enter")
    assert told(tab).startswith("There is no such cell: columns run from A to")


def test_another_house_takes_its_place(tab: Page) -> None:
    tab.evaluate("model.replace({...DATA, steps: DATA.steps.slice(0, 1), props: []})")
    assert in_sight(tab) == (steps().of == 1).sum()
    assert not tab.get_by_label("Only what the step sets").is_visible()


def test_where_there_is_no_webgl_it_says_so_and_still_tells(page: Path) -> None:
    with live(page, *NO_WEBGL) as tab:
        assert "has no WebGL 2" in tab.locator("#place").inner_text()
        assert tab.locator("canvas").count() == 0
        for name, value in (("column", "A"), ("row", "1"), ("layer", "0")):
            tab.fill(f"input[name={name}]", value)
        tab.keyboard.press("Enter")
        assert told(tab).startswith("A1, layer 0: ")
