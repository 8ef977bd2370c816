"""How a notebook shows a house: its picture, its plans, and what is measured of it."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from genhouse.model.design import Design
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.figures.named_figures import NAMED
from genhouse.outputs.pages import data_address
from genhouse.outputs.pictures.picture import png
from genhouse.outputs.plans._sketch import svg
from genhouse.outputs.plans.diagram import small_plans

if TYPE_CHECKING:
    from PIL.Image import Image

SIZE = (560, 470)
"""Pixels of the picture."""
PLAN = 220
"""Pixels of a plan's width."""
STYLE = "display:flex;flex-wrap:wrap;gap:16px;align-items:flex-start"
CELL = "text-align:left;padding:1px 12px 1px 0"


def shown(name: str, picture: Image, design: Design, measured: Figures) -> str:
    """A piece of HTML that needs nothing else."""
    plans = "".join(
        f'<div style="width:{PLAN}px">{svg(plan)}</div>' for plan in small_plans(design, measured)
    )
    rows = "".join(
        f'<tr title="{escape(f.meaning)}"><td style="{CELL}">{escape(f.title)}</td>'
        f'<td style="{CELL}">{f.text(f.read(measured))} {escape(f.unit)}</td></tr>'
        for f in NAMED
    )
    address = data_address(png(picture))
    return (
        f'<div style="{STYLE}"><div><img src="{address}" alt="{escape(name)}" width="{SIZE[0]}">'
        f"<div>{escape(name)}</div></div><div>{plans}</div><table>{rows}</table></div>"
    )
