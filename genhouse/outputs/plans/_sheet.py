"""The margin of a plan: title block, room schedule, key, north arrow and scale."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from genhouse.model.design import Design
from genhouse.outputs.plans._ground import guards
from genhouse.outputs.plans._numbers import listed_on
from genhouse.outputs.plans._pen import (
    BRICK,
    CARD,
    CELL,
    DIMENSION,
    FAINT,
    INK,
    POCHE,
    SOFT,
    TIMBER,
    Frame,
    group,
    letters,
    tag,
    width_of,
)
from genhouse.outputs.setting_out import clear_size, heights, room_name, words_of
from genhouse.outputs.storeys import Storey

COLUMN = 236
"""Width of the column beside the plan."""
ROW = 13
LINE = 11
"""Down from one line of the list of fittings to the next."""
LETTERS = 44
"""Of a line across the column."""
CAUTION = "A design for a block world, not a drawing to build from."


def numbered(storey: Storey) -> str:
    return f"{storey.name}, {storey.level} of {storey.count}"


def column_height(design: Design, storey: Storey) -> float:
    """What the column needs."""
    return 590 + ROW * len(storey.rooms) + _list_height(design, storey)


def _list_height(design: Design, storey: Storey) -> float:
    kinds = len(listed_on(design, storey))
    return 30 + LINE * -(-kinds // 2) if kinds else 0


def draw_column(design: Design, storey: Storey, frame: Frame) -> str:
    """Title above, then schedule and key; north, scale and title block at the foot."""
    rows = len(storey.rooms)
    schedule = frame.y + 66
    fittings = schedule + 30 + ROW * rows + 14
    key = fittings + _list_height(design, storey)
    foot = frame.y + frame.h
    return group(
        letters(frame.x, frame.y + 16, f"House {design.recipe.seed}", 19, font_weight="600"),
        letters(frame.x, frame.y + 36, numbered(storey), 12, fill=SOFT),
        group(*_schedule(design, storey, frame.x, schedule)),
        group(*_fittings(design, storey, frame.x, fittings)),
        group(*_key(design, storey, frame.x, key)),
        group(*_heights(design, frame.x, key + 144)),
        _north(frame.x + 24, foot - 164),
        _scale(frame.x + 66, foot - 158),
        group(*_client(design, frame.x, foot - 206)),
        group(*_title(design, storey, Frame(frame.x, foot - 124, frame.w, 124))),
        fill=INK,
    )


def _rule(x: float, y: float, w: float, **attributes: object) -> str:
    return tag(
        "line",
        **{"x1": x, "y1": y, "x2": x + w, "y2": y, "stroke": FAINT, "stroke_width": 0.8}
        | attributes,
    )


def _schedule(design: Design, storey: Storey, x: float, y: float) -> Iterator[str]:
    """Number, name, clear size and area of each room."""
    yield letters(x, y, "Rooms", 10.5, font_weight="600")
    right = {"text_anchor": "end", "fill": SOFT}
    yield letters(x + 178, y, "clear size", 8, **right)
    yield letters(x + COLUMN, y, "cells", 8, **right)
    yield _rule(x, y + 5, COLUMN)
    for n, room in enumerate(storey.rooms):
        row = y + 19 + ROW * n
        size = clear_size(room)
        yield letters(x + 15, row, str(room.id), 8.5, text_anchor="end", fill=SOFT)
        name = room_name(design, room)
        yield letters(x + 24, row, name, _fitted(name, 150 - width_of(size, 8.5), 9))
        yield letters(x + 178, row, size, 8.5, text_anchor="end")
        yield letters(x + COLUMN, row, str(room.area), 8.5, text_anchor="end")
    yield _rule(x, y + 12 + ROW * len(storey.rooms), COLUMN)


def _fittings(design: Design, storey: Storey, x: float, y: float) -> Iterator[str]:
    """What the numbers of fittings mean, in two columns."""
    kinds = listed_on(design, storey)
    if not kinds:
        return
    yield letters(x, y + 2, "Fittings", 10.5, font_weight="600")
    for n, (number, name) in enumerate(kinds):
        column, row = divmod(n, (len(kinds) + 1) // 2)
        px, py = x + 122 * column, y + 18 + LINE * row
        yield letters(px + 12, py, number, 7.5, text_anchor="end", fill=DIMENSION)
        yield letters(px + 18, py, name, _fitted(name, 100, 7.5))


def _fitted(text: str, wide: float, size: float) -> float:
    """The size of a line that is to have so much room: no larger than this."""
    return min(size, size * wide / width_of(text, size))


def _key(design: Design, storey: Storey, x: float, y: float) -> Iterator[str]:
    """What the signs mean, in two columns."""
    yield letters(x, y + 2, "Key", 10.5, font_weight="600")
    signs = _signs(design, storey)
    for n, (sign, word) in enumerate(signs):
        column, row = divmod(n, (len(signs) + 1) // 2)
        px, py = x + 122 * column, y + 20 + 18 * row
        yield group(sign, transform=f"translate({px:g} {py - 10:g})")
        yield letters(px + 30, py, word, 8.5)


def _heights(design: Design, x: float, y: float) -> Iterator[str]:
    """Which layer above the ground each level lies in."""
    z, names = heights(design), words_of(design).layer
    yield letters(x, y, "Layers above the ground", 10.5, font_weight="600")
    rows = (
        (names.both, ", ".join(str(z.above(tie)) for tie in z.ties)),
        (names.plate, str(z.above(z.plate))),
        (names.eaves, str(z.above(z.eaves))),
        (names.ridge, str(z.above(z.ridge))),
    )
    yield _rule(x, y + 5, COLUMN)
    for n, (word, value) in enumerate(rows):
        px, py = x + 122 * (n % 2), y + 19 + ROW * (n // 2)
        yield letters(px, py, word, _fitted(word, 100 - width_of(value, 8.5), 8.5))
        yield letters(px + 104, py, value, 8.5, text_anchor="end")


def _signs(design: Design, storey: Storey) -> tuple[tuple[str, str], ...]:
    """Each drawn in a box of 24 by 12; of openings and rails those that the storey has."""
    opened = {wall.opening for wall in design.segments if wall.level == storey.level}
    rail = any(guards(p) and storey.has(p) for p in design.parts)
    box = Frame(0, 2, 24, 8)
    post = Frame(6, 0, 12, 12).draw(fill=INK)
    infill = box.draw(fill=POCHE, stroke=INK, stroke_width=0.8)
    window = box.draw(fill=CARD, stroke=INK, stroke_width=0.7) + Frame(0, 4.7, 24, 2.6).draw(
        fill="none", stroke=INK, stroke_width=0.7
    )
    bars = (
        tag("line", x1=k, y1=2, x2=k, y2=10, stroke=INK, stroke_width=0.6) for k in range(4, 24, 4)
    )
    lattice = box.draw(fill=CARD, stroke=INK, stroke_width=0.6) + "".join(bars)
    tracks = _rule(0, 4.5, 24, stroke=SOFT) + _rule(0, 8, 24, stroke=SOFT)
    leaves = Frame(0, 3.2, 12, 2.6).draw(fill=TIMBER, stroke=INK, stroke_width=0.6)
    eaves = _rule(0, 6, 24, stroke=SOFT, stroke_dasharray="9 4")
    flue = Frame(6, 0, 12, 12).draw(fill=BRICK, stroke=INK) + Frame(9.5, 3.5, 5, 5).draw(fill=INK)
    lamp = tag("circle", cx=12, cy=6, r=4, fill=CARD, stroke="#b07a2e", stroke_width=0.8) + tag(
        "path", d="M9.5 3.5 L14.5 8.5 M9.5 8.5 L14.5 3.5", stroke="#b07a2e", stroke_width=0.8
    )
    arc = tag("path", d="M4 12 L4 0 A12 12 0 0 1 16 12", fill="none", stroke=INK, stroke_width=0.8)
    passage = "".join(_rule(0, at, 24, stroke=SOFT, stroke_dasharray="2.5 2") for at in (3, 9))
    say = words_of(design).sign
    beam = "".join(_rule(0, at, 24, stroke=SOFT, stroke_dasharray="3 2.5") for at in (3, 9))
    return (
        (post, say.post),
        (infill, say.infill),
        (window, say.window),
        (lattice, say.lattice),
        *(((tracks + leaves, say.screen),) if "screens" in opened else ()),
        *(((arc, say.door),) if opened & {"door", "entrance"} else ()),
        *(((passage, say.passage),) if "passage" in opened else ()),
        (beam, say.beam),
        *(((_rule(0, 6, 24, stroke=INK, stroke_width=1.4), say.rail),) if rail else ()),
        (flue, say.hearth if storey.lowest else say.flue),
        (lamp, say.lamp),
        (eaves, say.eaves if storey.lowest else words_of(design).layer.eaves),
    )


def _north(x: float, y: float) -> str:
    ring = tag("circle", cx=x, cy=y, r=17, fill="none", stroke=INK, stroke_width=0.8)
    dark = tag("polygon", points=f"{x:g},{y - 17:g} {x:g},{y + 9:g} {x - 7:g},{y + 13:g}", fill=INK)
    light = tag(
        "polygon",
        points=f"{x:g},{y - 17:g} {x:g},{y + 9:g} {x + 7:g},{y + 13:g}",
        fill=CARD,
        stroke=INK,
        stroke_width=0.8,
    )
    return (
        ring + dark + light + letters(x, y - 21, "N", 10, text_anchor="middle", font_weight="600")
    )


def _scale(x: float, y: float) -> str:
    """Eight cells, dark and light by turns in twos."""
    boxes = "".join(
        Frame(x + k * CELL, y, 2 * CELL, 5).draw(
            fill=INK if k % 4 == 0 else CARD, stroke=INK, stroke_width=0.7
        )
        for k in range(0, 8, 2)
    )
    marks = "".join(
        letters(x + k * CELL, y + 15, str(k), 8, text_anchor="middle", fill=SOFT)
        for k in range(0, 9, 2)
    )
    return boxes + marks + letters(x, y - 5, "cells, of about one metre", 8, fill=SOFT)


def _client(design: Design, x: float, foot: float) -> Iterator[str]:
    """For whom it is designed: the whole of the name, in as many lines as it takes, up from a foot."""
    lines = wrap(f"For {design.recipe.brief.client}", LETTERS) if design.recipe.brief.client else []
    for n, line in enumerate(reversed(lines)):
        yield letters(x, foot - 11 * n, line, 8.5)


def _title(design: Design, storey: Storey, frame: Frame) -> Iterator[str]:
    yield frame.draw(fill=CARD, stroke=INK, stroke_width=0.9)
    yield _rule(frame.x, frame.y + 25, frame.w, stroke=INK)
    yield letters(frame.x + 8, frame.y + 17, "Floor plan", 11, font_weight="600")
    yield letters(
        frame.x + frame.w - 8, frame.y + 17, f"Sheet {storey.level}", 10, text_anchor="end"
    )
    rows = [
        ("Seed", str(design.recipe.seed)),
        ("Plot", f"{design.plot[0]} × {design.plot[1]} cells, gate {design.gate_side}"),
        ("Storey", numbered(storey)),
        ("Floor", f"{storey.floor - heights(design).ground} above the ground"),
    ]
    for n, (word, value) in enumerate(rows):
        yield letters(frame.x + 8, frame.y + 40 + 13 * n, word, 8.5, fill=SOFT)
        yield letters(frame.x + 52, frame.y + 40 + 13 * n, value, 8.5)
    yield letters(frame.x + 8, frame.y + 96, words_of(design).sign.foot, 7.5, fill=SOFT)
    yield _rule(frame.x, frame.y + 104, frame.w, stroke=INK)
    yield letters(frame.x + 8, frame.y + 117, CAUTION, 7, font_weight="600")
