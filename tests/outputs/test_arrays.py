"""house.npz: what is written, and what is refused."""

from __future__ import annotations

import contextlib
import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from genhouse.core.errors import UnreadableError
from genhouse.core.forms import FORMS
from genhouse.model.voxels import RoomEntry, Voxels
from genhouse.outputs.arrays import CELLS, parse_voxels, read_voxels, voxels_bytes
from tests.outputs.specimens import LAMP, WATER, Yard, block, court_house, designed, heap

ARRAYS = ("material", "form", "stage", "room", "shapes")
Change = Callable[[dict[str, Any]], object]


def house() -> Voxels:
    """Three cells by two by two, half full, with one room."""
    yard = Yard(3, 2, 2).set(np.s_[:, :, 0])
    yard.room[1, :, 1] = 4
    return yard.house(RoomEntry(id=4, kind="hall", level=1, indoor=True, walkable=True))


def loaded(data: bytes) -> dict[str, np.ndarray]:
    with np.load(io.BytesIO(data), allow_pickle=False) as archive:
        return {name: archive[name] for name in archive.files}


def altered(*, arrays: Change = len, record: Change = len) -> bytes:
    """The file of ``house`` after a change to its arrays, its record, or both."""
    kept: dict[str, Any] = loaded(voxels_bytes(house()))
    about = json.loads(kept["about"].item())
    record(about)
    kept["about"] = np.array(json.dumps(about))
    arrays(kept)
    out = io.BytesIO()
    np.savez_compressed(out, **kept)
    return out.getvalue()


class TestWritten:
    def test_keys_dtypes_and_shapes_are_the_contract(self) -> None:
        arrays = loaded(voxels_bytes(house()))
        assert {name: (a.dtype.str, a.shape) for name, a in arrays.items() if name != "about"} == {
            "material": ("|u1", (3, 2, 2)),
            "form": ("<u2", (3, 2, 2)),
            "stage": ("|u1", (3, 2, 2)),
            "room": ("<u2", (3, 2, 2)),
            "shapes": ("|b1", (len(FORMS), 4, 4, 4)),
        }
        assert arrays["about"].shape == ()
        assert arrays["about"].dtype.kind == "U"

    def test_the_record_is_the_contract_with_flags_that_are_off_left_out(self) -> None:
        about = json.loads(loaded(voxels_bytes(house()))["about"].item())
        assert list(about) == [
            *("format", "version", "seed", "materials", "forms", "stages", "rooms"),
            *("eaves", "gate"),
        ]
        assert (about["format"], about["version"], about["seed"]) == ("genhouse-voxels", 2, 7)
        assert about["materials"][0] == {"name": "air", "colour": "#ffffff"}
        assert about["materials"][WATER] == {"name": "water", "colour": "#5f8f94", "liquid": True}
        lamp = {"name": "lamp paper", "colour": "#ffe2a8", "clear": True, "lumens": 800}
        assert about["materials"][LAMP] == lamp
        room = {"id": 4, "kind": "hall", "level": 1, "indoor": True, "walkable": True}
        assert about["rooms"] == [room]
        assert about["forms"][0] == {"name": "air", "piece": "air"}
        assert about["gate"] == [0, 0, 4]

    def test_the_container_is_a_zip_dated_1980(self) -> None:
        # shared/reference.md item 11, NPZ: PK\x03\x04, member a.npy, date 1980-01-01.
        data = voxels_bytes(house())
        assert data[:4] == b"PK\x03\x04"
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = archive.infolist()
        assert [m.filename for m in members] == [f"{n}.npy" for n in (*ARRAYS, "about")]
        assert {m.date_time for m in members} == {(1980, 1, 1, 0, 0, 0)}
        assert {m.create_system for m in members} == {3}

    def test_members_are_npy_version_1_with_data_at_a_multiple_of_64(self) -> None:
        # reference.md item 11, NPY v1.0: \x93NUMPY 01 00, uint16 LE header length, data at 64 n;
        # its worked file of shape (2, 3, 4) and '<u2' has a header of 118 bytes and 176 in all.
        yard = Yard(2, 3, 4).set(np.s_[0, 0, 0])
        with zipfile.ZipFile(io.BytesIO(voxels_bytes(yard.house()))) as archive:
            room = archive.read("room.npy")
        assert room[:8] == b"\x93NUMPY\x01\x00"
        assert int.from_bytes(room[8:10], "little") == 118
        assert len(room) == 176
        text = b"{'descr': '<u2', 'fortran_order': False, 'shape': (2, 3, 4), }"
        assert room[10:128].strip() == text

    def test_equal_houses_give_equal_bytes_however_they_lie_in_memory(self) -> None:
        there = court_house()
        twisted = {
            name: np.asfortranarray(getattr(there, name)) for name in ("material", "form", "room")
        }
        other = Voxels(**twisted, stage=there.stage, shapes=there.shapes, about=there.about)
        assert voxels_bytes(there) == voxels_bytes(other) == voxels_bytes(court_house())

    def test_a_house_is_small(self) -> None:
        assert len(voxels_bytes(court_house())) < 20_000


