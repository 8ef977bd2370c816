"""All that one shows a house with, as files."""

from __future__ import annotations

from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.guide._counts import Counts
from genhouse.outputs.guide.figures import figures
from genhouse.outputs.guide.steps import step_titles
from genhouse.outputs.names import given
from genhouse.outputs.pictures import picture
from genhouse.outputs.publishing.account import RATE, account
from genhouse.outputs.publishing.boards import contact_sheet, cover, cutaways
from genhouse.outputs.publishing.turntable import turntable
from genhouse.outputs.step_pictures import views
from genhouse.outputs.steps.reach import reaches
from genhouse.outputs.steps.steps import building_steps


def kit(
    design: Design, voxels: Voxels, finishes: dict[str, str], rate: int = RATE
) -> dict[str, bytes]:
    """The files by name.  finishes: of materials, by name.  rate: pieces that are set in a minute."""
    steps = building_steps(design, voxels)
    scene = picture.scene(voxels, finishes)
    titles = [step_titles(design)[step.name] for step in steps.steps]
    told = figures(design, steps, reaches(voxels, steps))
    name = f"House {design.recipe.seed}"
    client = design.recipe.brief.client
    counts = Counts(voxels, steps, given(voxels).called)
    known = dict(told)
    words = (
        f"{design.plot[0]} by {design.plot[1]} cells, {known['Rooms'].replace(' on', ' rooms on')}, "
        f"{known['Pieces']} pieces, {len(titles)} steps"
    )
    title = f"{name}, for {client}" if client else name
    return {
        "about.txt": account(title, told, counts, steps, titles, rate).encode(),
        "cover.png": picture.png(cover(scene, name, words)),
        "cutaways.png": picture.png(cutaways(scene)),
        "contact.png": picture.png(contact_sheet(scene, steps, views(voxels, steps), titles)),
        "turntable.webp": turntable(voxels),
    }
