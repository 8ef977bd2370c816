"""The door for files: kind and size first; whatever is wrong is one sentence that names the file."""

from __future__ import annotations

import os
import socket
import time
from pathlib import Path

import msgspec
import pytest

from genhouse.core.errors import UnreadableError
from genhouse.core.reading import (
    BRIEF,
    MOST_DOTS,
    as_record,
    check_numbers,
    json_value,
    read_bytes,
    read_text,
    toml_tables,
)

SOON = 1.0
"""Seconds of work in which any file is read or refused."""


def refusal(path: Path, most: int = BRIEF) -> str:
    begun = time.process_time()
    with pytest.raises(UnreadableError) as caught:
        read_text(path, most)
    assert time.process_time() - begun < SOON
    said = str(caught.value)
    assert said.count("\n") == 0
    return said


def test_what_a_file_holds(tmp_path: Path) -> None:
    path = tmp_path / "brief.toml"
    path.write_bytes("\ufeffclient = 'Ōe'".encode())
    assert read_text(path, BRIEF) == "client = 'Ōe'"
    assert read_bytes(path, BRIEF) == path.read_bytes()


def test_kinds_that_are_no_file(tmp_path: Path) -> None:
    """None of them is opened for reading: a pipe without a writer would wait for ever."""
    os.mkfifo(tmp_path / "pipe")
    with socket.socket(socket.AF_UNIX) as door:
        door.bind(str(tmp_path / "socket"))
        assert "it is a socket" in refusal(tmp_path / "socket")
    assert "it is a named pipe" in refusal(tmp_path / "pipe")
    assert "it is a folder" in refusal(tmp_path)
    assert "it is a device" in refusal(Path("/dev/zero"))
    (tmp_path / "link").symlink_to("pipe")
    assert "it is a named pipe" in refusal(tmp_path / "link")


def test_a_pipe_that_takes_the_place_of_a_file_is_not_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").touch()
    os.mkfifo(tmp_path / "pipe")
    before = (tmp_path / "file").stat()
    monkeypatch.setattr(Path, "stat", lambda _self: before)
    assert "it is a named pipe" in refusal(tmp_path / "pipe")


def test_a_large_file_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "large"
    with path.open("wb") as file:
        file.truncate(1 << 40)
    assert refusal(path) == f"{path} cannot be read: it is larger than 64 kB"
    path.write_bytes(b" " * BRIEF)
    assert len(read_text(path, BRIEF)) == BRIEF


@pytest.mark.skipif(not Path("/proc/self/smaps").exists(), reason="reads /proc")
def test_a_file_that_hides_its_size_is_read_no_further_than_allowed() -> None:
    assert Path("/proc/self/smaps").stat().st_size == 0
    assert "larger than" in refusal(Path("/proc/self/smaps"), 100)


@pytest.mark.parametrize("name", ["none", "n" * 300, "a\0b", "line\nbreak", "\x1b[2J", "x/" * 3000])
def test_names_of_no_file(tmp_path: Path, name: str) -> None:
    said = refusal(tmp_path / name)
    assert "cannot be read" in said
    assert len(said) < 400
    assert said.isprintable()


def test_what_is_no_text(tmp_path: Path) -> None:
    (tmp_path / "latin").write_bytes("Grün".encode("latin-1"))
    assert refusal(tmp_path / "latin").endswith("byte 2 is not of a text in UTF-8")


TOML = {
    "deep lists": ("a = " + "[" * 20_000, "nested too deep"),
    "deep tables": ("a = " + "{a=" * 20_000, "nested too deep"),
    "digits": ("a = " + "9" * 5000, "digits"),
    "a long dotted key": (".".join("a" * 30_000) + " = 1", f"more than {MOST_DOTS} dots"),
    "a long dotted header": ("[" + ".".join("a" * 30_000) + "]", f"more than {MOST_DOTS} dots"),
    "a control character": ("a = '\x01'", "x01"),
    "a lone quote": ("a = '", "Expected"),
}


@pytest.mark.parametrize("name", TOML)
def test_toml_that_is_none(name: str) -> None:
    text, words = TOML[name]
    begun = time.process_time()
    with pytest.raises(UnreadableError) as caught:
        toml_tables(text)
    assert time.process_time() - begun < SOON
    assert words in str(caught.value)
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 400


def test_dots_in_a_comment_are_no_key() -> None:
    assert toml_tables(f"# {'.' * 500}\na.b = 'c. d.'") == {"a": {"b": "c. d."}}


JSON = [b"[" * 100_000, b"", b"\xff", b'"\xff"', b"{", b'{"a": NaN}', b'{"a": 1e999}', b'"\\ud800"']


@pytest.mark.parametrize("text", JSON, ids=lambda t: repr(t[:9]))
def test_json_that_is_none(text: bytes) -> None:
    with pytest.raises(UnreadableError) as caught:
        json_value(text)
    assert str(caught.value).isprintable()


def test_json_with_a_mark_of_byte_order() -> None:
    assert json_value(b"\xef\xbb\xbf[1]") == [1]


class Pair(msgspec.Struct):
    a: int
    b: tuple[float, ...] = ()


def test_records() -> None:
    assert as_record({"a": (1 << 64) - 1, "b": [1, 2.5]}, Pair).b == (1, 2.5)
    for value in ({"a": 1 << 64}, {"a": -(1 << 63) - 1}, {"a": 1, "b": [10**400]}):
        with pytest.raises(UnreadableError, match="64 bits"):
            as_record(value, Pair)
    with pytest.raises(UnreadableError, match="Expected `int`"):
        as_record({"a": "1"}, Pair)


def test_a_value_that_holds_itself_is_refused() -> None:
    ring: list[object] = []
    ring.append(ring)
    with pytest.raises(UnreadableError, match="more than"):
        check_numbers(ring)
