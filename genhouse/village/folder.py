"""The folder of a village, written beside its place and put there when all of it is there.

What a killed run had made is gone on with: its houses, and the pieces of the store that were written.
"""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from genhouse.core.digest import canonical
from genhouse.core.engines import opened
from genhouse.core.errors import WriteError
from genhouse.core.progress import tell, told
from genhouse.core.reading import refused
from genhouse.core.workers import helped, pooled
from genhouse.inspection import Finding, Report
from genhouse.outputs.files import VILLAGE, check_target, put_folder, write_file
from genhouse.outputs.leftovers import held
from genhouse.outputs.pictures.landscape import Lit, Sheet
from genhouse.outputs.pictures.picture import jpeg, png
from genhouse.outputs.written import digest, digest_of, with_record
from genhouse.village.bill import bill_csv, by_material
from genhouse.village.cells import Box, World, cells
from genhouse.village.cityjson import write_city
from genhouse.village.gather import Eye, Glimpse
from genhouse.village.geojson import write_plan
from genhouse.village.judge import Whole, inside
from genhouse.village.kept import Shelf
from genhouse.village.layout import Site, Village, build
from genhouse.village.model import write_model
from genhouse.village.page import on_page, page
from genhouse.village.patch import Patch, Tables, patch
from genhouse.village.roster import roster_csv, rows
from genhouse.village.shown import Shown
from genhouse.village.store import about, boxes, create, put

DRAWN = ("map.png", "night.png", "plan.png")
STORE, HOUSES, DONE, MADE_FOR = "village.zarr", ".houses", ".done", ".made-for"


def write_village(
    site: Site,
    target: Path,
    *,
    force: int = 0,
    folders: bool = False,
    processes: int | None = None,
    engine: str = "pool",
    store: str | None = None,
    model: bool = False,
) -> Village:
    """Make the houses of a site and write the whole folder.

    folders: a folder for each house too.  store: the address of its cells, where they go elsewhere.
    model: village.glb too.
    Raises WriteError, and leaves what is made beside the target, to go on with.
    """
    check_target(target, force=force, marker=VILLAGE)
    work = target.with_name(f".{target.name}.unfinished")
    with refused(WriteError, target, "was not written; begun again, it goes on where it was"):
        _begin(work, site)
        with held(work) as mine:
            if not mine:
                raise OSError("another run is writing it")
            village = build(site, processes=processes, engine=engine, kept=Shelf(work / HOUSES))
            del site
            if model:
                write_model(work / "village.glb", village.world, processes)
            report = _fill(work, village, folders=folders, processes=processes, store=store)
            for name in (HOUSES, DONE, MADE_FOR):
                _gone(work / name)
            put_folder(work, target, force=force, marker=VILLAGE)
    return replace(village, report=report)


def _begin(work: Path, site: Site) -> None:
    """A folder to work in; what an earlier run left there is kept where it was for the same village."""
    wanted = site.wanted
    asked = (wanted.seed, wanted.size, wanted.houses, canonical(wanted.customs))
    told = hashlib.sha256(canonical(asked))
    for field in (site.before.ground, site.before.level, site.surface.use):
        told.update(np.ascontiguousarray(field).data)
    own = told.hexdigest().encode()
    note = work / MADE_FOR
    with suppress(OSError):
        if note.read_bytes() == own:
            return
    shutil.rmtree(work, ignore_errors=True)
    work.mkdir(parents=True)
    write_file(note, own)


def _fill(
    work: Path, village: Village, *, folders: bool, processes: int | None, store: str | None = None
) -> Report:
    shown, tables = Shown.begun(village), Tables.of(about(village), rows(village))
    whole = Whole.of(tables)
    shown.walked(_looked_over(whole, _written(work, village, shown.eye, tables, processes, store)))
    report, bill = whole.report(list(_rooms(village.world, tables, processes))), whole.bill()
    del whole, tables  # the pictures find their memory free
    light, sheet = shown.light(), shown.sheet()
    with helped(partial(_drawn, shown, light, sheet), DRAWN, 1, what="pictures") as drawn:
        texts = {"houses.csv": roster_csv(village), "materials.csv": bill_csv(bill)}
        write_plan(work / "plan.geojson", village)
        write_city(work / "village.city.json", village)
        pictures = dict(zip(DRAWN, drawn(), strict=True))
    day, night = (pictures.pop(name) for name in DRAWN[:2])
    of_page = (village, shown.front, sheet, day[1], night[1], shown.eye.step, by_material(bill))
    texts["village.html"] = page(*of_page)
    files = {name: text.encode() for name, text in texts.items()}
    files |= {"map.png": day[0], "night.png": night[0], "plan.png": pictures["plan.png"][0]}
    for name, contents in files.items():
        write_file(work / name, contents)
    if folders:
        _folders(work, village)
    record = frozenset(
        (path.relative_to(work).as_posix(), digest_of(work, path.relative_to(work).as_posix()))
        for path in sorted(work.rglob("*"))
        if path.is_file() and not path.relative_to(work).parts[0].startswith(".")
    )
    own = VILLAGE.file
    told = document(village, report)
    record |= {(own, digest(own, told))}
    write_file(work / own, with_record(told, record))
    return report


