"""What stands in the siheyuan's tables: its own words, things and colours, and whom it rests on."""

from __future__ import annotations

from genhouse.traditions.loader import load_tradition

SIHEYUAN, TIMBER = load_tradition("siheyuan"), load_tradition("timber")


def test_it_has_things_rooms_and_colours_of_its_own() -> None:
    own = {fitting.layers + fitting.key for _, fitting in SIHEYUAN.fittings}
    other = {fitting.layers + fitting.key for _, fitting in TIMBER.fittings}
    assert len(own - other) >= 30
    assert len(SIHEYUAN.palettes) >= 3
    assert not {name for name, _ in SIHEYUAN.kinds} & {name for name, _ in TIMBER.kinds}


def test_each_room_says_what_it_is_in_plain_english() -> None:
    for name, kind in SIHEYUAN.kinds:
        assert "(" in kind.title, name


def test_a_note_says_what_is_simplified_and_who_is_cited() -> None:
    note = SIHEYUAN.note
    assert all((note.simplified, note.conjecture, note.cited))