class TestReadBack:
    @pytest.mark.parametrize("voxels", [house(), court_house(), designed(), heap(3)])
    def test_what_was_written_is_read(self, voxels: Voxels, tmp_path: Path) -> None:
        path = tmp_path / "house.npz"
        path.write_bytes(voxels_bytes(voxels))
        back = read_voxels(path)
        assert back.about == voxels.about
        for name in ARRAYS:
            ours, theirs = getattr(voxels, name), getattr(back, name)
            assert ours.dtype == theirs.dtype
            assert not theirs.flags.writeable
            np.testing.assert_array_equal(ours, theirs)
        assert voxels_bytes(back) == voxels_bytes(voxels)

    def test_unknown_arrays_and_fields_are_ignored(self) -> None:
        data = altered(
            arrays=lambda a: a.update(light=np.zeros(3)), record=lambda r: r.update(client="Mori")
        )
        assert parse_voxels(data).about == house().about

    def test_version_1_which_has_narrow_forms_is_read_as_this_version(self) -> None:
        data = altered(
            arrays=lambda a: a.update(form=a["form"].astype(np.uint8)),
            record=lambda r: r.update(version=1),
        )
        assert voxels_bytes(parse_voxels(data)) == voxels_bytes(house())

    def test_a_material_keeps_its_own_name(self) -> None:
        data = altered(record=lambda r: r["materials"][1].update(own="oak, sawn"))
        back = parse_voxels(data)
        assert back.about.materials[1].own == "oak, sawn"
        record = json.loads(loaded(voxels_bytes(back))["about"].item())
        assert [m.get("own") for m in record["materials"]][:3] == [None, "oak, sawn", None]

    def test_the_other_order_of_bytes_is_read(self) -> None:
        data = altered(arrays=lambda a: a.update(room=a["room"].astype(">u2")))
        np.testing.assert_array_equal(parse_voxels(data).room, house().room)


ARRAYS_REFUSED: dict[str, tuple[Change, str]] = {
    "no room": (lambda a: a.pop("room"), "it has no array 'room'"),
    "no about": (lambda a: a.pop("about"), "it has no array 'about'"),
    "wide form": (
        lambda a: a.update(form=a["form"].astype(np.int32)),
        "its array 'form' is not of uint16",
    ),
    "whole shapes": (
        lambda a: a.update(shapes=a["shapes"].astype(np.uint8)),
        "its array 'shapes' is not of bool",
    ),
    "a row of cells": (
        lambda a: a.update({n: np.zeros((5000, 1, 1), a[n].dtype) for n in CELLS}),
        "its arrays are longer than 4096 cells",
    ),
    "signed room": (
        lambda a: a.update(room=a["room"].astype(np.int16)),
        "its array 'room' is not of uint16",
    ),
    "short stage": (
        lambda a: a.update(stage=a["stage"][:2]),
        "its arrays 'material' and 'stage' differ in size",
    ),
    "flat": (
        lambda a: a.update({n: a[n][0] for n in ("material", "form", "stage", "room")}),
        "its arrays do not have the axes x, y and z",
    ),
    "form without material": (
        lambda a: a["form"].__setitem__((1, 0, 1), 1),
        "'material' and 'form' disagree on air at cell (1, 0, 1)",
    ),
    "material without stage": (
        lambda a: a["stage"].__setitem__((2, 1, 0), 0),
        "'material' and 'stage' disagree on air at cell (2, 1, 0)",
    ),
    "unknown material": (
        lambda a: a["material"].__setitem__((0, 0, 0), 200),
        "'material' passes the end of its table at cell (0, 0, 0)",
    ),
    "unknown form": (
        lambda a: a["form"].__setitem__((0, 1, 0), len(FORMS)),
        "'form' passes the end of its table at cell (0, 1, 0)",
    ),
    "unknown stage": (
        lambda a: a["stage"].__setitem__((0, 1, 0), 5),
        "'stage' passes the end of its table at cell (0, 1, 0)",
    ),
    "unknown room": (
        lambda a: a["room"].__setitem__((0, 0, 1), 9),
        "'room' is not in the table of rooms at cell (0, 0, 1)",
    ),
    "few shapes": (
        lambda a: a.update(shapes=a["shapes"][:-1]),
        "'shapes' does not match the forms",
    ),
    "filled air": (
        lambda a: a["shapes"].__setitem__((0, 0, 0, 0), True),
        "its first form is not air",
    ),
}

