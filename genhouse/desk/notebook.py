"""The house on a notebook's page: the desk's model that turns, as an anywidget."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

import msgspec

from genhouse.core.errors import BriefError

if TYPE_CHECKING:
    from genhouse.house import House

SHOWS = """
export default {
  render({ model, el }) {
    const shown = mountMaquette(el, JSON.parse(model.get("house")));
    model.on("change:house", () => shown.replace(JSON.parse(model.get("house"))));
    return () => shown.close();
  },
};
"""
"""What a notebook calls (https://anywidget.dev, "Anywidget Front-End Module")."""


def check_extra() -> None:
    """Raises BriefError where what a notebook needs beside the rest is not installed."""
    from importlib.util import find_spec

    missing = [name for name in ("anywidget", "traitlets") if find_spec(name) is None]
    if missing:
        raise BriefError(
            f"desk: it needs {', '.join(missing)}; pip install 'genhouse[notebook]' brings that"
        )


def desk(house: House) -> Any:
    """The model that turns, and is cut at any layer, as a widget of a notebook.

    Raises BriefError where the extra is missing, and VersionError as ``House.plan`` does.

    >>> import genhouse
    >>> widget = genhouse.desk(genhouse.design(7))
    """
    from genhouse.outputs.guide.guide import model
    from genhouse.outputs.sheets.sheet import Sheets
    from genhouse.outputs.steps.steps import building_steps

    check_extra()
    plan, voxels = house.plan, house.voxels
    steps = building_steps(plan, voxels)
    data = model(plan, voxels, steps, Sheets(plan, voxels, steps))
    return _widget()(house=msgspec.json.encode(data).decode())


@cache
def _widget() -> Any:
    import anywidget
    import traitlets

    from genhouse.outputs.maquette import maquette

    said = {
        "_esm": maquette.script() + SHOWS,
        "_css": maquette.style(),
        "house": traitlets.Unicode().tag(sync=True),
    }
    return type("Turning", (anywidget.AnyWidget,), said)
