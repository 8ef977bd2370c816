"""What is said of the bays that a step builds: line by line, or of the whole house where most are alike."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from genhouse.core.spoken import listed, numeral
from genhouse.outputs.even.bays import Bay, Family, families, family, lines, told_of, why
from genhouse.outputs.even.work import Done
from genhouse.outputs.guide._places import place
from genhouse.outputs.sheets.letters import letters_of

MOST = (3, 4)
"""Of all bays so many in so many are alike where one rule holds for the house."""
MANY = 4
"""Bays of a line that are not named one by one, but counted between two posts."""


def told_bays(bays: Sequence[Bay], done: Done) -> Iterator[str]:
    """Sentences that tell of bays which repeat one, and of what breaks each row of these; none where no
    two are alike."""
    if not bays or not (whole := family(bays)).same:
        return
    rows, (few, many) = tuple(lines(bays)), MOST
    if many * (1 + len(whole.same)) >= few * len(bays) and len(rows) > 1:
        yield _everywhere(whole, done)
        return
    told = [family(row) for row in rows if len(row) > 1]
    told = [one for one in told if one.same]
    for one in told:
        yield _along(one, done)
    known = {bay.wall for one in told for bay in (one.first, *one.same, *one.odd)}
    single = [bay for bay in bays if bay.wall not in known]
    kinds = [one for axis in "xy" for one in families([b for b in single if b.wall.axis == axis])]
    for one in kinds:
        if one.same:
            yield f"Build {at(one.first)}, and repeat it for {listed(map(at, one.same))}."
    if alone := [one.first for one in kinds if not one.same]:
        yield f"Each on its own: {_alone(alone, done)}."


def _alone(bays: Sequence[Bay], done: Done) -> str:
    """Bays that nothing repeats: where they are, and in walls what they have."""
    if done.step.stage != "walls":
        return listed(map(at, bays))
    return "; ".join(f"{at(bay)} {told_of(bay.wall)[0]}" for bay in bays)


def at(bay: Bay) -> str:
    """The cells of a bay."""
    return place(bay.wall.cells)


def _line(bay: Bay) -> str:
    """The line in which a bay stands.  A row runs east, a line north."""
    axis, low, high = bay.line
    names = [str(n + 1) if axis == "x" else letters_of(n) for n in range(low, high)]
    noun = ("row" if axis == "x" else "line") + "s" * (len(names) > 1)
    return f"{noun} {names[0]}" + (
        f" {'and' if high - low == 2 else 'to'} {names[-1]}" if names[1:] else ""
    )


def _mark(bay: Bay, along: int) -> str:
    return letters_of(along) if bay.wall.axis == "x" else str(along + 1)


def _span(bay: Bay, last: Bay | None = None) -> str:
    """From the first cell of a bay along its line to the last of it, or of another."""
    low, high = bay.wall.lie.x0, (last or bay).wall.lie.x1 - 1
    return _mark(bay, low) if low == high else f"{_mark(bay, low)} to {_mark(bay, high)}"


def _along(one: Family, done: Done) -> str:
    """A line of bays."""
    line = _line(one.first)
    if len(one.same) < MANY:
        others = listed(map(_span, one.same))
    else:
        ends = one.same[0].wall.lie.x0 - 1, one.same[-1].wall.lie.x1
        marks = (_mark(one.first, end) for end in ends)
        others = f"the {numeral(len(one.same))} bays between {' and '.join(marks)}"
    rest = "".join(f"; {clause}" for clause in _odd(one, done, _span))
    return f"Along {line}: build {_span(one.first)}, and repeat it for {others}{rest}."


def _odd(one: Family, done: Done, named: Callable[[Bay], str]) -> Iterator[str]:
    """What breaks the pattern, for one reason together."""
    reasons: dict[tuple[str, str], list[Bay]] = {}
    for bay in one.odd:
        reasons.setdefault(why(one.first, bay, done), []).append(bay)
    for (single, plural), bays in reasons.items():
        yield f"{listed(map(named, bays))} {plural if len(bays) > 1 else single}"


def _everywhere(one: Family, done: Done) -> str:
    """A house most of whose bays are alike."""
    places = []
    alike = sorted((one.first, *one.same), key=lambda bay: (bay.line, bay.wall.lie.x0))
    for line in lines(alike):
        spans = listed(_span(run[0], run[-1]) for run in _runs(line))
        places.append(f"{_line(line[0])} {spans}")
    rest = "".join(f"; {clause}" for clause in _odd(one, done, at))
    return f"Bay after bay is built like {at(one.first)}: {', '.join(places)}{rest}."


def _runs(line: Sequence[Bay]) -> Iterator[list[Bay]]:
    """Bays that follow one another with one support between them."""
    run = [line[0]]
    for bay in line[1:]:
        if bay.wall.lie.x0 != run[-1].wall.lie.x1 + 1:
            yield run
            run = []
        run.append(bay)
    yield run
