"""Archives of arrays: what each is comes before its data, and no more is unpacked than that."""

from __future__ import annotations

import io
import tracemalloc
import zipfile
from typing import Any

import numpy as np
import pytest

from genhouse.core.errors import UnreadableError
from genhouse.core.npz import Kind, read_arrays

KINDS = {"a": Kind(np.uint8, 1000)}
MB = 1 << 20


def packed(member: bytes, method: int = zipfile.ZIP_DEFLATED, name: str = "a.npy") -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        archive.writestr(name, member)
    return out.getvalue()


def npy(shape: str, descr: str = "'|u1'", data: bytes = b"", version: int = 1) -> bytes:
    """A member by hand: NEP 1, magic, version, length of the header, header, data."""
    text = f"{{'descr': {descr}, 'fortran_order': False, 'shape': {shape}, }}\n".encode()
    length = len(text).to_bytes(2 if version == 1 else 4, "little")
    return b"\x93NUMPY" + bytes((version, 0)) + length + text + data


def refusal(data: bytes) -> str:
    """What is said, and that little memory was used to find it."""
    tracemalloc.start()
    try:
        with pytest.raises(UnreadableError) as caught:
            read_arrays(data, KINDS)
        assert tracemalloc.get_traced_memory()[1] < 8 * MB
    finally:
        tracemalloc.stop()
    return str(caught.value)


@pytest.mark.parametrize("order", ["C", "F"])
@pytest.mark.parametrize("shape", [(), (3,), (2, 3, 4), (0, 4)])
def test_an_array_comes_as_it_went(shape: tuple[int, ...], order: Any) -> None:
    array = np.arange(int(np.prod(shape)), dtype=np.uint8).reshape(shape)
    out = io.BytesIO()
    np.savez(out, a=np.array(array, order=order), other=np.zeros(5))
    found = read_arrays(out.getvalue(), KINDS)
    assert list(found) == ["a"]
    np.testing.assert_array_equal(found["a"], array)


def test_a_header_of_the_second_version_is_read() -> None:
    found = read_arrays(packed(npy("(2,)", data=b"\1\2", version=2)), KINDS)["a"]
    assert found.tolist() == [1, 2]


BOMBS = {
    "a bomb of zeros": (packed(npy("(1000000000,)", data=bytes(64 * MB))), "larger than"),
    "more data than it says": (packed(npy("(5,)", data=bytes(64 * MB))), "not as long as"),
    "less data than it says": (packed(npy("(5,)", data=b"1234")), "not as long as"),
    "a huge shape": (packed(npy("(1 << 62, 1 << 62)".replace("1 << 62", str(1 << 62)))), "larger"),
    "a shape past all numbers": (packed(npy(f"({'9' * 3000},)")), "larger than"),
    "a negative shape": (packed(npy("(-1,)")), "larger than"),
    "two negative sides": (packed(npy("(-1, -5)")), "larger than"),
    "no side and a huge one": (packed(npy(f"(0, {1 << 70})")), "whole archive"),
    "objects": (packed(npy("(1,)", "'|O'", b"cos\nsystem\n")), "not of uint8"),
    "records": (packed(npy("(1,)", "[('x', '<i4')]")), "not of uint8"),
    "wide items": (packed(npy("(1,)", "'|V1000000000'")), "not of uint8"),
    "a deep header": (packed(npy("(" * 3000)), "whole archive"),
    "a long header": (packed(npy("(1,)" + " " * 60_000)), "whole archive"),
    "a header that is code": (packed(npy("__import__('os').getpid()")), "whole archive"),
    "the third version": (packed(npy("(1,)", version=3)), "header of another version"),
    "no header": (packed(b"\x93NUMPY"), "whole archive"),
    "packed otherwise": (packed(npy("(1,)", data=b"1"), zipfile.ZIP_BZIP2), "packed in a way"),
    "another name": (packed(npy("(1,)"), name="b.npy"), "no array 'a'"),
    "no archive": (b"PK\x03\x04", "whole archive"),
    "nothing": (b"", "whole archive"),
}


@pytest.mark.parametrize("name", BOMBS)
def test_bombs_are_refused_before_they_are_unpacked(name: str) -> None:
    data, words = BOMBS[name]
    assert words in refusal(data)


def test_a_damaged_byte_is_found() -> None:
    out = io.BytesIO()
    np.savez(out, a=np.arange(100, dtype=np.uint8))
    data = bytearray(out.getvalue())
    data[data.index(bytes(range(50, 60)))] ^= 1
    assert "whole archive" in refusal(bytes(data))