def _looked_over(whole: Whole, pieces: Iterable[tuple[Glimpse, Patch]]) -> Iterator[Glimpse]:
    """What pieces show; each is inspected as it goes by."""
    for glimpse, one in pieces:
        whole.add(one)
        yield glimpse


def _rooms(world: World, tables: Tables, processes: int | None) -> Iterator[tuple[Finding, ...]]:
    with opened("pool", processes) as workers:
        yield from told(
            "inspection",
            workers.map(partial(inside, tables, partial(cells, world)), tables.houses),
            len(tables.houses),
        )


def _drawn(shown: Shown, light: Lit, sheet: Sheet, name: str) -> tuple[bytes, bytes]:
    """A picture as a file, and as the page has it."""
    if name == "plan.png":
        return png(shown.plan()), b""
    drawn = shown.map(light, sheet, night=name == "night.png")
    return png(drawn), jpeg(drawn.resize(on_page(drawn.size)))


def _written(
    work: Path,
    village: Village,
    eye: Eye,
    tables: Tables,
    processes: int | None,
    address: str | None,
) -> Iterator[tuple[Glimpse, Patch]]:
    """All pieces of the map; those that an earlier run wrote are made but not written again."""
    note, world = work / DONE, village.world
    store: Path | str = address or work / STORE
    done: list[str] = []
    with suppress(OSError):
        done = note.read_text("ascii").split()
    if not done and address:
        create(village, address)
    elif not done:
        _gone(work / STORE)
        # Zarr leaves threads, beside which nothing is forked: so it works in workers alone.
        with pooled(partial(create, village), 1) as begin:
            begin(store).result()
    every = [(box, "-".join(map(str, box))) for box in boxes(world)]
    tasks = [(box, name not in done) for box, name in every]
    with opened("here" if address else "pool", processes) as workers:
        made = workers.map(partial(_piece, world, eye, tables, store), tasks)
        for (_, name), seen in zip(every, told("map", made, len(every)), strict=True):
            if name not in done:
                with note.open("a", encoding="ascii") as file:
                    file.write(f"{name}\n")
            yield seen


def _piece(
    world: World, eye: Eye, tables: Tables, store: Path | str, task: tuple[Box, bool]
) -> tuple[Glimpse, Patch]:
    """Make a piece of the map, write it where it is new, look at it and inspect it."""
    box, new = task
    found = cells(world, box)
    if new:
        put(store, box, found)
    return eye.glimpse(box, found, world.matter), patch(tables, box, found)


def _folders(work: Path, village: Village) -> None:
    """A folder for each house, made again from its recipe."""
    from genhouse.house import make
    from genhouse.outputs.files import write_folder

    for n, house in enumerate(village.houses):
        tell("folders", n, len(village.houses))
        inner = work / "houses" / f"{house.plot.number:04d}"
        inner.parent.mkdir(exist_ok=True)
        if not inner.exists():
            write_folder(inner, make(house.recipe).files(), force=0)


def document(village: Village, report: Report) -> bytes:
    """village.json: what was asked for and what came of it."""
    site, settled = village.site, village.settled
    told: dict[str, Any] = {
        "format": VILLAGE.format,
        "version": 1,
        "seed": site.wanted.seed,
        "size": list(site.wanted.size),
        "layers": village.world.height,
        "houses": len(village.houses),
        "pieces": sum(row["pieces"] for row in rows(village)),
        "lanes": [
            {"from": a, "to": b, **data} for a, b, data in site.lanes.graph().edges(data=True)
        ],
        "cut": settled.cut / 2,
        "fill": settled.fill / 2,
        "checks": report.plain(),
        "alike": [house.plot.number for house, like in _likes(village) if like.alike],
    }
    return json.dumps(told, indent=1).encode()


def _likes(village: Village) -> Iterator[tuple[Any, Any]]:
    return zip(village.houses, village.likeness, strict=True)


def _gone(path: Path) -> None:
    if path.is_dir():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)
