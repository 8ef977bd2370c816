"""Design, inspect, draw and save a house where the table holds far more forms than a byte can number.

    python -m tests.laws.more_forms SEED DIR

The new forms come before all others but air, so that every form that is used is numbered past them.
"""

from __future__ import annotations

import sys
from pathlib import Path

from genhouse.core import forms

MORE = 300


def sheet(at: int) -> forms.Rule:
    """A quarter of a cell, so many quarters up."""

    def rule(x: int, y: int, z: int) -> bool:
        return z == at

    return rule


def main(seed: int, folder: Path) -> None:
    forms.PLAIN = {f"made-up {n}": sheet(n % 4) for n in range(MORE)} | forms.PLAIN
    forms.FORMS = tuple(forms._forms())
    forms.NUMBER = {form.name: n for n, form in enumerate(forms.FORMS)}

    from genhouse import design, load  # whoever reads the table reads it from here on

    house = design(seed)
    assert min(house.voxels.form[house.voxels.form > 0]) > MORE
    assert house.inspect().clean, house.inspect().findings
    house.save(folder)
    assert (load(folder).voxels.form == house.voxels.form).all()


if __name__ == "__main__":
    main(int(sys.argv[1]), Path(sys.argv[2]))
