"""Storeys: as many as there are, each reached from the one below; wings that stand apart have a door."""

from __future__ import annotations

import networkx as nx
import pytest
from msgspec.structs import replace

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Brief
from genhouse.model.room import COURTS
from genhouse.stages._wings import Wing
from genhouse.stages.bays import plan_bays
from genhouse.stages.rooms import Rooms, plan_rooms
from genhouse.stages.site import Site
from genhouse.stages.siting import plan_site
from tests.houses import TIMBER

each_seed = pytest.mark.parametrize("seed", range(12))


def planned(site: Site, seed: int, storeys: int) -> Rooms:
    tradition = TIMBER.with_storeys(storeys)
    bays = plan_bays(site, tradition, Draw(seed).at("bays"))
    return plan_rooms(site, bays, tradition, (), Draw(seed).at("rooms"))


def ring(seed: int, storeys: int) -> Site:
    """A site whose wings have all so many storeys."""
    site = plan_site(Brief(low=(), storeys=2, arrangement="ring"), TIMBER, Draw(seed).at("site"))
    return replace(site, wings=tuple(replace(w, storeys=storeys) for w in site.wings))


def reached(found: Rooms) -> set[int]:
    """What one comes to from outdoors: through openings, up stairs, from court to veranda."""
    graph = nx.Graph()
    graph.add_nodes_from((0, *(room.id for room in found.rooms)))
    graph.add_edges_from((s.low, s.high) for s in found.segments if s.passable)
    for stair in found.stairs:
        level = next(room.level for room in found.rooms if room.id == stair.room)
        above = next(
            r.id for r in found.on(level + 1) if r.rect.meet(stair.run[-1]) == stair.run[-1]
        )
        graph.add_edge(stair.room, above)
    courts = [room for room in found.rooms if room.kind in COURTS]
    verandas = [room for room in found.rooms if room.kind == "veranda"]
    graph.add_edges_from((a.id, b.id) for a, b in zip(courts, verandas, strict=True))
    if found.entrances[0].room == 0:
        graph.add_edge(0, courts[0].id)
    return set(nx.node_connected_component(graph, 0))


@pytest.mark.parametrize("storeys", [1, 2, 3, 4])
@each_seed
def test_every_room_of_every_storey_is_reached(seed: int, storeys: int) -> None:
    found = planned(ring(seed, storeys), seed, storeys)
    assert {room.level for room in found.rooms if room.indoor} == set(range(1, storeys + 1))
    assert len(found.stairs) == storeys - 1
    assert reached(found) >= {room.id for room in found.rooms}


@each_seed
def test_flights_keep_clear_of_each_other_and_of_the_flue(seed: int) -> None:
    found = planned(ring(seed, 4), seed, 4)
    for stair in found.stairs:
        run = stair.run[0].hull(stair.run[-1])
        foot = next(room for room in found.rooms if room.id == stair.room)
        assert foot.rect.meet(run) == run
        assert not run.has(*found.hearth.cell)
        here = {room.id for room in found.on(foot.level - 1)}
        assert not any(run.meets(other.well) for other in found.stairs if other.room in here)


@each_seed
def test_a_lookout_over_a_corner_has_a_storey_more(seed: int) -> None:
    site = plan_site(
        Brief(low=(), storeys=2, arrangement="ring", plot=(34, 40)), TIMBER, Draw(seed).at("site")
    )
    left, rear = site.wing("left"), site.wing("rear")
    assert left is not None
    assert rear is not None
    r, cut = rear.rect, left.rect.x1
    lookout = Wing(name="lookout", axis="x", rect=Rect(r.x0, r.y0, cut, r.y1), storeys=3)
    rest = replace(rear, rect=Rect(cut, r.y0, r.x1, r.y1))
    wings = (lookout, *(rest if wing is rear else wing for wing in site.wings))
    site = replace(site, wings=wings)
    if left.span != 6:  # its bays are three cells clear: too short to climb in
        with pytest.raises(InfeasibleError, match="stair"):
            planned(site, seed, 3)
        return
    found = planned(site, seed, 3)
    assert all(lookout.rect.meet(room.rect) == room.rect for room in found.on(3))
    assert found.on(3)
    assert reached(found) >= {room.id for room in found.rooms}


@each_seed
def test_a_wing_that_stands_apart_has_a_door_of_its_own(seed: int) -> None:
    site = ring(seed, 2)
    x0, y1 = site.house.x0, site.house.y1 + 3
    store = Wing(name="store", axis="x", rect=Rect(x0, y1, x0 + 11, y1 + 5), storeys=1)
    found = planned(replace(site, wings=(*site.wings, store)), seed, 2)
    inside = {r.id for r in found.on(1) if store.rect.meet(r.rect) == r.rect}
    assert inside
    assert any(e.kind == "service" and e.room in inside for e in found.entrances)
    assert reached(found) >= {room.id for room in found.rooms}
