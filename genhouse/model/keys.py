"""The keys of a brief, each told to a client once: what it wants, what it means, an example.

Refusals, the page about briefs, its schema and the list of choices all speak from here.
"""

from __future__ import annotations

from dataclasses import dataclass

from genhouse.model.brief import Brief


@dataclass(frozen=True, slots=True)
class Key:
    """name: ``plot``, ``roof.form``, ``rooms.area``.  wants: the kind of value, in words for people who
    do not program.  example: a value, as TOML writes it.  meaning: one sentence or two."""

    name: str
    wants: str
    example: str
    meaning: str

    @property
    def table(self) -> str:
        """The table it stands in: ``sides``, ``ground``, ``roof``, ``rooms`` or none."""
        return self.name.rpartition(".")[0]

    @property
    def word(self) -> str:
        """The key as it is written in its table."""
        return self.name.rpartition(".")[2]


_TEXT = "words between quotes"
_WHOLE = "a whole number"
_TWO = "two whole numbers"
_YES = "true or false"
_NAMES = "a list of names"
_FORM = "the name of a roof form"
_PARTY = "the word party"
_ROWS = "a list of rows of whole numbers"

KEYS: tuple[Key, ...] = (
    Key("client", _TEXT, '"Orla Wick, beekeeper"', "Who the house is for; changes nothing else."),
    Key(
        "plot",
        _TWO,
        "[25, 31]",
        "Width (east to west) and depth (north to south) of the plot in cells. Without it the seed "
        "chooses a plot.",
    ),
    Key(
        "plot_least",
        _TWO,
        "[21, 26]",
        "The smallest plot that the seed may choose; in place of `plot`.",
    ),
    Key(
        "plot_most",
        _TWO,
        "[29, 40]",
        "The largest plot that the seed may choose; in place of `plot`.",
    ),
    Key(
        "outline",
        "the name of a shape, or corners of two whole numbers each",
        "[[0, 0], [34, 0], [34, 16], [20, 16], [20, 38], [0, 38]]",
        "The outline of the plot, where it is no rectangle: its corners in order, east and north of the "
        "south-west corner of the smallest rectangle round it, each side from one to the next along a row "
        "of cells; or a shape that the seed cuts from the plot: `ell`, `tee`, `stepped` or `chamfered`.",
    ),
    Key(
        "closed",
        _WHOLE,
        "4",
        "On how many sides of the court wings stand, 2 to 4; a wall closes the others.",
    ),
    Key("courts", _WHOLE, "2", "How many courts lie one behind the other, 1 to 3."),
    Key(
        "storeys",
        _WHOLE,
        "1",
        "How many storeys the house has, 1 to 3; of three, the third stands over one wing. Without it the "
        "seed chooses, and lowers some wings.",
    ),
    Key(
        "arrangement",
        "a name",
        '"pinwheel"',
        "How wings stand round the court and go on past it: `ring` fills the plot, a `lookout` has three "
        "storeys over the end of a wing, a `forecourt` its gatehouse, a `side-yard` walls on three sides, "
        "a `cross-wing` stands out from the front or the back by a bay.",
    ),
    Key(
        "low",
        _NAMES,
        '["left"]',
        "The wings of one storey in a house of two: front, cross, rear, left, right. A flat roof over "
        "one of them is a roof terrace. An empty list keeps all wings high.",
    ),
    Key(
        "gallery",
        f"{_YES}, or the number of sides",
        "2",
        "Whether an upper walk runs above the veranda of a court, or along how many of its sides.",
    ),
    Key(
        "service",
        _YES,
        "true",
        "Whether the rearmost of two or three courts is for the work of the house.",
    ),
    Key("gate", "the name of a side", '"east"', "The side from which a visitor comes."),
    Key("mirror", _YES, "true", "Mirror the house in the axis of its gate."),
    Key(
        "tradition",
        "a name, or the path of a folder",
        f'"{Brief().tradition}"',
        "The way of building: one at hand, or one whose folder is given, from where the brief lies.",
    ),
    Key("palette", "a name", '"cedar"', "The materials, by a palette of the tradition."),
    Key("garden", "a name", '"pond"', "The kind of garden in the court."),
    Key(
        "light",
        _WHOLE,
        "15",
        "Lux that lamps bring to every floor indoors on which one walks, at the least.",
    ),
    Key(
        "people",
        _WHOLE,
        "5",
        "How many live there: all have a bed and a place at table, and there are no rooms that so many "
        "have no use for. What is said of a kind of room on its own comes first.",
    ),
    Key(
        "trade", "a name", '"weaver"', "What they live by: the house has the rooms for that trade."
    ),
    Key(
        "sides.west",
        _PARTY,
        '"party"',
        "The house may stand on this edge of the plot, with a whole wall and neither eaves nor windows, so "
        "that a neighbour's wall can stand against it; a wing along it leans on that wall, whatever "
        "`roof.form` says, and a wall bounds the rest. The gate is elsewhere.",
    ),
    Key("sides.east", _PARTY, '"party"', "The same of the edge to the east."),
    Key("sides.north", _PARTY, '"party"', "The same of the edge to the north."),
    Key("sides.south", _PARTY, '"party"', "The same of the edge to the south."),
    Key(
        "ground.southwest",
        _WHOLE,
        "2",
        "How many cells higher than at its lowest corner the ground lies at this corner of the plot, 4 at "
        "the most. Eaves and upper floors run level; the lowest floor of each wing goes down with the "
        "ground, with a step wherever one walks on to a higher one, in the court and outside too. Wings "
        "that meet lie a cell apart at most: a ring goes down 2 from its rear to its front, a house of "
        "several courts one behind the other more, and where the ground falls further the higher wings "
        "are let into it.",
    ),
    Key("ground.southeast", _WHOLE, "2", "The same of the corner to the south-east."),
    Key("ground.northwest", _WHOLE, "2", "The same of the corner to the north-west."),
    Key("ground.northeast", _WHOLE, "2", "The same of the corner to the north-east."),
    Key(
        "ground.levels",
        _ROWS,
        "[[0, 0, 50], [100, 150, 200]]",
        "How high the ground lies at points spread evenly over the plot, in hundredths of a cell over its "
        "lowest: row by row from the south, each from west to east, 2 to 17 rows of as many; in place of "
        'corners. Or, in a file, `ground = "slope.npy"`: the path of a table of heights, as the brief '
        "sees it: numpy's `[x, y]` from the south-west in cells, or a grey picture (`.png`), north up, of "
        "which each step of grey is a hundredth of a cell. What falls less than half a cell is built "
        "level. The recipe keeps the levels and not the file.",
    ),
    Key(
        "roof.form",
        _FORM,
        '"hip"',
        "The roof of every wing not named on its own. `inward` is a lean-to round the whole court; wings "
        "between two courts are gabled under it. `two-tier` raises one wing, the others are hipped.",
    ),
    Key("roof.front", _FORM, '"gable"', "The roof of the front wing; it is then there."),
    Key("roof.cross", _FORM, '"gable"', "The roof of the wings between two courts."),
    Key("roof.rear", _FORM, '"two-tier"', "The roof of the rear wing."),
    Key("roof.left", _FORM, '"lean-to"', "The roof of the wing on a visitor's left."),
    Key("roof.right", _FORM, '"flat"', "The roof of the wing on a visitor's right."),
    Key("roof.profile", "a name", '"curved"', "How a slope rises, by a profile of the tradition."),
    Key("roof.swept", _YES, "true", "Whether the corners of the eaves are lifted."),
    Key("roof.dormers", _WHOLE, "2", "How many dormers light the upper rooms."),
    Key("rooms.kind", "the name of a kind of room", '"library"', "The kind of room."),
    Key("rooms.count", _WHOLE, "2", "How many of it; 0 for none of that kind."),
    Key("rooms.area", _TWO, "[9, 20]", "The least and the most clear cells of each."),
    Key("rooms.storey", _WHOLE, "1", "1 below, 2 and 3 above; without it, where the kind belongs."),
    Key(
        "rooms.beside",
        _NAMES,
        '["kitchen"]',
        "Kinds of room of which each shares a wall with it.",
    ),
    Key(
        "rooms.beside_any",
        _NAMES,
        '["study", "library"]',
        "Kinds of room of which one, whichever, shares a wall with it.",
    ),
    Key("rooms.away", _NAMES, '["workshop"]', "Kinds of room that must not share a wall with it."),
    Key(
        "rooms.court",
        _YES,
        "true",
        "Whether it opens to a court: below by screens, above by a window or onto a gallery.",
    ),
    Key(
        "rooms.quiet",
        _YES,
        "true",
        "Far from the gate (true) or near it (false), as far as the rest allows.",
    ),
)
"""In the order in which a client thinks of them."""


def key_of(name: str) -> Key | None:
    """The key of this name, such as ``rooms.area``; None where there is none."""
    return next((key for key in KEYS if key.name == name), None)
