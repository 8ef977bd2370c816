"""The still pictures of a kit: a cover, cutaways before and after, and a sheet of all steps."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from genhouse.outputs.pictures import picture
from genhouse.outputs.pictures._scene import Scene
from genhouse.outputs.pictures._tone import PAPER
from genhouse.outputs.step_pictures import View, step_picture
from genhouse.outputs.steps.steps import Steps

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageFont import FreeTypeFont, ImageFont

    Font = FreeTypeFont | ImageFont

COVER = (1600, 1120)
BAND = 190
"""Pixels below the picture of a cover, for its words."""
HALF = (900, 800)
"""Each of the two cutaways."""
LATER = ("court", "fittings", "lamps", "mats")
"""Stages after which a house is lived in: a cutaway before them is the shell."""
TILE, ACROSS, CAPTION, GAP = (420, 378), 4, 44, 16
"""On the sheet of steps: a picture, how many side by side, room for words, and between pictures."""
INK, SOFT = (44, 38, 34), (98, 87, 76)


def cover(scene: Scene, title: str, words: str) -> Image:
    """The house from outside, with its name and what it is."""
    from PIL import Image, ImageDraw

    board = Image.new("RGB", (COVER[0], COVER[1] + BAND), PAPER)
    board.paste(picture.seen(scene, "outside", size=COVER), (0, 0))
    pen = ImageDraw.Draw(board)
    middle = COVER[0] // 2
    pen.text((middle, COVER[1] + 10), title, fill=INK, font=_font(64), anchor="ma")
    pen.text((middle, COVER[1] + 104), words, fill=SOFT, font=_font(30), anchor="ma")
    return board


def cutaways(scene: Scene) -> Image:
    """The house cut open above its lower floor, as a shell and as it is lived in."""
    from PIL import Image, ImageDraw

    voxels = scene.voxels
    view = picture.SUNNY_SIDE[picture.gate_side(voxels)]
    open_ = picture.opened(voxels, view)
    board = Image.new("RGB", (2 * HALF[0], HALF[1] + 70), PAPER)
    pen = ImageDraw.Draw(board)
    shown = (("Before: the shell", open_ & ~voxels.set_by(*LATER)), ("After: lived in", open_))
    for n, (words, mask) in enumerate(shown):
        board.paste(picture.draw(scene, view=view, size=HALF, mask=mask), (n * HALF[0], 0))
        middle = n * HALF[0] + HALF[0] // 2
        pen.text((middle, HALF[1] + 8), words, fill=INK, font=_font(32), anchor="ma")
    return board


def contact_sheet(
    scene: Scene, steps: Steps, views: Sequence[View], titles: Sequence[str]
) -> Image:
    """Every step by its first picture, with its number and title, and the whole.  titles: of the steps."""
    from PIL import Image, ImageDraw

    first = {view.step: view for view in reversed(views)}
    tiles = [
        (f"{number}. {titles[number - 1]}", step_picture(scene, steps, view))
        for number, view in sorted(first.items())
    ]
    tiles.append(("Finished", picture.seen(scene, "outside", size=TILE)))
    rows = -(-len(tiles) // ACROSS)
    wide, high = TILE[0] + GAP, TILE[1] + CAPTION + GAP
    board = Image.new("RGB", (ACROSS * wide + GAP, rows * high + GAP), PAPER)
    pen, font = ImageDraw.Draw(board), _font(18)
    for n, (words, tile) in enumerate(tiles):
        left, top = GAP + n % ACROSS * wide, GAP + n // ACROSS * high
        board.paste(tile.resize(TILE, Image.Resampling.LANCZOS), (left, top))
        pen.text((left + 2, top + TILE[1] + 8), words, fill=INK, font=font)
    return board


def _font(size: int) -> Font:
    from PIL import ImageFont

    return ImageFont.load_default(size)
