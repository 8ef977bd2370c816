"""Ways to spoil what a program reads: odd values in the place of good ones, and bytes gone wrong."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from contextlib import suppress
from typing import Any

import numpy as np
from hypothesis import strategies as st

ODD = (
    *(None, True, False, 0, 1, -1, 2, 255, 256, 65536, 1 << 31, -(1 << 31), (1 << 63) - 1, 1 << 64),
    *(
        10**40,
        -(10**400),
        0.5,
        -0.0,
        1e308,
        5e-324,
        "",
        " ",
        "0",
        "-1",
        "nan",
        "roof",
        "air",
        "__proto__",
    ),
    *(
        "[/b]",
        "Smith [/b]",
        "a\x1b[2Jb",
        "a\nb",
        "\u202e",
        "é" * 300,
        "\x00",
        "/",
        "../..",
        "x" * 70_000,
    ),
    *([], {}, [[]], [None], [1], [[1, 2], [3]], {"": 0}, {"a": {"b": {}}}, [0] * 300),
)
"""Values that are seldom meant."""

ODD_TEXT = (
    *(
        "[",
        "]",
        "{",
        "}",
        '"',
        "'",
        "=",
        ",",
        "\\",
        "#",
        "\n",
        "\r",
        "\t",
        "\x00",
        "\x7f",
        "\ufeff",
    ),
    *(
        "9" * 5000,
        "-1",
        "1e999",
        "nan",
        "inf",
        "[" * 3000,
        "{a=" * 3000,
        "a." * 3000,
        '"""',
        "1979-05-27",
    ),
    *(
        "[[rooms]]\n",
        "[roof]\n",
        "low = [1]\n",
        "true",
        "0x7f",
        "é",
        "\\ud800",
        "1_0",
        "99999999999999999999",
    ),
)


Places = dict[Any, list[tuple[Any, ...]]]


def odd_values() -> st.SearchStrategy[Any]:
    """Mostly from the list of odd ones."""
    return st.one_of(
        st.sampled_from(ODD),
        st.integers(),
        st.floats(allow_nan=False, allow_infinity=False),
        st.text(max_size=8),
        st.lists(st.integers(-9, 99), max_size=4),
    )


def spoilt_bytes(whole: bytes) -> st.SearchStrategy[bytes]:
    """A file with a few cuts, changes and insertions."""

    @st.composite
    def files(draw: st.DrawFn) -> bytes:
        return _spoilt_bytes(draw, whole)

    return files()


def _spoilt_bytes(draw: st.DrawFn, whole: bytes) -> bytes:
    data = bytearray(whole)
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(data)))
        to = min(len(data), at + draw(st.sampled_from((0, 1, 2, 8, 200, 1 << 30))))
        data[at:to] = draw(
            st.one_of(
                st.binary(max_size=4),
                st.sampled_from([text.encode("utf-8", "surrogatepass") for text in ODD_TEXT]),
                st.just(bytes(data[: draw(st.integers(0, 60))])),
            )
        )
    return bytes(data)


def paths(value: Any, before: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Where each value within a value is; of a long list only the first few."""
    yield before
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from paths(inner, (*before, key))
    elif isinstance(value, list):
        for n, inner in enumerate(value[:3]):
            yield from paths(inner, (*before, n))


def spoilt_values(value: dict[str, Any]) -> st.SearchStrategy[Any]:
    """A value of JSON in which a few others are odd, are gone, stand twice, or have changed places."""
    text, places = json.dumps(value), grouped(value)

    @st.composite
    def values(draw: st.DrawFn) -> Any:
        return _spoilt_value(draw, text, places)

    return values()


def _spoilt_value(draw: st.DrawFn, text: str, places: Places) -> Any:
    value = json.loads(text)
    for _ in range(draw(st.sampled_from((1, 1, 1, 2, 5)))):
        path = draw(st.sampled_from(places[draw(st.sampled_from(sorted(places, key=str)))]))
        try:
            holder = value
            for step in path[:-1]:
                holder = holder[step]
            way = draw(st.sampled_from(("odd", "odd", "odd", "gone", "twice", "other")))
            if not path:
                value = draw(odd_values())
            elif way == "odd":
                holder[path[-1]] = draw(odd_values())
            elif way == "gone":
                del holder[path[-1]]
            elif way == "twice" and isinstance(holder[path[-1]], list):
                holder[path[-1]] *= 2
            else:
                holder[path[-1]] = next(
                    iter(holder.values() if isinstance(holder, dict) else holder)
                )
        except (KeyError, IndexError, TypeError, StopIteration):
            continue  # gone with an earlier change
    return value


def grouped(value: dict[str, Any]) -> Places:
    """Places by the first step, so that a long list is not all there is to choose from."""
    found: Places = {}
    for path in paths(value):
        found.setdefault(path[0] if path else "", []).append(path)
    return found


def spoilt_arrays(arrays: dict[str, np.ndarray]) -> st.SearchStrategy[bytes]:
    """Archives with other cells, dtypes, shapes or records."""
    places = grouped(json.loads(str(arrays["about"])))

    @st.composite
    def archives(draw: st.DrawFn) -> bytes:
        return _spoilt(draw, arrays, places)

    return archives()


def _spoilt(draw: st.DrawFn, arrays: dict[str, np.ndarray], places: Places) -> bytes:
    kept = dict(arrays)
    for _ in range(draw(st.sampled_from((1, 1, 2, 4)))):
        name = draw(st.sampled_from((*sorted(kept), "about", "about")))
        if name == "about":
            told = _spoilt_value(draw, str(arrays["about"]), places)
            kept["about"] = np.array(json.dumps(told))
            continue
        array = kept[name]
        way = draw(st.sampled_from(("cells", "cells", "cells", "dtype", "shape", "gone", "other")))
        if way == "cells" and array.dtype != object and array.size:
            kept[name] = array = array.copy()
            at = draw(st.integers(0, array.size - 1))
            array.reshape(-1)[at] = draw(st.integers(0, 255)) if array.dtype.kind in "iub" else 1
        elif way == "dtype":
            kind = draw(st.sampled_from(("u1", "<u2", ">u2", "i4", "f8", "?", "O", "U3")))
            with suppress(ValueError):  # a text that is no number
                kept[name] = array.astype(kind)
        elif way == "shape":
            change = draw(st.sampled_from((np.transpose, np.ravel, np.atleast_3d, lambda a: a[:0])))
            kept[name] = change(array)
        elif way == "gone":
            kept.pop(name)
        else:
            kept[name] = kept[draw(st.sampled_from(sorted(kept)))]
        if not kept:
            break
    out = io.BytesIO()
    np.savez(out, **kept)  # type: ignore[arg-type]
    return out.getvalue()
