"""The folder's pictures: which is which, what they show, and that it matters not who draws them."""

from __future__ import annotations

import io
import re
import threading
from base64 import b64decode

import msgspec
import numpy as np
import pytest
from PIL import Image

from genhouse.house import design
from genhouse.outputs.details import details
from genhouse.outputs.figures.figures import figures
from genhouse.outputs.folder import LOOKS, folder_files
from genhouse.outputs.pictures import _print, picture
from genhouse.outputs.plans.room_diagram import room_diagram
from genhouse.outputs.step_pictures import View, camera_of, size_of, step_picture, views
from genhouse.outputs.steps.steps import building_steps
from tests.outputs.houses import SEEDS, SMALL, built, designed


def _files() -> dict[str, bytes]:
    return folder_files(designed(7, SMALL), built(7, SMALL), list)


def test_threads_draw_what_processes_draw() -> None:
    alone = _files()
    leave = threading.Event()
    other = threading.Thread(target=leave.wait)
    other.start()
    try:
        assert _files() == alone
    finally:
        leave.set()
        other.join()


def test_the_guide_holds_the_look_from_outside_and_a_picture_of_its_own_for_each_step() -> None:
    """And of each storey that is cut open, of each detail, and of each room."""
    files = _files()
    drawn = rb'src="data:image/(png|jpeg);base64,([^"]+)" alt="(Cut out)?'
    every = re.findall(drawn, files["guide.html"])
    held = [(kind, data) for kind, data, cut in every if not cut]
    steps = building_steps(designed(7, SMALL), built(7, SMALL))
    shown = views(built(7, SMALL), steps)
    cut = details(designed(7, SMALL), steps)
    rooms = sum(room.indoor for room in designed(7, SMALL).rooms)
    assert len(held) == 1 + len(shown) + rooms
    assert len(every) == len(held) + len(cut)
    assert b64decode(held[0][1]) == files[LOOKS[0]]
    for view, (kind, data) in zip(shown, held[1:], strict=False):
        with Image.open(io.BytesIO(b64decode(data))) as image:
            size = size_of(built(7, SMALL), view)
            assert (image.format, image.size) == (kind.decode().upper(), size)


def test_the_drawing_of_the_rooms_and_the_document_tell_the_same_figures() -> None:
    files = _files()
    told = msgspec.json.decode(files["house.json"])["metrics"]
    found = figures(designed(7, SMALL), built(7, SMALL))
    assert told == msgspec.json.decode(msgspec.json.encode(found))
    assert files["rooms.svg"].decode() == room_diagram(designed(7, SMALL), found)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_a_step_adds_can_be_seen(seed: int) -> None:
    steps = building_steps(designed(seed), built(seed))
    scene = picture.scene(built(seed))
    for view in views(built(seed), steps):
        image = step_picture(scene, steps, view)
        far = np.abs(np.asarray(image).astype(int) - _print.ACCENT).max(axis=2)
        step = steps.steps[view.step - 1]
        # Pixels of the line round it: a piece by itself has some ten, and one may hide what is below.
        columns = (steps.of == step.number).any(axis=2).sum()
        assert (far < 40).sum() > min(40, 10 * columns), step.name


@pytest.mark.parametrize("seed", SEEDS)
def test_what_one_side_hides_is_shown_from_the_other(seed: int) -> None:
    """Pieces that nothing stands before, cell by cell along the line of sight."""
    voxels, steps = built(seed), building_steps(designed(seed), built(seed))
    shown = views(voxels, steps)
    for one in (s for s in steps.steps if s.stage in ("walls", "roof")):
        stands = (steps.of <= one.number) & (steps.of > 0)
        front, back = (
            _seen(steps.of == one.number, stands, camera_of(voxels, behind=behind))
            for behind in (False, True)
        )
        most = max(12, one.pieces // 4)
        assert (View(one.number, 0, behind=True) in shown) == (len(back - front) > most), one.name


def _seen(new: np.ndarray, stands: np.ndarray, view: str) -> set[tuple[int, ...]]:
    way = np.array([1 if "east" in view else -1, 1 if "north" in view else -1, 1])
    cells = np.argwhere(new)
    free = np.ones(len(cells), dtype=bool)
    for n in range(1, stands.shape[2]):
        at = cells + n * way
        inside = ((at >= 0) & (at < stands.shape)).all(axis=1)
        free[inside] &= ~stands[tuple(at[inside].T)]
    return set(map(tuple, cells[free].tolist()))


def test_lamps_are_shown_storey_by_storey() -> None:
    steps = building_steps(designed(7), built(7))
    last = steps.steps[-1]
    assert last.stage == "lamps"
    assert views(built(7), steps)[-2:] == (View(last.number, 2), View(last.number, 1))


def test_a_house_of_one_storey_has_no_other() -> None:
    page = design(7, {"plot": [17, 19], "storeys": 1}).files()["guide.html"]
    assert b"upper storey" not in page