RECORDS_REFUSED: dict[str, tuple[Change, str]] = {
    "twin rooms": (lambda r: r.update(rooms=r["rooms"] * 2), "its room ids are not unique"),
    "room 0": (lambda r: r["rooms"][0].update(id=0), "its room ids are not unique"),
    "gate outside": (
        lambda r: r.update(gate=[3, 0, 4]),
        "its gate (3, 0, 4) lies outside the plot",
    ),
    "colour": (
        lambda r: r["materials"][1].update(colour="brown"),
        "the colour 'brown' of 'dark timber' is not #rrggbb",
    ),
    "format": (
        lambda r: r.update(format="barn"),
        "its format is 'barn', not 'genhouse-voxels'",
    ),
    "version": (lambda r: r.update(version=3), "its version is 3, not 1 or 2"),
    "narrow forms": (
        lambda r: r.update(version=1),
        "its array 'form' is not of uint8",
    ),
    "no version": (
        lambda r: r.pop("version"),
        "'about' is not as the format has it (Object missing required field `version`)",
    ),
    "no seed": (
        lambda r: r.pop("seed"),
        "'about' is not as the format has it (Object missing required field `seed`)",
    ),
}


class TestRefused:
    @pytest.mark.parametrize("name", ARRAYS_REFUSED)
    def test_arrays_that_do_not_hold_together(self, name: str) -> None:
        change, message = ARRAYS_REFUSED[name]
        with pytest.raises(UnreadableError) as refusal:
            parse_voxels(altered(arrays=change))
        assert str(refusal.value) == message

    @pytest.mark.parametrize("name", RECORDS_REFUSED)
    def test_a_record_that_does_not_fit(self, name: str) -> None:
        change, message = RECORDS_REFUSED[name]
        with pytest.raises(UnreadableError) as refusal:
            parse_voxels(altered(record=change))
        assert str(refusal.value) == message

    def test_a_record_that_is_not_json(self) -> None:
        arrays = loaded(voxels_bytes(house())) | {"about": np.array("not json")}
        out = io.BytesIO()
        np.savez(out, **arrays)  # type: ignore[arg-type]
        with pytest.raises(UnreadableError, match="'about' is not as the format has it"):
            parse_voxels(out.getvalue())

    def test_a_pickle_is_never_opened(self) -> None:
        data = altered(arrays=lambda a: a.update(material=np.array([{}], dtype=object)))
        with pytest.raises(UnreadableError, match="its array 'material' is not of uint8"):
            parse_voxels(data)

    def test_a_plain_array_is_no_archive(self) -> None:
        out = io.BytesIO()
        np.save(out, np.zeros(3))
        with pytest.raises(UnreadableError, match="not a whole archive of arrays"):
            parse_voxels(out.getvalue())

    def test_an_archive_of_other_files(self) -> None:
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w") as archive:
            archive.writestr("material", b"oak")
        with pytest.raises(UnreadableError, match="it has no array 'about'"):
            parse_voxels(out.getvalue())

    def test_a_missing_file_and_a_folder_are_named(self, tmp_path: Path) -> None:
        with pytest.raises(UnreadableError, match=r"none\.npz cannot be read: no such file"):
            read_voxels(tmp_path / "none.npz")
        with pytest.raises(UnreadableError, match="cannot be read: it is a folder"):
            read_voxels(tmp_path)

    def test_the_path_leads_the_sentence(self, tmp_path: Path) -> None:
        path = tmp_path / "house.npz"
        path.write_bytes(b"")
        with pytest.raises(UnreadableError) as refusal:
            read_voxels(str(path))
        assert str(refusal.value) == f"{path} is no house: it is not a whole archive of arrays"
        assert refusal.value.exit_code == 2

    @given(keep=st.integers(0, 3000))
    def test_a_file_cut_short(self, keep: int) -> None:
        data = WHOLE[: min(keep, len(WHOLE) - 1)]
        with pytest.raises(UnreadableError):
            parse_voxels(data)

    @given(where=st.integers(0, 100_000), byte=st.integers(1, 255))
    def test_a_damaged_byte_is_refused_or_does_no_harm(self, where: int, byte: int) -> None:
        data = bytearray(WHOLE)
        data[where % len(data)] ^= byte
        with contextlib.suppress(UnreadableError):
            assert isinstance(parse_voxels(bytes(data)), Voxels)


WHOLE = voxels_bytes(block(2, 2, 2))
