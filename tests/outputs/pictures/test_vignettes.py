"""The sheet of rooms: every room once, at one scale, without the two walls before it."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from genhouse.outputs.pictures import picture, vignettes
from genhouse.outputs.pictures._tone import PAPER
from genhouse.outputs.pictures.camera import COS_30, VIEWS
from tests.houses import anyhow

SEED = 7


@cache
def drawn() -> tuple[picture.Scene, object]:
    found = anyhow(SEED)
    finishes = {m.name: m.finish for m in found.plan.palette.materials}
    scene = picture.scene(found.voxels, finishes)
    return scene, vignettes.rooms_sheet(vignettes.vignettes(found.plan, scene))


def test_a_sheet_is_as_wide_as_asked_and_grows_with_its_rooms() -> None:
    scene, sheet = drawn()
    plain = vignettes.rooms_sheet(vignettes.vignettes(anyhow(SEED).plan, scene), captions=False)
    assert sheet.size[0] == plain.size[0] == vignettes.SHEET  # type: ignore[attr-defined]
    assert sheet.size[1] > plain.size[1], "captions take their own line"  # type: ignore[attr-defined]
    assert plain.getpixel((2, 2)) == PAPER


def test_the_same_house_gives_the_same_sheet() -> None:
    scene, sheet = drawn()
    again = vignettes.rooms_sheet(vignettes.vignettes(anyhow(SEED).plan, scene))
    assert again.tobytes() == sheet.tobytes()  # type: ignore[attr-defined]


@pytest.mark.parametrize("view", VIEWS)
def test_every_vignette_has_the_same_scale(view: str) -> None:
    """A room's floor is (width + depth) cos 30 wide in an isometric drawing at true length along its
    axes (ISO 5456-3); each vignette is as wide as that, and as the far wall's thickness adds."""
    scene, _ = drawn()
    design = anyhow(SEED).plan
    for room in [r for r in design.rooms if r.indoor][:3]:
        image = vignettes.vignette(design, scene, room, view=view, scale=40)  # type: ignore[arg-type]
        dark = np.asarray(image).astype(int).sum(axis=2) < 3 * 120
        columns = np.flatnonzero(dark.any(axis=0))
        expected = (room.rect.width + room.rect.depth + 2) * COS_30 * 40
        assert abs(columns[-1] - columns[0] - expected) < 0.03 * expected


def test_a_room_is_seen_from_where_its_fittings_face() -> None:
    design = anyhow(SEED).plan
    for room in design.rooms:
        if room.indoor:
            here = [p for p in design.placed if p.room == room.id and p.use]
            shown = {
                view: sum(p.cells.area for p in here if p.facing in vignettes.NEAR[view])
                for view in VIEWS
            }
            assert shown[vignettes.best_view(design, room)] == max(shown.values())


def test_a_cropped_scene_is_that_part_of_the_house() -> None:
    scene, _ = drawn()
    part = vignettes.cropped(scene, (3, 4, 2, 9, 11, 6))
    assert part.voxels.size == (6, 7, 4)
    assert np.array_equal(part.voxels.form, scene.voxels.form[3:9, 4:11, 2:6])
    assert np.array_equal(part.solid, scene.solid[12:36, 16:44, 8:24])


def test_captions_say_which_room_it_is_as_on_the_plans_and_its_size() -> None:
    shown = vignettes.vignettes(anyhow(SEED).plan, drawn()[0])
    found = next(v for v in shown if v.room.kind == "stairhall")
    assert found.caption == f"{found.room.id} Stair hall, {found.room.area} cells"
