"""What stands in the hanok's tables: its own words, things and colours, and whom it rests on."""

from __future__ import annotations

from genhouse.traditions.loader import load_tradition
from tests.traditions.hanok.houses import HANOK

TIMBER = load_tradition("timber")


def test_it_has_things_rooms_and_colours_of_its_own() -> None:
    own = {fitting.layers + fitting.key for _, fitting in HANOK.fittings}
    other = {fitting.layers + fitting.key for _, fitting in TIMBER.fittings}
    assert len(own - other) >= 30
    assert len(HANOK.palettes) >= 3
    assert not {name for name, _ in HANOK.kinds} & {name for name, _ in TIMBER.kinds}


def test_each_room_says_what_it_is_in_plain_english() -> None:
    for name, kind in HANOK.kinds:
        assert "(" in kind.title, name


def test_a_note_says_what_is_simplified_and_who_is_cited() -> None:
    note = HANOK.note
    assert all((note.simplified, note.conjecture, note.cited))
