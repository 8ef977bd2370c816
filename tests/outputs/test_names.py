"""A builder's own names: read with suspicion, applied everywhere; what then looks alike is said."""

from __future__ import annotations

import csv
import html
import io
import json
from pathlib import Path

import numpy as np
import pytest

from genhouse.core.errors import BriefError, UnreadableError
from genhouse.house import load
from genhouse.outputs.names import Names, read_names, remarks, starter
from tests.houses import anyhow
from tests.outside.checker import check_folder

KNOWN = ("elm", "pine", "lime plaster")


def table(folder: Path, text: str) -> Path:
    path = folder / "names.csv"
    path.write_text(text, "utf-8")
    return path


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "line 1 has no column 'material'"),
        ("material,name\n", "line 1 has no column 'form'"),
        ("material,form,name\noak,*,brown\n", "line 2: there is no material 'oak'"),
        ("material,form,name\nelm,cube,brown\n", "line 2: there is no form 'cube'"),
        ("material,form,name\nelm,*\n", "line 2 has 2 columns, not 3"),
        ("material,form,name\nelm,*,a,b\n", "line 2 has 4 columns, not 3"),
        ('material,form,name\nelm,*,"a\npine,*,b\n', "line 3: .* is a quotation mark open"),
        ("material,form,name\nelm,*,a\n\nelm,*,b\n", "line 4 names elm, \\* again, after line 2"),
        ("material,form,name\nelm,*," + "n" * 101 + "\n", "line 2: the name .* at most 100"),
    ],
)
def test_a_bad_table_is_refused_by_its_line(text: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match=words) as error:
        read_names(table(tmp_path, text), KNOWN)
    assert "\n" not in str(error.value)


def test_a_form_comes_before_a_material_and_what_has_no_name_keeps_its_own(tmp_path: Path) -> None:
    text = "form,material,name,note\n*,elm,brown board,x\npost,elm,stake,\n*,pine,,not yet\n"
    names = read_names(table(tmp_path, text), KNOWN)
    assert names.called("elm", "post") == "stake"
    assert names.called("elm", "whole") == "brown board"
    assert names.called("pine", "whole") == "pine"


def test_a_starter_lists_what_a_house_is_made_of(tmp_path: Path) -> None:
    voxels = anyhow(7).voxels
    rows = list(csv.DictReader(io.StringIO(starter(voxels).decode())))
    assert sum(int(row["pieces"]) for row in rows) == np.count_nonzero(voxels.form)
    assert {row["name"] for row in rows} == {""}
    path = tmp_path / "names.csv"
    path.write_bytes(starter(voxels))
    assert anyhow(7).names(path).rows == ()


def test_own_names_are_in_arrays_steps_and_guide_and_stay_when_it_is_saved_again(
    tmp_path: Path,
) -> None:
    house = anyhow(7)
    path = table(
        tmp_path, "material,form,name\nsmoked oak,*,dark log\nrush mat,half mat,short mat\n"
    )
    folder = house.save(tmp_path / "house", names=path, bundle=50)
    with np.load(folder / "house.npz") as arrays:
        about = json.loads(arrays["about"].item())
    assert {m["own"] for m in about["materials"] if "own" in m} == {"dark log"}
    page = (folder / "guide.html").read_text("utf-8")
    assert "<td>dark log</td>" in page
    assert " × 50 + " in html.unescape(page)
    own = (folder / "steps-own.csv").read_text("utf-8").splitlines()
    plain = (folder / "steps.csv").read_text("utf-8").splitlines()
    assert [row.replace(",dark log,", ",smoked oak,") for row in own][1:] != own[1:]
    assert len(own) == len(plain)
    assert check_folder(folder) == []
    again = load(folder)
    assert again.edited == ()
    assert again.inspect().clean
    assert "<td>dark log</td>" in again.files()["guide.html"].decode()


def test_one_name_for_two_that_touch_is_remarked_on() -> None:
    """Packed earth lies beside drip gravel along the whole edge of the plot."""
    names = Names((("packed earth", "*", "soil"), ("drip gravel", "*", "soil")))
    told = remarks(anyhow(7).voxels, names)
    assert any("drip gravel and packed earth bear one name and touch" in line for line in told)
    assert any(line.startswith("No name of your own is given for") for line in told)
    assert remarks(anyhow(7).voxels, Names()) == ()


@pytest.mark.parametrize("size", [0, -1, 20_000, 1.5, "ten"])
def test_a_bundle_of_no_size_is_refused(size: object) -> None:
    with pytest.raises(BriefError, match="bundle"):
        anyhow(7).files(bundle=size)  # type: ignore[arg-type]
