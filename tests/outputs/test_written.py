"""Only what genhouse wrote is ever replaced: a user's own files live on, changed ones are asked about."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from genhouse.core.errors import WriteError
from genhouse.outputs.files import VARIANTS, add_files, write_drawing, write_folder
from genhouse.outputs.written import digest, sealed, standing

TOLD = b'{\n"format": "genhouse-house",\n"seed": 1\n}\n'
FIRST = sealed({"house.json": TOLD, "house.npz": b"cells", "plan-2.svg": b"<svg/>"}, "house.json")
SECOND = sealed({"house.json": TOLD, "house.npz": b"other cells"}, "house.json")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_folder(tmp_path / "a", FIRST, force=0)
    return tmp_path / "a"


def contents(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_the_list_holds_every_file_and_is_json() -> None:
    told = json.loads(FIRST["house.json"])
    assert told["seed"] == 1
    assert {row["name"]: row["sha256"] for row in told["files"]} == {
        name: digest(name, data) for name, data in FIRST.items()
    }
    # FIPS 180-4, the digest of "abc".
    assert digest("abc", b"abc").startswith("ba7816bf8f01cfea414140de5dae2223")


def test_a_saved_house_stands_as_it_was_written(folder: Path) -> None:
    there = standing(folder, "house.json")
    assert (there.as_written, there.changed, there.own) == (tuple(sorted(FIRST)), (), ())


def test_what_is_no_longer_made_goes_and_the_users_own_stays(folder: Path) -> None:
    (folder / "notes.txt").write_bytes(b"mine")
    (folder / "sketches").mkdir()
    (folder / "sketches" / "a.txt").write_bytes(b"mine too")
    (folder / "empty").mkdir()
    (folder / "link").symlink_to("notes.txt")
    before = (folder / "notes.txt").stat()
    write_folder(folder, SECOND, force=1)
    own = {"notes.txt": b"mine", "sketches/a.txt": b"mine too", "link": b"mine"}
    assert contents(folder) == {**SECOND, **own}
    assert (folder / "empty").is_dir()
    assert (folder / "link").is_symlink()
    assert (folder / "notes.txt").stat().st_ino == before.st_ino
    assert list(folder.parent.iterdir()) == [folder]


CHANGES: dict[str, Callable[[Path], object]] = {
    "house.npz": lambda f: (f / "house.npz").write_bytes(b"my cells"),
    "house.json": lambda f: (f / "house.json").write_bytes(
        FIRST["house.json"].replace(b'"seed": 1', b'"seed": 2')
    ),
    "plan-2.svg": lambda f: ((f / "plan-2.svg").unlink(), os.mkfifo(f / "plan-2.svg")),
}


@pytest.mark.parametrize("name", CHANGES)
def test_a_file_changed_by_hand_is_replaced_by_force_twice_only(folder: Path, name: str) -> None:
    CHANGES[name](folder)
    with pytest.raises(WriteError, match=f"{name} there was changed since .* force given twice"):
        write_folder(folder, SECOND, force=1)
    assert (folder / "plan-2.svg").exists()
    write_folder(folder, SECOND, force=2)
    assert contents(folder) == SECOND


@pytest.mark.parametrize("force", [1, 2])
def test_a_file_of_ones_own_is_never_replaced(folder: Path, force: int) -> None:
    (folder / "members.csv").write_bytes(b"mine")
    more = sealed({"house.json": TOLD, "members.csv": b"theirs"}, "house.json")
    with pytest.raises(WriteError, match=r"members\.csv there was not written by genhouse"):
        write_folder(folder, more, force=force)
    with pytest.raises(WriteError, match=r"genhouse did not write; move it away"):
        add_files(folder, {"members.csv": b"theirs"}, force=force)
    assert contents(folder) == {**FIRST, "members.csv": b"mine"}


def test_a_folder_without_a_list_is_replaced_by_force_twice_only(tmp_path: Path) -> None:
    write_folder(tmp_path / "a", {**FIRST, "house.json": TOLD, "notes.txt": b"mine"}, force=0)
    with pytest.raises(WriteError, match="does not say which files"):
        write_folder(tmp_path / "a", SECOND, force=1)
    write_folder(tmp_path / "a", SECOND, force=2)
    assert contents(tmp_path / "a") == {**SECOND, "notes.txt": b"mine", "plan-2.svg": b"<svg/>"}


def test_what_is_added_is_listed_and_may_be_added_again(folder: Path) -> None:
    for data in (b"one", b"two"):
        add_files(folder, {"rooms.png": data})
        assert standing(folder, "house.json").changed == ()
        assert "rooms.png" in standing(folder, "house.json").as_written
    (folder / "rooms.png").write_bytes(b"three")
    with pytest.raises(WriteError, match="was changed since"):
        add_files(folder, {"rooms.png": b"four"})
    add_files(folder, {"rooms.png": b"four"}, force=1)
    write_folder(folder, SECOND, force=1)
    assert contents(folder) == SECOND


@pytest.mark.parametrize("steps", range(4))
def test_what_is_added_is_known_again_wherever_it_was_cut_short(
    folder: Path, steps: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    from genhouse.outputs import files

    add_files(folder, {"rooms.png": b"one"})
    put, done = files.put_file, []

    def cut_short(path: Path, data: bytes) -> None:
        if len(done) == steps:
            raise KeyboardInterrupt
        done.append(path)
        put(path, data)

    with monkeypatch.context() as patch:
        patch.setattr(files, "put_file", cut_short)
        try:
            add_files(folder, {"rooms.png": b"two"})
        except KeyboardInterrupt:
            assert steps < 3
    assert standing(folder, "house.json").changed == ()
    add_files(folder, {"rooms.png": b"three"})
    write_folder(folder, SECOND, force=1)
    assert contents(folder) == SECOND


def test_houses_among_variants_may_have_files_added(tmp_path: Path) -> None:
    inside = {f"variant-1/{name}": data for name, data in FIRST.items()}
    document = b'{"format": "genhouse-variants"}'
    whole = sealed({"variants.json": document, **inside}, "variants.json")
    few = sealed({"variants.json": document}, "variants.json")
    target = tmp_path / "v"
    write_folder(target, whole, force=0, marker=VARIANTS)
    add_files(target / "variant-1", {"rooms.png": b"drawn"})
    (target / "variant-1" / "notes.txt").write_bytes(b"mine")
    write_folder(target, few, force=1, marker=VARIANTS)
    assert contents(target) == {**few, "variant-1/notes.txt": b"mine"}


class TestDrawings:
    def test_it_is_written_where_nothing_stands(self, tmp_path: Path, folder: Path) -> None:
        write_drawing(tmp_path / "mine.svg", b"<svg>", kind="rooms.svg", force=0)
        write_drawing(folder / "mine.svg", b"<svg>", kind="rooms.svg", force=0)
        assert (tmp_path / "mine.svg").read_bytes() == b"<svg>"
        assert "mine.svg" in standing(folder, "house.json").as_written

    @pytest.mark.parametrize("force", [0, 1, 2])
    @pytest.mark.parametrize("name", sorted(FIRST))
    def test_no_other_file_of_a_house_is_overwritten(
        self, folder: Path, name: str, force: int
    ) -> None:
        with pytest.raises(WriteError, match="genhouse wrote that file as part of"):
            write_drawing(folder / name, b"<svg>", kind="rooms.svg", force=force)
        assert contents(folder) == FIRST

    def test_the_drawing_of_its_own_kind_is(self, folder: Path) -> None:
        for data in (b"<svg/>", b"<svg></svg>"):
            write_drawing(folder / "rooms.svg", data, kind="rooms.svg", force=0)
        assert contents(folder)["rooms.svg"] == b"<svg></svg>"
        (folder / "rooms.svg").write_bytes(b"mine")
        with pytest.raises(WriteError, match="changed since"):
            write_drawing(folder / "rooms.svg", b"<svg/>", kind="rooms.svg", force=0)

    def test_elsewhere_a_file_is_replaced_by_force_only(self, tmp_path: Path) -> None:
        (tmp_path / "a.svg").write_bytes(b"mine")
        with pytest.raises(WriteError, match="force replaces it"):
            write_drawing(tmp_path / "a.svg", b"<svg/>", kind="rooms.svg", force=0)
        write_drawing(tmp_path / "a.svg", b"<svg/>", kind="rooms.svg", force=1)
        assert (tmp_path / "a.svg").read_bytes() == b"<svg/>"

    @pytest.mark.parametrize("force", [0, 1])
    def test_what_is_no_plain_file_is_left_alone(self, tmp_path: Path, force: int) -> None:
        (tmp_path / "real").write_bytes(b"mine")
        (tmp_path / "link").symlink_to("real")
        os.mkfifo(tmp_path / "pipe")
        for path in (tmp_path / "link", tmp_path / "pipe", tmp_path, Path(os.devnull)):
            with pytest.raises(WriteError, match="no plain file"):
                write_drawing(path, b"<svg/>", kind="rooms.svg", force=force)
        assert (tmp_path / "real").read_bytes() == b"mine"
        assert (tmp_path / "link").is_symlink()
