"""The widget of a notebook, in a page that does what anywidget's front end does with a module."""

from __future__ import annotations

import base64
import json
from pathlib import Path
from typing import Any

import pytest

import genhouse
from genhouse.desk import notebook
from tests.browser.chromium import live

pytestmark = pytest.mark.browser

PAGE = """<!DOCTYPE html><html lang="en"><meta charset="utf-8"><title>-</title>
<link rel="icon" href="data:,">
<style>{style}</style><main id="here"></main>
<script type="module">
const {{ default: widget }} = await import("data:text/javascript;base64,{script}");
const said = {{ house: {house} }}, hearers = {{}};
const model = {{ get: (name) => said[name], on: (what, work) => {{ hearers[what] = work; }} }};
const el = document.getElementById("here");
const ends = await widget.render({{ model, el }});
Object.assign(window, {{ ends, other: (house) => {{ said.house = house; hearers["change:house"](); }} }});
</script></html>"""


def written(file: Path, widget: Any) -> Path:
    script = base64.b64encode(widget._esm.encode()).decode()
    house = json.dumps(widget.house).replace("<", "\\u003c")
    file.write_text(PAGE.format(style=widget._css, script=script, house=house), "utf-8")
    return file


def test_the_widget_turns_is_cut_and_takes_another_house(tmp_path: Path) -> None:
    one, other = (genhouse.design(seed, {"plot": [19, 22], "storeys": 1}) for seed in (7, 8))
    widget = genhouse.desk(one)
    assert widget.get_state(["house"]) == {"house": widget.house}
    with live(written(tmp_path / "notebook.html", widget)) as page:
        page.wait_for_selector("canvas")
        whole = page.get_attribute("canvas", "aria-label")
        page.locator("input[type=range]").nth(1).fill("4")
        assert page.get_attribute("canvas", "aria-label") != whole
        page.evaluate("house => other(house)", genhouse.desk(other).house)
        page.wait_for_function(
            "n => document.querySelector('input[type=range]').max == n", arg=_steps(other)
        )
        page.evaluate("() => ends()")


def _steps(house: genhouse.House) -> str:
    return str(len(json.loads(genhouse.desk(house).house)["steps"]) + 1)


def test_without_the_extra_it_says_what_brings_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("importlib.util.find_spec", {}.get)
    with pytest.raises(genhouse.BriefError, match=r"genhouse\[notebook\]"):
        notebook.check_extra()
