"""One bay of the frame, drawn and named."""

from __future__ import annotations

from dataclasses import replace

from genhouse.house import design
from genhouse.outputs.guide._frame import bay_drawing


def test_every_number_of_the_drawing_has_a_name() -> None:
    drawn, names = bay_drawing(design(7).plan)
    assert names
    assert all(f">{n}</text>" in drawn for n in range(1, len(names) + 1))


def test_what_walls_alone_bear_has_no_bay_to_draw() -> None:
    plan = design(7).plan
    assert bay_drawing(replace(plan, covers=())) == ("", ())
