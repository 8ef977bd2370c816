"""``survey.json``: what it says is read back, and what is no such document is refused by name."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from genhouse.core.errors import UnreadableError, VersionError
from genhouse.model.brief import Brief, Wish
from genhouse.survey.request import DOCUMENT_FILE, document, read_document, request

ASKED = request(
    first=3,
    end=9,
    brief=Brief(plot=(20, 24), rooms=(Wish(kind="study", quiet=True),)),
    stage_seeds=(("roof", 4),),
)


def written(folder: Path, contents: bytes) -> Path:
    (folder / DOCUMENT_FILE).write_bytes(contents)
    return folder


def test_a_request_is_read_back(tmp_path: Path) -> None:
    mixed = request(first=0, end=1 << 40, sample=7, traditions=("timber",))
    for asked in (ASKED, mixed):
        assert read_document(written(tmp_path, document(asked, "1+2"))) == (asked, "1+2")


@pytest.mark.parametrize(
    "contents",
    [
        b"x",
        b"[]",
        b"{}",
        b'{"format": "genhouse-survey", "version": 1, "request": []}',
        b'{"format": "genhouse-survey", "version": 1, "genhouse": "1", "request": {"brief": 3}}',
        b'{"format": "genhouse-survey", "version": 1, "genhouse": "1", "request": {"brief": {}}}',
    ],
)
def test_what_is_no_such_document_is_refused_by_its_name(tmp_path: Path, contents: bytes) -> None:
    with pytest.raises(UnreadableError, match=r"survey\.json"):
        read_document(written(tmp_path, contents))


def test_another_version_is_said(tmp_path: Path) -> None:
    other = json.loads(document(ASKED, "1")) | {"version": 2}
    with pytest.raises(VersionError, match="another version"):
        read_document(written(tmp_path, json.dumps(other).encode()))
