"""``genhouse publish``."""

from __future__ import annotations

from pathlib import Path

from genhouse.outputs.written import HOUSE, record_of
from tests.cli.conftest import Run

FILES = {"about.txt", "cover.png", "cutaways.png", "contact.png", "turntable.webp"}


def test_a_house_is_made_ready_to_be_shown(run: Run, house: Path) -> None:
    done = run("publish", house, "--rate", "30")
    assert done.exit_code == 0, done.output
    assert all(name in done.stdout for name in FILES)
    assert {name for name, _ in record_of(house, HOUSE.file) or ()} >= FILES
    assert "at 30 a minute (as asked for)" in (house / "about.txt").read_text("utf-8")


def test_what_one_wrote_oneself_is_kept_and_nothing_is_half_done(run: Run, house: Path) -> None:
    own = house / "cover.png"
    own.write_text("mine", "utf-8")
    refused = run("publish", house)
    assert refused.exit_code == 2
    assert "cover.png" in refused.stderr
    assert own.read_text("utf-8") == "mine"
    assert not (house / "about.txt").exists()


def test_what_is_no_house_and_no_rate_is_refused(run: Run, house: Path, tmp_path: Path) -> None:
    assert run("publish", tmp_path / "none").exit_code == 2
    refused = run("publish", house, "--rate", "0")
    assert refused.exit_code == 2
    assert "--rate" in refused.stderr
