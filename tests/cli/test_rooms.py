"""``genhouse rooms``: one picture of all rooms beside the house's other files."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from genhouse.cli.main import main
from genhouse.house import design


def test_the_sheet_is_set_beside_the_other_files(tmp_path: Path) -> None:
    house = design(2, {"plot": [17, 19]})
    house.save(tmp_path / "house")
    run = CliRunner().invoke(main, ["rooms", str(tmp_path / "house")])
    assert run.exit_code == 0, run.output
    assert f"{sum(room.indoor for room in house.plan.rooms)} rooms" in run.output
    assert (tmp_path / "house" / "rooms.png").read_bytes()[:4] == b"\x89PNG"
    assert not list((tmp_path / "house").glob(".*")), "nothing half-written is left"


def test_a_folder_that_is_none_is_refused(tmp_path: Path) -> None:
    assert CliRunner().invoke(main, ["rooms", str(tmp_path / "none")]).exit_code == 2
