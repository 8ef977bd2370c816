"""Where the pieces of a step lie, where a builder stands to set them, and what holds up what would hang."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.spoken import listed, numeral, some
from genhouse.outputs.guide._places import cell
from genhouse.outputs.steps.reach import Reach, Trestle
from genhouse.outputs.steps.steps import Row, Steps

FROM = ("from the ground", "from what stands higher up by now", "from what this step has laid")
"""Where one works without a trestle, as a reach counts it."""
Place = tuple[int, int, int]


def where(steps: Steps, reach: Sequence[Reach], ground: int) -> tuple[tuple[str, ...], ...]:
    """Sentences for each step.  ground: z of the first layer above it."""
    struck = {(row.x, row.y, row.z): row.step for row in steps.rows if row.support == "struck"}
    found, known = [], dict[Place, int]()
    for step, one in zip(steps.steps, reach, strict=True):
        rows = steps.rows_of(step)
        sentences = (
            *_lie([row for row in rows if not row.support], ground),
            *_stand(one, known, ground),
            *_props([row for row in rows if row.support == "set"], struck, ground),
        )
        known = {(t.x, t.y, t.foot): t.top for t in one.trestles}
        found.append(sentences)
    return tuple(found)


def _lie(rows: Sequence[Row], ground: int) -> Iterator[str]:
    """In which layers a step's pieces lie, and in how many runs."""
    if not rows:
        return
    tops = [row.z + (row.run - 1 if row.axis == "z" else 0) for row in rows]
    low, high = min(row.z for row in rows) - ground + 1, max(tops) - ground + 1
    longest = max(row.run for row in rows)
    first, last = (cell(row.x, row.y) for row in (rows[0], rows[-1]))
    if {(row.x, row.y, row.axis if row.run > 1 else "z") for row in rows} == {
        (rows[0].x, rows[0].y, "z")
    }:
        where = f", all at {first}"
    elif first == last:
        where = f", the first and the last from {first}" if rows[1:] else f", from {first}"
    else:
        where = f", the first from {first} and the last from {last}"
    most = f"; the longest is {some(longest, 'cell')}" if longest > 1 < len(rows) else ""
    yield f"{some(len(rows), 'run').capitalize()} of equal pieces in {layers(low, high)}{where}{most}."


def _stand(reach: Reach, known: dict[Place, int], ground: int) -> Iterator[str]:
    """From where the pieces of a step are within an arm's length; nothing of what is from the ground.

    known: the trestles that stand, and how high they go.
    """
    counts = (reach.ground, reach.aloft, reach.laid)
    ways = [(count, place) for count, place in zip(counts, FROM, strict=True) if count]
    stays, raised, fresh = list[Trestle](), list[Trestle](), list[Trestle]()
    for one in reach.trestles:
        top = known.get((one.x, one.y, one.foot), -1)
        (fresh if top < 0 else raised if top < one.top else stays).append(one)
    rest = listed(_ways_up(stays, raised, fresh, ground))
    if len(ways) == 1 and not rest and ways[0][1] != FROM[0]:
        yield f"You reach all of it {ways[0][1]}."
    elif ways and (len(ways) > 1 or rest):
        first, *others = ways
        told = (
            f"{some(first[0], 'piece')} {first[1]}",
            *(f"{numeral(n)} {place}" for n, place in others),
        )
        yield f"You reach {listed(told)}{'; for the rest ' if rest else ''}{rest}."
    elif rest:
        yield f"{rest[0].upper()}{rest[1:]}."
    if reach.beyond:
        yield f"{some(reach.beyond, 'piece').capitalize()} cannot be reached from any of these."


def _ways_up(
    stays: Sequence[Trestle], raised: Sequence[Trestle], fresh: Sequence[Trestle], ground: int
) -> Iterator[str]:
    """What to do with trestles.

    >>> list(_ways_up([Trestle(5, 6, 2, 8)], [Trestle(9, 6, 2, 6)], [], 2))
    ['leave the trestle at F7 standing', 'raise the one at J7 to four cells']
    """
    if stays:
        places = listed(cell(one.x, one.y) for one in stays)
        yield f"leave the {'trestles' if stays[1:] else 'trestle'} at {places} standing"
    for one in raised:
        noun = "one" if stays else "trestle"
        yield f"raise the {noun} at {cell(one.x, one.y)} to {some(one.top - one.foot, 'cell')}"
    if fresh:
        yield f"set up {_trestles(fresh, ground)}"


def _trestles(trestles: Sequence[Trestle], ground: int) -> str:
    """Those of one height together.

    >>> _trestles([Trestle(5, 6, 2, 8), Trestle(9, 6, 1, 7), Trestle(9, 9, 7, 9)], 2)
    'trestles six cells high at F7 and J7, and two cells high at J10 on layer 5'
    """
    alike: dict[tuple[int, int], list[str]] = {}
    for one in trestles:
        on = max(0, one.foot - ground - 1)
        alike.setdefault((one.top - one.foot, on), []).append(cell(one.x, one.y))
    *most, last = (
        f"{some(high, 'cell')} high at {listed(places)}" + (f" on layer {on + 1}" if on else "")
        for (high, on), places in alike.items()
    )
    told = f"{', '.join(most)}, and {last}" if most else last
    return f"{'trestles' if len(trestles) > 1 else 'a trestle'} {told}"


def _props(
    rows: Sequence[Row], struck: dict[tuple[int, int, int], int], ground: int
) -> Iterator[str]:
    """Where temporary supports stand, and when they are struck."""
    columns: dict[tuple[int, int], list[Row]] = {}
    for row in rows:
        columns.setdefault((row.x, row.y), []).append(row)
    alike: dict[tuple[str, str], list[str]] = {}
    for (x, y), mine in columns.items():
        low, high = (pick(row.z for row in mine) - ground + 1 for pick in (min, max))
        last = max(struck[row.x, row.y, row.z] for row in mine)
        when = f"at the end of step {last}" if last != mine[0].step else "as soon as it is done"
        alike.setdefault((layers(low, high), when), []).append(cell(x, y))
    for (where, when), places in alike.items():
        what, them = ("supports", "them") if places[1:] else ("support", "it")
        article = "" if places[1:] else "a "
        yield (
            f"What would hang rests on {article}temporary {what} at {listed(places)}, in {where}; "
            f"strike {them} {when}."
        )


def layers(low: int, high: int) -> str:
    """Layers by number, those below the first by how many they are.

    >>> layers(3, 3), layers(2, 3), layers(2, 5), layers(0, 0)
    ('layer 3', 'layers 2 and 3', 'layers 2 to 5', 'the layer below the first')
    >>> layers(-1, 2)
    'the two layers below the first and up to layer 2'
    """
    if low > 0:
        joined = "and" if high == low + 1 else "to"
        return f"layer {low}" if low == high else f"layers {low} {joined} {high}"
    below = "the layer" if low == 0 else f"the {some(1 - low, 'layer')}"
    return f"{below} below the first" + (f" and up to layer {high}" if high > 0 else "")
