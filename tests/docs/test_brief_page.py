"""The page about briefs: every key on it, every example a brief that is understood."""

from __future__ import annotations

import json
import tomllib
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

from genhouse.core.errors import GenhouseError
from genhouse.generate.brief_schema import schema
from genhouse.generate.briefs import parse_brief
from genhouse.model.brief import Brief, Ground, RoofWish, Sides, Wish
from genhouse.model.keys import KEYS, Key
from tests.docs.brief_page import PAGE, SCHEMA, page, schema_text
from tests.reference import SHARED


def test_every_key_is_told_and_no_other() -> None:
    told = {
        *(f.name for f in fields(Brief) if f.name not in ("sides", "ground", "roof", "rooms")),
        *(f"sides.{f.name}" for f in fields(Sides)),
        *(f"ground.{f.name}" for f in fields(Ground)),
        *(f"roof.{f.name}" for f in fields(RoofWish)),
        *(f"rooms.{f.name}" for f in fields(Wish)),
    }
    assert {key.name for key in KEYS} == told
    assert len(KEYS) == len(told)


def test_the_page_and_the_schema_are_as_the_program_tells_them() -> None:
    """Renewed by ``python -m tests.docs.brief_page``."""
    assert PAGE.read_text("utf-8") == page()
    assert SCHEMA.read_text("utf-8") == schema_text()


@pytest.mark.parametrize("key", KEYS, ids=lambda key: key.name)
def test_every_example_is_understood(key: Key) -> None:
    value = tomllib.loads(f"value = {key.example}")["value"]
    brief = around(key, value)
    parse_brief(brief)
    validator().validate(brief)


def around(key: Key, value: object) -> dict[str, Any]:
    """The least brief in which a key makes sense."""
    if key.table in ("sides", "ground", "roof"):
        return {key.table: {key.word: value}}
    if key.table == "rooms":
        return {"rooms": [{"kind": "sleeping", key.word: value}]}
    with_it = {"service": {"courts": 2}}.get(key.name, {})
    return {key.name: value, **with_it}


def validator() -> Any:
    from jsonschema import Draft202012Validator

    Draft202012Validator.check_schema(schema())
    return Draft202012Validator(schema())


@pytest.mark.parametrize("path", sorted((SHARED / "briefs").glob("*.toml")), ids=lambda p: p.stem)
def test_the_briefs_that_are_shipped_answer_the_schema(path: Path) -> None:
    validator().validate(json.loads(json.dumps(tomllib.loads(path.read_text("utf-8")))))


@pytest.mark.parametrize(
    "brief",
    [
        {"plot": [23]},
        {"plot": [23, 99]},
        {"gate": "up"},
        {"palette": "gold"},
        {"light": 0},
        {"rooms": [{"count": 1}]},
        {"rooms": [{"kind": "attic"}]},
        {"rooms": [{"kind": "bath", "storey": 4}]},
        {"roof": {"form": "hop"}},
        {"colour": "red"},
    ],
    ids=str,
)
def test_what_the_schema_refuses_the_program_refuses(brief: dict[str, Any]) -> None:
    assert not validator().is_valid(brief)
    with pytest.raises(GenhouseError):
        parse_brief(brief)
