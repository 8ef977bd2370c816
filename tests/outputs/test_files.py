"""A folder is there whole or not at all, whatever happens."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from genhouse.core.errors import WriteError
from genhouse.outputs import files
from genhouse.outputs.files import VARIANTS, put_file, write_folder
from genhouse.outputs.written import sealed

HOUSE = sealed(
    {"house.json": b'{"format": "genhouse-house"}', "plan-1.svg": b"<svg/>"}, "house.json"
)
OTHER = sealed({"house.json": b'{"format": "genhouse-house", "seed": 2}'}, "house.json")


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_the_files_are_written(tmp_path: Path) -> None:
    write_folder(tmp_path / "a", HOUSE, force=False)
    assert contents(tmp_path / "a") == HOUSE
    assert [p.name for p in tmp_path.iterdir()] == ["a"]


def test_a_house_is_replaced_only_by_force(tmp_path: Path) -> None:
    target = tmp_path / "a"
    write_folder(target, HOUSE, force=False)
    with pytest.raises(WriteError, match="a house stands there"):
        write_folder(target, OTHER, force=False)
    assert contents(target) == HOUSE
    write_folder(target, OTHER, force=True)
    assert contents(target) == OTHER
    assert [p.name for p in tmp_path.iterdir()] == ["a"]


@pytest.mark.parametrize("marker", [None, b"{}", b"[1]", b"no JSON", b'{"format": "other"}'])
def test_what_is_no_house_is_never_replaced(tmp_path: Path, marker: bytes | None) -> None:
    target = tmp_path / "a"
    target.mkdir()
    (target / "letters.txt").write_bytes(b"dear")
    if marker is not None:
        (target / "house.json").write_bytes(marker)
    before = contents(target)
    with pytest.raises(WriteError, match="no house"):
        write_folder(target, HOUSE, force=True)
    assert contents(target) == before


def test_an_empty_folder_is_no_obstacle(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    write_folder(tmp_path / "a", HOUSE, force=False)
    assert contents(tmp_path / "a") == HOUSE


def test_a_file_in_the_way_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"mine")
    with pytest.raises(WriteError, match="in the way"):
        write_folder(tmp_path / "a", HOUSE, force=True)
    assert (tmp_path / "a").read_bytes() == b"mine"


def test_a_link_in_the_way_is_left_alone(tmp_path: Path) -> None:
    write_folder(tmp_path / "real", HOUSE, force=False)
    (tmp_path / "a").symlink_to(tmp_path / "real")
    with pytest.raises(WriteError, match="in the way"):
        write_folder(tmp_path / "a", OTHER, force=True)
    assert contents(tmp_path / "real") == HOUSE


def test_a_missing_parent_is_named(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match=r"the folder .*nowhere does not exist"):
        write_folder(tmp_path / "nowhere" / "a", HOUSE, force=True)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", [".", "/", ".."])
def test_a_target_without_a_name_is_refused(name: str) -> None:
    with pytest.raises(WriteError):
        write_folder(Path(name), HOUSE, force=True)


@pytest.mark.parametrize("name", ["../b", "b/c/d/e", "b/", "b/..", ".", ""])
def test_files_stay_in_their_folder(tmp_path: Path, name: str) -> None:
    with pytest.raises(WriteError, match="plain file name"):
        write_folder(tmp_path / "a", {**HOUSE, name: b""}, force=False)
    assert list(tmp_path.iterdir()) == []


def full_disk(monkeypatch: pytest.MonkeyPatch, after: int) -> None:
    written: list[Path] = []
    write = files.write_file

    def limited(path: Path, contents: bytes) -> None:
        if len(written) == after:
            path.write_bytes(contents[:3])
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        written.append(path)
        write(path, contents)

    monkeypatch.setattr(files, "write_file", limited)


@pytest.mark.parametrize("after", [0, 1])
def test_a_full_disk_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, after: int
) -> None:
    full_disk(monkeypatch, after)
    with pytest.raises(WriteError, match="no space left") as caught:
        write_folder(tmp_path / "a", HOUSE, force=False)
    assert "\n" not in str(caught.value)
    assert list(tmp_path.iterdir()) == []


def test_a_full_disk_leaves_the_old_house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_folder(tmp_path / "a", HOUSE, force=False)
    full_disk(monkeypatch, 0)
    with pytest.raises(WriteError, match="no space left"):
        write_folder(tmp_path / "a", OTHER, force=True)
    assert contents(tmp_path / "a") == HOUSE
    assert [p.name for p in tmp_path.iterdir()] == ["a"]


def test_a_failed_rename_puts_the_old_house_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_folder(tmp_path / "a", HOUSE, force=False)
    rename = Path.rename

    def stubborn(self: Path, target: Path) -> Path:
        if ".partial-" in self.name:
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", stubborn)
    monkeypatch.setattr(files, "exchange", lambda *_names: False)
    with pytest.raises(WriteError, match="permission denied"):
        write_folder(tmp_path / "a", OTHER, force=True)
    assert contents(tmp_path / "a") == HOUSE
    assert [p.name for p in tmp_path.iterdir()] == ["a"]


def test_an_interrupt_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(path: Path, contents: bytes) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(files, "write_file", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_folder(tmp_path / "a", HOUSE, force=False)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name != "posix", reason="kills a process by signal")
def test_a_killed_run_does_no_harm(tmp_path: Path) -> None:
    code = (
        "import os, signal, sys\n"
        "from pathlib import Path\n"
        "from genhouse.outputs import files\n"
        "write = files.write_file\n"
        "def last(path, contents):\n"
        "    write(path, contents)\n"
        "    os.kill(os.getpid(), signal.SIGKILL)\n"
        "files.write_file = last\n"
        "files.write_folder(Path(sys.argv[1]), {'a.txt': b'a', 'b.txt': b'b'}, force=False)\n"
    )
    run = subprocess.run([sys.executable, "-c", code, str(tmp_path / "a")], check=False)
    assert run.returncode == -signal.SIGKILL
    (left,) = tmp_path.iterdir()
    assert left.name.startswith(".a.partial-")
    write_folder(tmp_path / "a", HOUSE, force=False)
    assert contents(tmp_path / "a") == HOUSE


def test_a_folder_within_comes_whole_too(tmp_path: Path) -> None:
    document = b'{"format": "genhouse-variants"}'
    inside = sealed({"variants.json": document, "a/house.json": b"{}"}, "variants.json")
    write_folder(tmp_path / "v", inside, force=False, marker=VARIANTS)
    assert (tmp_path / "v" / "a" / "house.json").read_bytes() == b"{}"
    with pytest.raises(WriteError, match="a set of variants stands there"):
        write_folder(tmp_path / "v", inside, force=False, marker=VARIANTS)
    with pytest.raises(WriteError, match="no house"):
        write_folder(tmp_path / "v", HOUSE, force=True)
    write_folder(tmp_path / "v", {"variants.json": b"{}"}, force=True, marker=VARIANTS)
    assert contents(tmp_path / "v") == {"variants.json": b"{}"}


def test_a_file_comes_whole_or_not_at_all(tmp_path: Path) -> None:
    """A file system that has no more room, by the system's own limit on the size of a file."""
    code = (
        "import resource, signal, sys\n"
        "from pathlib import Path\n"
        "from genhouse.core.errors import WriteError\n"
        "from genhouse.outputs.files import put_file\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (5000, 5000))\n"
        "try:\n"
        "    put_file(Path(sys.argv[1]), b'x' * 6000)\n"
        "except WriteError as error:\n"
        "    print(error)\n"
    )
    path = tmp_path / "rooms.svg"
    put_file(path, b"old")
    command = [sys.executable, "-c", code, str(path)]
    run = subprocess.run(command, capture_output=True, text=True, check=True)
    assert run.stdout == f"{path} was not written: file too large\n"
    assert contents(tmp_path) == {"rooms.svg": b"old"}


@pytest.mark.parametrize("name", ["n" * 256, "n" * 246, "é" * 128, "a\0b"])
def test_a_name_that_no_file_can_have_is_said(tmp_path: Path, name: str) -> None:
    """Before anything is designed; what stands beside it while it is written needs a longer one."""
    with pytest.raises(WriteError, match=r"file name too long|no name of a file"):
        files.check_target(tmp_path / name, force=0)
    with pytest.raises(WriteError):
        put_file(tmp_path / name, b"")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_may_not_be_written_is_said_beforehand(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda path, _mode: path != tmp_path)
    with pytest.raises(WriteError, match="nothing may be written into the folder"):
        files.check_target(tmp_path / "a", force=0)
