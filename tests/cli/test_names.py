"""``genhouse names``, and ``design --names``."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Run


def test_a_table_is_begun_filled_in_and_used(run: Run, house: Path, tmp_path: Path) -> None:
    begun = run("names", house)
    assert begun.exit_code == 0
    text = (house / "names.csv").read_text("utf-8").splitlines()
    assert text[0] == "material,form,name,pieces"
    filled = tmp_path / "mine.csv"
    filled.write_text(
        "\n".join([text[0], *(line.replace(",*,,", ",*,log,") for line in text[1:])]), "utf-8"
    )
    out = tmp_path / "named"
    done = run("design", "9", "--plot", "20x24", "--names", filled, "--bundle", "50", "--out", out)
    assert done.exit_code == 0
    assert "bear one name and touch" in done.stderr
    assert "<td>log</td>" in (out / "guide.html").read_text("utf-8")


def test_a_bad_table_is_refused_and_nothing_is_written(run: Run, tmp_path: Path) -> None:
    bad = tmp_path / "mine.csv"
    bad.write_text("material,form,name\ngold,*,bar\n", "utf-8")
    out = tmp_path / "named"
    refused = run("design", "9", "--plot", "20x24", "--names", bad, "--out", out)
    assert refused.exit_code == 2
    assert "line 2: there is no material 'gold'" in refused.stderr
    assert not out.exists()
