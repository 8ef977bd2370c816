"""What the table shows of a house: pictures, plans, and what is told of it."""

from __future__ import annotations

import re
from typing import Any

from genhouse.desk.made import figures_of, house_of, scene_of, sketch_of, steps_of
from genhouse.desk.task import WRONG, Answer, sentence, told
from genhouse.model.brief import Recipe
from genhouse.model.digests import digests
from genhouse.outputs.figures.named_figures import NAMED
from genhouse.outputs.guide.guide import model
from genhouse.outputs.pictures import picture
from genhouse.outputs.plans._dimensions import margin
from genhouse.outputs.plans._pen import CELL
from genhouse.outputs.plans.plan import EDGE, plan
from genhouse.outputs.sheets.sheet import Sheets
from genhouse.outputs.storeys import storeys

SIZES = {"large": (900, 810), "sketch": (400, 360), "small": (260, 234)}
"""Pixels of a picture."""
LOOKS = {"outside": "outside", "cut": "inside", "court": "court"}
"""What a look is called on the table, and in ``pictures``."""
JPEG, SVG = "image/jpeg", "image/svg+xml"
VIEW = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')


def seen(recipe: Recipe, look: str = "outside", size: str = "large", night: str = "") -> Answer:
    """A picture.  look: of LOOKS.  size: of SIZES; a sketch is of the shell alone."""
    if look not in LOOKS or size not in SIZES:
        return sentence(f"picture: it is {', '.join(LOOKS)}; {', '.join(SIZES)}", WRONG)
    scene = sketch_of(recipe) if size == "sketch" else scene_of(recipe)
    image = picture.seen(scene, LOOKS[look], size=SIZES[size], night=bool(night))
    return Answer(picture.jpeg(image), JPEG)


def planned(recipe: Recipe, level: str = "1") -> Answer:
    """The dimensioned plan of a storey."""
    design = house_of(recipe).plan
    known = [str(storey.level) for storey in storeys(design)]
    if level not in known:
        return sentence(f"level: it is {' or '.join(known)}", WRONG)
    return Answer(plan(design, int(level)).encode(), SVG)


def about(recipe: Recipe) -> Answer:
    """What is told beside the picture: what the seed drew, rooms, figures, remarks, plans."""
    house, figures = house_of(recipe), figures_of(recipe)
    design = house.plan
    return told(
        {
            "name": house.digest[:8],
            "seed": recipe.seed,
            "drawn": _drawn(recipe),
            "rooms": [
                {"id": r.id, "kind": r.kind, "level": r.level, "area": r.area, "indoor": r.indoor}
                for r in design.rooms
            ],
            "figures": [
                {"name": f.name, "title": f.title, "meaning": f.meaning, "unit": f.unit}
                | {"value": f.read(figures), "text": f.text(f.read(figures)), "more": f.more}
                for f in NAMED
            ],
            "notes": figures.notes,
            "plans": [_frame(recipe, storey.level, storey.name) for storey in storeys(design)],
            "stages": digests(house.voxels)[0],
        }
    )


def modelled(recipe: Recipe) -> Answer:
    """The data of the model that turns: see ``outputs/maquette``."""
    house, steps = house_of(recipe), steps_of(recipe)
    sheets = Sheets(house.plan, house.voxels, steps)
    return told(model(house.plan, house.voxels, steps, sheets))


def _drawn(recipe: Recipe) -> dict[str, Any]:
    """What a brief may leave to the seed, as it came."""
    design = house_of(recipe).plan
    return {
        "plot": design.plot,
        "gate": design.gate_side,
        "palette": design.palette.name,
        "arrangement": design.arrangement,
        "courts": len(design.courts),
        "storeys": len(storeys(design)),
        "garden": design.gardens[0] if design.gardens else None,
        "outline": design.outline,
        "roof.swept": design.swept,
        "roof.dormers": design.dormers,
    }


def _frame(recipe: Recipe, level: int, name: str) -> dict[str, Any]:
    """Where the cells lie on a plan, in its own units; north is up."""
    design = house_of(recipe).plan
    size = VIEW.search(plan(design, level))
    left = EDGE + margin(design)
    wide, high = map(float, size.groups()) if size else (0.0, 0.0)
    frame = {"left": left, "top": left, "cell": CELL, "wide": wide, "high": high}
    return {"level": level, "name": name, "depth": design.plot[1], "width": design.plot[0]} | frame
