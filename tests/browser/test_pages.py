"""The guide and a plan opened from disk in a real browser."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from genhouse.outputs.guide.guide import guide
from genhouse.outputs.guide.told import Told
from genhouse.outputs.plans.plan import plans
from genhouse.outputs.sheets.sheet import Sheets
from genhouse.outputs.step_pictures import views
from genhouse.outputs.steps.steps import building_steps
from tests.browser.chromium import opened
from tests.outputs.houses import built, designed

pytestmark = pytest.mark.browser

DOT = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de"
    "0000000c4944415408d763f8ffff3f0005fe02fedccc59e70000000049454e44ae426082"
)
"""A PNG of one white pixel."""


@pytest.fixture(params=["guide.html", "plan-1.svg", "plan-2.svg"])
def page(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    design = designed(7)
    path: Path = tmp_path / request.param
    if path.suffix == ".svg":
        path.write_text(plans(design)[int(path.stem[-1]) - 1], "utf-8")
    else:
        steps = building_steps(design, built(7))
        path.write_bytes(
            guide(
                Told(
                    design=design,
                    voxels=built(7),
                    steps=steps,
                    sheets=Sheets(design, built(7), steps),
                    plans=plans(design),
                    pictures=views(built(7), steps),
                    rooms=(),
                )
            ).whole(lambda _: DOT)
        )
    return path


def requests(log: Path) -> list[str]:
    """Addresses that the log of the network names as asked for by a page from disk."""
    asked = []
    for event in json.loads(log.read_text("utf-8", "replace"))["events"]:
        params: dict[str, Any] = event.get("params") or {}
        address = str(params.get("url", ""))
        from_page = str(params.get("initiator", "")).startswith(("file:", "null", "opaque"))
        if from_page and address.startswith(("http:", "https:", "ws:", "wss:")):
            asked.append(address)
    return asked


def test_it_is_shown_without_errors_or_requests(page: Path, tmp_path: Path) -> None:
    log = tmp_path / "net.json"
    found = opened(tmp_path, page, "--enable-logging=stderr", "--dump-dom", f"--log-net-log={log}")
    assert "CONSOLE" not in found.stderr
    assert "parsererror" not in found.stdout
    assert "House 7" in found.stdout
    assert requests(log) == []


def test_it_can_be_photographed(page: Path, tmp_path: Path) -> None:
    import numpy as np
    from PIL import Image

    picture = tmp_path / "shot.png"
    opened(tmp_path, page, "--window-size=1200,1000", f"--screenshot={picture}")
    with Image.open(picture) as image:
        ink = np.asarray(image.convert("L"))
    assert ink.shape[1] == 1200
    assert 0.005 < (ink < 100).mean() < 0.4
