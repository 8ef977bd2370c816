"""Answers: what is asked for, judged by hand-made rooms."""

from __future__ import annotations

from genhouse.core.box import Rect
from genhouse.model.brief import Wish
from genhouse.model.elements import Wall
from genhouse.model.room import Room
from genhouse.stages.seats.answers import Seen, seen, shared_out, unmet


def room(n: int, kind: str, x: int, level: int = 1, wide: int = 3, *, indoor: bool = True) -> Room:
    """One in a row along y = 0, three cells deep."""
    rects = (Rect(x, 0, x + wide, 3),)
    return Room(id=n, kind=kind, level=level, rects=rects, floor=3, ceiling=7, indoor=indoor)


ROW = (
    room(1, "kitchen", 0),
    room(2, "sleeping", 4),
    room(3, "study", 8, wide=5),
    room(4, "sleeping", 4, 2),
)


def met(*wishes: Wish, rooms: tuple[Room, ...] = ROW) -> bool:
    return not unmet(seen(rooms, ()), wishes)


def test_beside_means_every_one_of_them_and_beside_any_one_of_them() -> None:
    two = Wish(kind="sleeping", count=2)
    assert met(two)
    assert met(Wish(kind="study", beside=("sleeping",)))
    assert not met(Wish(kind="study", beside=("sleeping", "kitchen")))
    assert met(Wish(kind="study", beside_any=("sleeping", "kitchen")))
    assert not met(Wish(kind="study", beside_any=("bath", "kitchen")))
    assert not met(Wish(kind="study", beside=("sleeping",), beside_any=("bath", "kitchen")))
    assert met(
        Wish(kind="sleeping", storey=1, beside=("kitchen", "study")),
        Wish(kind="sleeping", storey=2, away=("kitchen",)),
    ), "neighbours are those of the same storey"


def test_none_of_a_kind_means_none() -> None:
    assert met(Wish(kind="bath", count=0))
    assert not met(Wish(kind="study", count=0))


def test_lines_for_one_kind_share_its_rooms_out_among_them() -> None:
    """Room 2 alone answers either line, room 4 only the first: taking them as they come would fail."""
    either, lower = Wish(kind="sleeping"), Wish(kind="sleeping", storey=1)
    assert met(either, lower)
    assert not met(lower, lower)
    assert not met(either, Wish(kind="sleeping", storey=2, count=2))
    lines = [(0, either), (1, lower)]
    sleeping = [r for r in seen(ROW, ()) if r.room.kind == "sleeping"]
    assert shared_out(lines, sleeping) == {0: (4,), 1: (2,)}


def test_a_room_opens_to_a_court_where_a_wall_to_one_is_opened() -> None:
    court = room(9, "court", 0, indoor=False)
    rooms = (*ROW, court)

    def wall(of: int, opening: str) -> Wall:
        return Wall(
            level=1,
            axis="x",
            cells=Rect(0, 3, 3, 4),
            z0=2,
            z1=8,
            floor=3,
            lintel=5,
            boundary="court",
            low=of,
            high=9,
            opening=opening,  # type: ignore[arg-type]
        )

    found = seen(rooms, (wall(1, "screens"), wall(2, "none"), wall(4, "window")))
    assert [r.court for r in found] == [True, False, False, True]
    assert not unmet(found, (Wish(kind="kitchen", court=True), Wish(kind="study", court=False)))
    assert unmet(found, (Wish(kind="study", court=True),)) == ("rooms 1 (study): court = true",)


def test_what_is_unmet_is_said_by_its_place_in_the_brief() -> None:
    rooms = seen(ROW, ())
    assert unmet(rooms, ()) == ()
    assert unmet(rooms, (Wish(kind="kitchen", count=4),)) == (
        "rooms 1 (kitchen): count 4, found 1",
    )
    assert unmet(rooms, (Wish(kind="kitchen", storey=2),)) == (
        "rooms 1 (kitchen): storey 2, found 1",
    )
    assert unmet(rooms, (Wish(kind="study", area=(9, 12)),)) == (
        "rooms 1 (study): area 9 to 12, found 15",
    )
    assert Seen(ROW[0], frozenset(), court=False).room.kind == "kitchen"
