"""Pictures: their bytes, their outline, and what a palette, a cut, a stage and a lamp change."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from genhouse.core.forms import NUMBER
from genhouse.model.voxels import RoomEntry, Voxels
from genhouse.outputs.pictures import _lamp, _print, _tone, picture
from genhouse.outputs.pictures._ink import Edges
from genhouse.outputs.pictures.camera import NO_FACE, View, extent, foremost, look
from tests.outputs.houses import SEEDS, built
from tests.outputs.specimens import LAMP, PAPER, PLASTER, TIMBER, Yard, block

SMALL = (240, 200)
EVEN = dict.fromkeys(("dark timber", "plaster", "water", "paper", "lamp paper"), "glow")
"""A finish without mottling, for pictures that are compared turned."""

# Area of a unit cube's outline in a true-length isometric drawing, 3 sqrt(3) / 2: the project's
# reference notes, section 7.
HEXAGON = 2.5980762


def pixels(image: Image.Image) -> np.ndarray:
    return np.asarray(image).astype(int)


def cottage() -> Voxels:
    """A room with walls of plaster, posts of timber, a roof, and a court with a room number."""
    yard = Yard(9, 7, 6)
    yard.set(np.s_[:, :, :2])
    yard.set(np.s_[1:5, 1:6, 2:4], NUMBER["infill x"], PLASTER)
    yard.set(np.s_[2:4, 2:5, 2:4], 0, 0, 0)
    yard.set(np.s_[1:6, :, 4], NUMBER["course east"], TIMBER, 3)
    yard.room[2:4, 2:5, 2:4] = 1
    yard.room[6:8, 2:5, 2:4] = 2
    room = RoomEntry(id=1, kind="study", level=1, indoor=True, walkable=True)
    court = RoomEntry(id=2, kind="court", level=1, indoor=False, walkable=True)
    return yard.house(room, court)


def test_the_same_house_gives_the_same_bytes() -> None:
    once, again = (picture.png(picture.seen(cottage(), "outside", size=SMALL)) for _ in range(2))
    assert once == again
    assert once[:8] == b"\x89PNG\r\n\x1a\n"  # the signature of a PNG file, W3C PNG, 5.2


def test_a_png_holds_the_picture_and_sound_chunks() -> None:
    image = picture.seen(cottage(), "outside", size=SMALL)
    data = picture.png(image)
    with Image.open(BytesIO(data)) as read:
        assert np.array_equal(pixels(read), pixels(image))
    # The checksum of the empty chunk that ends every PNG file: the reference notes, section 11.
    assert data.endswith(b"IEND\xae\x42\x60\x82")


def test_an_empty_plot_is_a_bare_table() -> None:
    image = pixels(picture.draw(Yard(3, 3, 2).house(), size=SMALL))
    assert image.min() >= 180


def test_a_scene_draws_as_its_voxels_do() -> None:
    house = cottage()
    ready = picture.scene(house)
    for kind in picture.LOOKS:
        once, again = (picture.png(picture.seen(it, kind, size=SMALL)) for it in (ready, house))
        assert once == again


@pytest.mark.parametrize("size", [(1000, 900), (320, 400), (64, 64)])
def test_pictures_have_the_size_asked_for(size: tuple[int, int]) -> None:
    image = picture.draw(cottage(), size=size)
    assert (image.mode, image.size) == ("RGB", size)


@pytest.mark.parametrize("size", [(1000, 900), (240, 200), (90, 90)])
def test_a_unit_cube_covers_the_published_hexagon(size: tuple[int, int]) -> None:
    solid = np.ones((4, 4, 4), dtype=bool)
    bounds = extent(foremost(solid), 4)
    frame = _print.frame(bounds, (-20, 30, -20, 20), size)
    seen = look(solid, frame.window).face != NO_FACE
    white = np.broadcast_to(np.where(seen, np.uint8(255), np.uint8(0)), (3, 3, *seen.shape))
    bare = np.zeros(seen.shape, dtype=np.uint8)
    none = Edges(upper=bare, lower=bare, upright=bare)
    image = _print.brought_to_size(_print.printed(white, none, frame), frame, (0, 0, 0))
    area = pixels(image)[:, :, 0].sum() / 255
    assert area == pytest.approx(HEXAGON * frame.scale**2, rel=0.01)


@pytest.mark.parametrize("a", range(1, 14))
@pytest.mark.parametrize("b", [1, 2, 3, 4, 7])
def test_each_pixel_is_shared_out_between_two_triangles(a: int, b: int) -> None:
    shares = np.zeros((2, 2 * b, a), dtype=int)
    for way, dots in enumerate(_print.pattern(a, b, 8)):
        down, across = dots.place
        shares[way, down, across] = dots.share
        assert np.all(dots.weights.sum(axis=0) == 256)
    left, right = shares
    # The lower half of one triangle meets the upper half of the next, which points the other way.
    assert np.all(left[:b] + right[b:] == 256)
    assert np.all(right[:b] + left[b:] == 256)


def test_a_palette_changes_colours_only() -> None:
    house = cottage()
    painted = tuple(replace(m, colour="#406080") for m in house.about.materials)
    other = replace(house, about=replace(house.about, materials=painted))
    a, b = (pixels(picture.seen(h, "outside", size=SMALL)) for h in (house, other))
    changed = np.any(a != b, axis=2)
    corner = pixels(picture.seen(house, "outside", size=SMALL))[:8, :8]
    assert not changed[:8].any()
    assert np.all(corner == _tone.PAPER)
    again = replace(other, about=house.about)
    assert np.array_equal(pixels(picture.seen(again, "outside", size=SMALL)), a)


SEEN_FROM: tuple[View, ...] = ("south-east", "north-east", "north-west", "south-west")


def test_a_turned_house_looks_the_same_from_the_turned_corner() -> None:
    house = Yard(5, 4, 3).set(np.s_[:, :, 0]).set(np.s_[1, 0:2, 1]).set(np.s_[3, 3, :]).house()
    first = pixels(picture.draw(house, EVEN, view="south-east", size=SMALL))
    for quarters, view in enumerate(SEEN_FROM):
        arrays = {
            name: np.rot90(getattr(house, name), quarters)
            for name in ("material", "form", "stage", "room")
        }
        turned = replace(house, **arrays)
        assert np.array_equal(pixels(picture.draw(turned, EVEN, view=view, size=SMALL)), first)


def below(house: Voxels, layer: int) -> np.ndarray:
    """The cells under a layer."""
    return np.broadcast_to(np.arange(house.size[2]) < layer, house.size)


def _count(image: Image.Image, colour: tuple[int, int, int]) -> int:
    return int(np.all(np.abs(pixels(image) - colour) <= 2, axis=2).sum())


def test_a_cut_is_capped_dark_and_an_uncut_top_is_not() -> None:
    house = block(4, 4, 4, material=PLASTER)
    assert _count(picture.draw(house, size=SMALL, mask=below(house, 2)), _tone.POCHE) > 1000
    assert _count(picture.draw(house, size=SMALL, mask=below(house, 4)), _tone.POCHE) == 0


def test_a_mask_is_capped_where_it_cuts_upright_too() -> None:
    house = block(4, 4, 4, material=PLASTER)
    mask = np.ones(house.size, dtype=bool)
    mask[2:] = False
    assert _count(picture.draw(house, size=SMALL, mask=mask), _tone.POCHE) > 1000


def test_a_stage_is_drawn_in_the_frame_of_the_whole_house_and_outlined() -> None:
    house = block(6, 6, 6, material=PLASTER)
    built = np.zeros(house.size, dtype=bool)
    built[:, :, :2] = True
    fresh = built.copy()
    fresh[:, :, 0] = False
    image = picture.draw(house, size=SMALL, mask=built, fresh=fresh)
    assert _count(image, _tone.POCHE) == 0
    red, _, blue = np.moveaxis(pixels(image), 2, 0)
    assert (red - blue > 60).sum() > 50  # the accent round it
    assert np.all(pixels(image)[:60, 100:140] >= 225)  # nothing stands yet where the top will be


def test_lamps_light_what_is_near_them() -> None:
    yard = Yard(12, 12, 3).set(np.s_[:, :, 0], material=PLASTER)
    yard.set(np.s_[2, 2, 1], NUMBER["standing lamp"], LAMP)
    image = pixels(picture.draw(yard.house(), EVEN | {"plaster": "plain"}, night=True, size=SMALL))
    lit = image.sum(axis=2)
    west, east = lit[:, :120], lit[:, 120:]
    assert west.max() > east.max() + 150


def test_paper_lets_lamplight_through_and_timber_does_not() -> None:
    def beyond(material: int) -> int:
        yard = Yard(9, 9, 4).set(np.s_[:, :, 0], material=PLASTER)
        yard.set(np.s_[:, 4, 1:], material=material)
        yard.set(np.s_[4, 6, 1], NUMBER["standing lamp"], LAMP)
        return int(_lamp.lamplight(yard.house())[4, 2, 1])

    assert beyond(PAPER) > 100
    assert beyond(TIMBER) == 0


def test_a_mat_of_two_cells_has_its_border_round_both() -> None:
    def inner_line(second: str) -> int:
        yard = Yard(2, 1, 1).set(np.s_[0], NUMBER["mat east"], PLASTER)
        yard.set(np.s_[1], NUMBER[second], PLASTER)
        image = picture.draw(yard.house(), {"plaster": "mat"}, size=(300, 300))
        middle = pixels(image.crop((130, 90, 170, 130))).sum(axis=2)
        return int(middle.max() - middle.min())

    assert inner_line("half mat") > inner_line("mat west") + 100


def test_the_gate_is_on_the_sunny_side() -> None:
    house = cottage()
    for gate, side in (((4, 0, 8), "south"), ((0, 3, 8), "west"), ((4, 6, 8), "north")):
        moved = replace(house, about=replace(house.about, gate=gate))
        assert picture.gate_side(moved) == side


def test_the_lower_floor_is_where_most_rooms_begin() -> None:
    assert (picture.floors(cottage()) == 2).all()


def test_looking_into_the_court_leaves_the_far_side_and_the_floor() -> None:
    house = cottage()
    shown = picture.beyond_court(house, "south-east")
    assert shown[:, :, :2].all()  # the ground everywhere
    assert not shown[8, :, 2:].any()  # nothing east of the court
    assert not shown[:, :2, 2:].any()  # nothing south of it
    assert shown[1:6, 5:, :].all()  # the far corner stands


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_stands_before_the_stair(seed: int) -> None:
    """Seen from the south-east: all of it is there, and nothing over the floor east or south of it."""
    v = built(seed)
    stair = v.stage == v.about.stages.index("stair")
    shown = picture.beyond_stair(v, "south-east")
    assert shown[stair].all()
    x, y, _ = np.nonzero(stair)
    floor = int(picture.floors(v).min())
    assert not shown[x.max() + 1 :, :, floor:].any()
    assert not shown[:, : y.min(), floor:].any()
    assert shown[: x.max() + 1, y.min() :].all()


def test_a_house_without_a_stair_is_shown_whole() -> None:
    assert picture.beyond_stair(cottage(), "south-east").all()


def test_what_is_hidden_is_looked_at_with_nothing_before_it() -> None:
    """On a line of sight lie the cells (x, y, z), (x + 1, y - 1, z + 1) and so on, seen from the
    south-east: from a cell behind the cottage the next is its wall."""
    house = cottage()
    everything = house.form > 0
    behind, before = np.zeros((2, *house.size), dtype=bool)
    behind[0, 6, 1] = True
    before[8, 0, 1] = True
    ground = everything & (np.arange(house.size[2]) < 2)
    assert everything[1, 5, 2]
    assert picture.in_sight(before, everything, "south-east").any()
    assert not picture.in_sight(behind, everything, "south-east").any()
    assert picture.in_sight(behind, ground, "south-east").any()
    freed = picture.beyond(house, behind, "south-east")
    assert picture.in_sight(behind, everything & freed, "south-east").any()
    assert not picture.in_sight(behind, everything & ~behind, "south-east").any()
