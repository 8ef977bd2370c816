"""What one shows a house with, beside its own bill and steps."""

from __future__ import annotations

import io
import re
from functools import cache

import numpy as np
from PIL import Image

from genhouse.outputs.pictures._tone import PAPER
from genhouse.outputs.publishing.kit import kit
from genhouse.outputs.steps.steps import building_steps
from tests.outputs.houses import SMALL, built, designed


@cache
def files(rate: int = 20) -> dict[str, bytes]:
    design = designed(7, SMALL)
    finishes = {material.name: material.finish for material in design.palette.materials}
    return kit(design, built(7, SMALL), finishes, rate)


def test_its_pictures_show_something_and_stay_clear_of_their_edges() -> None:
    for name in ("cover.png", "cutaways.png", "contact.png"):
        ink = np.asarray(Image.open(io.BytesIO(files()[name])).convert("RGB")).astype(int)
        drawn = (np.abs(ink - PAPER) > 24).any(axis=2)
        assert 0.05 < drawn.mean() < 0.6, name
        assert not drawn[:, :6].any(), name
        assert not drawn[:4].any(), name


def test_its_text_counts_what_the_cells_hold() -> None:
    v = built(7, SMALL)
    text = files()["about.txt"].decode()
    assert f"{SMALL[0]} × {SMALL[1]} cells" in text
    for number, entry in enumerate(v.about.materials):
        if count := int((v.material == number).sum() * (number > 0)):
            assert re.search(rf"^{entry.name} +{count:,}$".replace(",", " "), text, re.M)
    steps = building_steps(designed(7, SMALL), v)
    for step in steps.steps:
        assert re.search(
            rf"^ ?{step.number}\. .+ {step.pieces:,} pieces".replace(",", " "), text, re.M
        )
    pieces = int((v.form > 0).sum())
    minutes = -(-pieces // 20)
    assert text.rstrip().endswith(f"(as asked for) take {minutes // 60} h {minutes % 60:02} min.")


def test_it_is_the_same_each_time() -> None:
    design = designed(7, SMALL)
    finishes = {material.name: material.finish for material in design.palette.materials}
    assert kit(design, built(7, SMALL), finishes, 20) == files()
