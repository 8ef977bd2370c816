"""Where a flight fits: it needs two bays in a row, and says so where there are none."""

from __future__ import annotations

import pytest

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.stages.ways.flights import plan_flight
from tests.houses import SEEDS, plan


@pytest.mark.parametrize("seed", SEEDS)
def test_a_flight_keeps_out_of_taken_bays(seed: int) -> None:
    p = plan(seed)
    first = plan_flight(p.site, p.bays, frozenset(), Draw(seed))
    try:
        other = plan_flight(p.site, p.bays, frozenset({first.upper}), Draw(seed))
    except InfeasibleError:
        return
    assert first.upper not in (other.lower, other.upper)


def test_where_every_bay_is_taken_the_stage_says_that_none_fits() -> None:
    p = plan(3)
    with pytest.raises(InfeasibleError, match="stair") as error:
        plan_flight(p.site, p.bays, frozenset(range(len(p.bays.units))), Draw(1))
    assert error.value.stage == "rooms"


@pytest.mark.parametrize("seed", SEEDS)
def test_a_flight_climbs_in_one_bay_and_starts_before_it(seed: int) -> None:
    p = plan(seed)
    flight = plan_flight(p.site, p.bays, frozenset(), Draw(seed))
    bay = p.bays.units[flight.upper].rect
    inside = [step for step in flight.stair.run if bay.meet(step) == step]
    assert len(inside) >= 4
    both = p.bays.units[flight.lower].rect.hull(bay)
    floors = [r for r in (flight.room, flight.passage, flight.left) if r is not None]
    assert all(both.meet(r) == r for r in floors)
    assert not any(a.meets(b) for a in floors for b in floors if a is not b)
    if p.bays.units[flight.upper].single:
        assert floors == [both]
    else:
        assert len(floors) == 3, "in a deep wing the hall leaves a passage and room for another"
        assert any(court.grown(2).meets(floors[1]) for court in p.site.courts)
    assert all(flight.room.meet(step) == step for step in flight.stair.run)
