"""The roof: its time, and the same heights from general-purpose libraries.

    python -m tests.benchmarks.bench_roof

Roof design and carpentry (planning, timbers, carving, parts) of 23 x 32 houses, in processor time;
beside it the bare height field of the same houses as scipy's chessboard distance and as shapely's
mitred offsets, which give neither shell, pieces nor timbers.
"""

from __future__ import annotations

from collections.abc import Callable
from statistics import median
from time import process_time

import numpy as np
import shapely
from scipy import ndimage

from genhouse.core.draw import Draw
from genhouse.generate.draws import Draws
from genhouse.generate.layout import lay_out
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.stages.roof import plan_roof
from genhouse.stages.roofing import roof_members
from genhouse.traditions.loader import load_tradition

TIMBER = load_tradition("timber")
SEEDS = range(12)


def timed(work: Callable[[], object]) -> float:
    """The least of five, in milliseconds."""
    times = []
    for _ in range(5):
        start = process_time()
        work()
        times.append(process_time() - start)
    return 1000 * min(times)


def main() -> None:
    """Print medians over the seeds, and their ratios."""
    ours, scipys, shapelys = [], [], []
    for seed in SEEDS:
        found = lay_out(Draws(Recipe(seed=seed, brief=Brief(plot=(23, 32)))))
        site, bays, rooms = found.site, found.bays, found.rooms
        draw = Draw(seed).at("roof")

        def work() -> object:
            roof = plan_roof(site, bays, rooms, TIMBER, RoofWish(), draw)  # noqa: B023
            return tuple(roof_members(site, roof, rooms, TIMBER))  # noqa: B023

        ours.append(timed(work))
        cells = np.zeros(site.plot, dtype=bool)
        for wing in site.wings:
            cells[wing.rect.x0 : wing.rect.x1, wing.rect.y0 : wing.rect.y1] = True
        scipys.append(timed(lambda: ndimage.distance_transform_cdt(cells, "chessboard")))  # noqa: B023
        outline = shapely.union_all([shapely.box(*wing.rect) for wing in site.wings])
        shapelys.append(
            timed(lambda: [outline.buffer(-n, join_style="mitre").area for n in range(6)])  # noqa: B023
        )
    print(f"roof, planned and laid   {median(ours):7.2f} ms")
    for name, times in (("scipy distance", scipys), ("shapely offsets", shapelys)):
        print(
            f"{name:24} {median(times):7.2f} ms   ours is {median(ours) / median(times):.0f} times"
        )


if __name__ == "__main__":
    main()
