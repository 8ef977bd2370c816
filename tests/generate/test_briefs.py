"""Briefs: read from TOML or a mapping, refused by the name of their key."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genhouse.core.axes import SIDES
from genhouse.core.errors import BriefError, GenhouseError, InfeasibleError
from genhouse.generate.briefs import parse_brief, read_brief, with_options
from genhouse.model.brief import Brief
from genhouse.traditions.shelf import tables
from tests.reference import SHARED


def test_an_empty_brief_asks_for_nothing() -> None:
    assert parse_brief({}) == Brief()


def test_a_full_brief(tmp_path: Path) -> None:
    path = tmp_path / "brief.toml"
    path.write_text(
        'client = "Ada"\nplot = [23, 32]\ngate = "west"\nmirror = true\ngarden = "moss"\n', "utf-8"
    )
    assert read_brief(path) == Brief(
        client="Ada", plot=(23, 32), gate="west", mirror=True, garden="moss"
    )


@pytest.mark.parametrize("path", sorted((SHARED / "briefs").glob("*.toml")), ids=lambda p: p.stem)
def test_the_briefs_that_are_shipped_can_be_read(path: Path) -> None:
    assert read_brief(path).client


@given(
    st.fixed_dictionaries(
        {},
        optional={
            "client": st.text(
                st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=200
            ),
            "plot": st.tuples(st.integers(17, 45), st.integers(19, 61)),
            "gate": st.sampled_from(SIDES),
            "mirror": st.booleans(),
            "garden": st.sampled_from(sorted(tables(Brief().tradition)["plan"]["gardens"])),
        },
    )
)
@settings(max_examples=50)
def test_a_brief_holds_what_it_was_given(keys: dict[str, Any]) -> None:
    brief = parse_brief(keys)
    assert {key: getattr(brief, key) for key in keys} == keys
    assert with_options(Brief(), **keys) == brief


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"plto": [23, 32]}, "key 'plto'; did you mean 'plot'"),
        ({"plot": "big"}, "^plot: "),
        ({"plot": [23, 32, 9]}, "^plot: "),
        ({"mirror": "yes"}, "^mirror: "),
        ({"gate": "up"}, "^gate: "),
        ({"client": None}, "^client: "),
    ],
)
def test_what_is_wrong_is_named_by_its_key(keys: dict[str, Any], words: str) -> None:
    with pytest.raises(BriefError, match=words):
        parse_brief(keys)


ELL = [[0, 0], [34, 0], [34, 16], [20, 16], [20, 38], [0, 38]]


def test_an_outline_is_a_shape_or_its_corners() -> None:
    """Built on are 15 x 33 and 29 x 11 cells, 15 x 11 of them in both; less a court's 36, in bays of 16."""
    assert parse_brief({"outline": "ell"}).outline == "ell"
    assert parse_brief({"outline": ELL, "plot": [34, 38]}).outline == tuple(map(tuple, ELL))
    with pytest.raises(
        InfeasibleError, match=r"rooms: 120 .* no plot of 984 cells holds more than 114 on 3"
    ):
        parse_brief({"outline": ELL, "rooms": [{"kind": "study", "count": 120}], "storeys": 3})


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"outline": "elk"}, "^outline: there is no shape 'elk'; did you mean 'ell'"),
        ({"outline": 7}, "^outline: it wants the name of a shape, or corners of two whole numbers"),
        ({"outline": [[0, 0], [9]]}, "^outline: it wants the name of a shape, or corners"),
        ({"outline": ELL[:3]}, "^outline: it has 3 corners, and 4 are the fewest"),
        ({"outline": ELL[:-1]}, "^outline: from 20, 38 to 0, 0 it runs neither east to west nor"),
        ({"outline": [*ELL, [0, 0]]}, "^outline: corner 7 repeats corner 1"),
        (
            {"outline": [[x + 2, y] for x, y in ELL]},
            "^outline: its least numbers are 2 to the east",
        ),
        (
            {"outline": [[2 * x, y] for x, y in ELL]},
            "^outline: it measures 68 x 38 .* 45 x 61 are the",
        ),
        (
            {"outline": [[x // 2, y // 2] for x, y in ELL]},
            "^outline: no part of it has room for a house",
        ),
        ({"outline": ELL * 6}, "^outline: it has 36 corners, and 32 are the most"),
        (
            {"outline": ELL, "plot": [30, 30]},
            r"^outline: it measures 34 x 38 cells, and plot = \[30, 30\]",
        ),
        ({"outline": ELL, "plot_most": [45, 50]}, "^outline: .* leave plot_most out"),
        ({"outline": "tee", "plot": [18, 20]}, "^outline: no tee plot of 18 x 20 cells has room"),
    ],
)
def test_an_outline_that_is_none_is_refused(keys: dict[str, Any], words: str) -> None:
    with pytest.raises(GenhouseError, match=words):
        parse_brief(keys)


def test_options_win_over_the_brief_and_what_is_not_given_does_not() -> None:
    brief = Brief(client="Ada", gate="west", mirror=True)
    assert with_options(brief, gate="north", plot=None, mirror=None) == Brief(
        client="Ada", gate="north", mirror=True
    )


@pytest.mark.parametrize(
    ("roof", "message"),
    [
        ({"form": "hop"}, r"roof\.form: there is no form 'hop'; did you mean 'hip'"),
        ({"rear": "inward"}, r"roof\.rear: there is no form 'inward'"),
        ({"frm": "hip"}, r"roof\.frm: there is no key 'frm'; did you mean 'form'"),
        ({"profile": "nine"}, r"roof\.profile: there is no profile 'nine'; try steepening"),
        ({"left": "two-tier"}, r"roof\.left: two-tier needs"),
        ({"cross": "lean-to"}, r"roof\.cross: .* try gable"),
        ({"dormers": 9}, r"roof\.dormers: 9 is not a number from 0 to 8"),
        ({"swept": "yes"}, r"roof\.swept: it wants true or false, such as true"),
        ("hip", r"roof: it wants a table of its own, headed \[roof\]"),
    ],
)
def test_a_roof_that_makes_no_sense_is_refused(roof: object, message: str) -> None:
    with pytest.raises(BriefError, match=message):
        parse_brief({"roof": roof})


def test_a_wish_with_a_key_too_many_is_refused() -> None:
    with pytest.raises(BriefError, match=r"rooms 1, `colour`: there is no key 'colour'"):
        parse_brief({"rooms": [{"kind": "study", "colour": "red"}]})


def test_a_refusal_names_the_line_and_what_would_do(tmp_path: Path) -> None:
    """As one who does not program would look for it: lines and rooms counted from one."""
    path = tmp_path / "brief.toml"
    for text, sentence in REFUSED.items():
        path.write_text(text, "utf-8")
        with pytest.raises(BriefError) as caught:
            read_brief(path)
        assert str(caught.value).startswith(f"brief.toml: {sentence}")


REFUSED = {
    'client = "Ada"\n\n# the plot\nplot = "big"\n': (
        "line 4: plot: it wants two whole numbers, such as [25, 31]"
    ),
    "plot = [23, 32, 9]\n": "line 1: plot: it wants two whole numbers, such as [25, 31]",
    "plto = [23, 32]\n": "line 1: plto: there is no key 'plto'; did you mean 'plot'?",
    '[[rooms]]\nkind = "bath"\n[[rooms]]\nkind = "study"\narea = 9\n': (
        "line 5: rooms 2, `area`: it wants two whole numbers, such as [9, 20]"
    ),
    '[[rooms]]\nkind = "bath"\n[[rooms]]\nkind = "attic"\n': (
        "line 3: rooms 2: there is no kind of room 'attic'; "
    ),
    '[roof]\nfront = "hip"\nswept = 3\n': (
        "line 3: roof.swept: it wants true or false, such as true"
    ),
    'roof = "hip"\n': "line 1: roof: it wants a table of its own, headed [roof]",
    'rooms = ["bath"]\n': (
        "line 1: rooms: it wants a table for each line of the programme, headed [[rooms]]"
    ),
}


def test_a_key_of_thousands_of_digits_is_said_short(tmp_path: Path) -> None:
    path = tmp_path / "brief.toml"
    path.write_text(f"{'9' * 5000} = 1\n[roof]\n{'8' * 5000} = 1\n", "utf-8")
    with pytest.raises(BriefError) as caught:
        read_brief(path)
    assert len(str(caught.value)) < 500
