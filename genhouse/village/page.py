"""village.html: the map on one page that opens from disk; a house that is clicked shows itself and its
figures."""

from __future__ import annotations

import base64
import json
from collections.abc import Sequence
from typing import Any

from genhouse.outputs.pictures.front import Front
from genhouse.outputs.pictures.landscape import Sheet
from genhouse.village.houses import Built
from genhouse.village.layout import Village
from genhouse.village.roster import rows

CAUTION = "For block worlds and early ideas: not construction documents."
WIDEST = 2200
"""Pixels across the pictures in the page."""
AROUND = 1.7
"""How much of the map is shown about a house that is chosen, to its own width."""


def on_page(size: tuple[int, int]) -> tuple[int, int]:
    """Pixels of a picture in the page."""
    part = min(1.0, WIDEST / size[0])
    return round(size[0] * part), round(size[1] * part)


def page(
    village: Village,
    front: Front,
    sheet: Sheet,
    day: bytes,
    night: bytes,
    step: float,
    bill: Sequence[tuple[str, int]],
) -> str:
    """The page.  day, night: pictures for it, as JPEG files.  step: steps of the front to a cell.

    bill: materials, and how many cells are of each.
    """
    from jinja2 import Environment, PackageLoader

    size = on_page(sheet.size)
    part = size[0] / sheet.size[0]
    houses = []
    for house, level, row in zip(village.houses, village.levels, rows(village), strict=True):
        corners = _corners(house, level, front, sheet, step, part)
        across = [x for x, _ in corners]
        houses.append(
            {
                "number": house.plot.number,
                "client": house.recipe.brief.client,
                "points": " ".join(f"{x:.0f},{y:.0f}" for x, y in corners),
                "at": [round((min(t) + max(t)) / 2) for t in zip(*corners, strict=True)],
                "span": round(AROUND * (max(across) - min(across))),
                "figures": _figures(house, row),
            }
        )
    environment = Environment(
        loader=PackageLoader("genhouse.village", "."), autoescape=True, keep_trailing_newline=True
    )
    told = [{key: house[key] for key in house if key != "points"} for house in houses]
    return environment.get_template("page.html.j2").render(
        title=f"Village {village.site.wanted.seed}",
        lead=_lead(village),
        size=size,
        houses=houses,
        data=json.dumps(told, ensure_ascii=True).replace("</", "<\\/"),
        day=_data(day),
        night=_data(night),
        bill=[(name, f"{many:,}") for name, many in bill],
        caution=CAUTION,
    )


def _lead(village: Village) -> str:
    wide, deep = village.site.wanted.size
    lanes = village.site.lanes.lanes
    return (
        f"{len(village.houses)} houses, no two alike, on {wide} x {deep} cells; "
        f"{sum(lane.length for lane in lanes)} cells of road and lane. Choose a house to see it."
    )


def _corners(
    house: Built, level: int, front: Front, sheet: Sheet, step: float, part: float
) -> list[tuple[float, float]]:
    """Round the picture of a house: its ground's outline and that of its eaves, as one hexagon."""
    x0, y0, x1, y1 = house.rect
    high = level + house.eaves
    points = [
        sheet.place(front, step * x, step * y, step * z)
        for z in (level, high)
        for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    ]
    return [(x * part, y * part) for x, y in _hull(points)]


def _hull(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The convex hull (A. Andrew, Information Processing Letters 9 (1979) 216-219)."""

    def half(row: list[tuple[float, float]]) -> list[tuple[float, float]]:
        line: list[tuple[float, float]] = []
        for x, y in row:
            while len(line) > 1:
                (ax, ay), (bx, by) = line[-2:]
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0:
                    break
                line.pop()
            line.append((x, y))
        return line[:-1]

    ordered = sorted(points)
    return half(ordered) + half(ordered[::-1])


def _figures(house: Built, row: dict[str, Any]) -> list[tuple[str, str]]:
    brief = house.recipe.brief
    like = f"house {row['nearest']}, {row['inside']} apart inside" if row["nearest"] else "none"
    return [
        ("Why here", str(row["why"])),
        ("Plot", f"{row['width']} x {row['depth']} cells, gate to the {house.gate}"),
        ("Rooms", f"{house.rooms} on {house.storeys} storey{'s' if house.storeys > 1 else ''}"),
        ("Palette", str(brief.palette)),
        ("Pieces", str(row["pieces"])),
        ("Most like", like),
        ("Seed", str(row["seed"])),
    ]


def _data(picture: bytes) -> str:
    return f"data:image/jpeg;base64,{base64.b64encode(picture).decode()}"
