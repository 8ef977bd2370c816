"""Names of folders that lead nowhere else."""

from __future__ import annotations

from pathlib import PurePosixPath, PureWindowsPath

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from genhouse.desk.take import LONGEST, cleaned


@given(st.text(max_size=80))
@example("../../etc")
@example("C:\\Windows")
@example("con\x00")
@example("…/…")
def test_a_name_is_one_folder_or_nothing(name: str) -> None:
    clean = cleaned(name)
    assert len(clean) <= LONGEST
    assert clean == "" or PurePosixPath(clean).parts == (clean,) == PureWindowsPath(clean).parts
    assert not clean.startswith((".", "-"))


@pytest.mark.parametrize("name", ["con", "PRN ", "aux.", "nul", "Com1", "lpt9"])
@pytest.mark.filterwarnings("ignore:.*is_reserved:DeprecationWarning")
def test_no_folder_goes_by_the_name_of_a_device(name: str) -> None:
    assert PureWindowsPath(name.strip()).is_reserved()
    assert not PureWindowsPath(cleaned(name)).is_reserved()
