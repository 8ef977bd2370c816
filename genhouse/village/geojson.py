"""The plan as RFC 7946 features.  Coordinates are cells of the map, x east and y north, as the foreign
member ``crs_note`` says: a village of the mind lies nowhere on the earth."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from genhouse.village.curves import FINE
from genhouse.village.layout import Village
from genhouse.village.offers import Rect
from genhouse.village.outlines import polygons
from genhouse.village.roster import rows
from genhouse.village.surface import FORD

Json = dict[str, Any]


def write_plan(path: Path, village: Village) -> None:
    """plan.geojson, feature by feature."""
    wide, deep = village.site.wanted.size
    head = {
        "type": "FeatureCollection",
        "bbox": [0, 0, wide, deep],
        "crs_note": "local cells: x east, y north, nominally metres; not longitude and latitude",
    }
    with path.open("w", encoding="utf-8", newline="") as out:
        out.write(f'{_json(head)[:-1]},"features":[')
        for n, feature in enumerate(features(village)):
            out.write(f"{',' if n else ''}{_json(feature)}")
        out.write("]}")


def _json(value: Any) -> str:
    return json.dumps(value, separators=(",", ":"))


def features(village: Village) -> Iterator[Json]:
    """Lanes, plots, houses, places, fields, orchards, footpaths and water."""
    site = village.site
    for n, lane in enumerate(site.lanes.lanes):
        line = [[x / FINE, y / FINE] for x, y in _thinned(lane.points).tolist()]
        told = {"kind": lane.kind, "from": lane.ends[0], "to": lane.ends[1]}
        more = {"length": lane.length, "grade": lane.grade}
        yield _feature(f"lane-{n}", {"type": "LineString", "coordinates": line}, told | more)
    for n, (x, y) in enumerate(site.lanes.junctions):
        yield _feature(
            f"junction-{n}", {"type": "Point", "coordinates": [x, y]}, {"kind": "junction"}
        )
    for house, level, row in zip(village.houses, village.levels, rows(village), strict=True):
        plot = house.plot
        x0, y0, x1, y1 = plot.rect
        west, south, east, north = (
            side not in plot.party for side in ("west", "south", "east", "north")
        )
        around = (x0 - west, y0 - south, x1 + east, y1 + north)
        told = {"kind": "plot", "house": plot.number, "quarter": plot.quarter, "level": level}
        yield _feature(f"plot-{plot.number}", _rectangle(around), told)
        names = ("seed", "pieces", "quarter", "why", "nearest", "inside", "outside")
        about = {name: row[name] for name in names}
        who = {"kind": "house", "house": plot.number, "client": house.recipe.brief.client}
        yield _feature(f"house-{plot.number}", _rectangle(plot.rect), who | about)
        gate = {"type": "Point", "coordinates": [row["gate_x"] + 0.5, row["gate_y"] + 0.5]}
        yield _feature(f"gate-{plot.number}", gate, {"kind": "gate", "house": plot.number})
    for n, back in enumerate(village.backs):
        line = [[x + 1, y + 1] for x, y in back.cells]
        told = {"kind": "back lane", "length": len(line), "houses": list(back.houses)}
        yield _feature(f"back-{n}", {"type": "LineString", "coordinates": line}, told)
    for ground in site.places:
        yield _feature(ground.kind, _rectangle(ground.rect), {"kind": ground.kind})
    for n, parcel in enumerate(village.parcels):
        told = {"kind": parcel.kind, "crop": parcel.crop}
        yield _feature(f"{parcel.kind}-{n}", _rectangle(parcel.rect), told)
    for n, trail in enumerate(village.grown.trails):
        line = [[x / FINE, y / FINE] for x, y in _thinned(trail).tolist()]
        yield _feature(f"trail-{n}", {"type": "LineString", "coordinates": line}, {"kind": "trail"})
    yield from _water(village)


def _feature(name: str, geometry: Json, properties: Json) -> Json:
    return {"type": "Feature", "id": name, "geometry": geometry, "properties": properties}


def _rectangle(rect: Rect) -> Json:
    """Counter-clockwise, as RFC 7946 asks of an outer ring."""
    x0, y0, x1, y1 = rect
    return {"type": "Polygon", "coordinates": [[[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]]}


def _thinned(points: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    """Every eighth point, and the ends."""
    keep = np.unique(np.append(np.arange(0, len(points), 8), len(points) - 1))
    return np.asarray(points[keep])


def _water(village: Village) -> Iterator[Json]:
    """Each body of water, up to the stones of its fords."""
    surface = village.settled.surface
    wet = ((surface.level > 0) & (surface.use != FORD)).astype(np.uint8)
    for n, (_, rings) in enumerate(polygons(wet)):
        closed = [[list(corner) for corner in (*ring, ring[0])] for ring in rings]
        yield _feature(f"water-{n}", {"type": "Polygon", "coordinates": closed}, {"kind": "water"})
