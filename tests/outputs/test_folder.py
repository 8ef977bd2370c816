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
from genhouse.model.part import STAGES
from genhouse.outputs.figures.figures import figures
from genhouse.outputs.folder import FURNISHED, LOOKS, STEP_SIZE, _step, folder_files
from genhouse.outputs.pictures import _print, picture
from genhouse.outputs.plans.room_diagram import room_diagram
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


def test_the_guide_holds_the_look_from_outside_and_a_picture_of_its_own_for_each_stage() -> None:
    """And of the lower storey, where a roof or a floor would hide what is new there."""
    files = _files()
    held = re.findall(rb'src="data:image/(png|jpeg);base64,([^"]+)"', files["guide.html"])
    assert len(held) == 1 + len(STAGES) + len(FURNISHED)
    assert b64decode(held[0][1]) == files[LOOKS[0]]
    for kind, data in held[1:]:
        with Image.open(io.BytesIO(b64decode(data))) as image:
            assert (image.format, image.size) == (kind.decode().upper(), STEP_SIZE)


def test_the_drawing_of_the_rooms_and_the_document_tell_the_same_figures() -> None:
    files = _files()
    told = msgspec.json.decode(files["house.json"])["metrics"]
    found = figures(designed(7, SMALL), built(7, SMALL))
    assert told == msgspec.json.decode(msgspec.json.encode(found))
    assert files["rooms.svg"].decode() == room_diagram(designed(7, SMALL), found)


@pytest.mark.parametrize("name", ["mats", "stair", "court", "fittings", "roof"])
@pytest.mark.parametrize("seed", SEEDS)
def test_what_a_stage_adds_can_be_seen(seed: int, name: str) -> None:
    image = _step(picture.scene(built(seed)), name)
    far = np.abs(np.asarray(image).astype(int) - _print.ACCENT).max(axis=2)
    assert (far < 40).sum() > 40  # pixels of the line round it


@pytest.mark.parametrize("name", FURNISHED)
@pytest.mark.parametrize("seed", SEEDS)
def test_what_a_stage_adds_below_can_be_seen(seed: int, name: str) -> None:
    image = _step(picture.scene(built(seed)), name, 1)
    far = np.abs(np.asarray(image).astype(int) - _print.ACCENT).max(axis=2)
    assert (far < 40).sum() > 40  # pixels of the line round it


def test_a_house_of_one_storey_has_no_lower_one() -> None:
    house = design(7, {"plot": [17, 19], "storeys": 1})
    page = house.files()["guide.html"]
    assert len(re.findall(rb'src="data:image/', page)) == 1 + len(STAGES)
    assert b"The lower storey" not in page
