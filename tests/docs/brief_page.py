"""Write the page about briefs and their schema, from the keys and the data they speak of.

python -m tests.docs.brief_page
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

from genhouse.generate.brief_schema import names_of, schema
from genhouse.model.bounds import BOUNDS, LARGEST_PLOT, SMALLEST_PLOT
from genhouse.model.keys import KEYS, Key
from genhouse.model.roof import ROOF_FORMS

SHARED = Path(__file__).parents[2] / "shared"
PAGE = SHARED / "docs" / "brief.md"
SCHEMA = SHARED / "schemas" / "brief.schema.json"
HEADS = {
    "": "## The house",
    "sides": "## Neighbours\n\nThese stand under a line `[sides]`, or in one line: "
    '`sides = { west = "party" }`.',
    "ground": "## Sloping ground\n\nThese stand under a line `[ground]`, or in one line: "
    "`ground = { northwest = 2, northeast = 2 }`. In their place a file of heights may stand: "
    '`ground = "slope.npy"`.',
    "roof": "## The roof\n\nThese stand under a line `[roof]`.",
    "rooms": "## The rooms\n\nEach line of the programme begins with `[[rooms]]`. A kind of room may "
    "stand on several lines; each of its rooms answers one of them. What a programme leaves out the "
    "house may still have.",
}
OPENING = f"""# The brief

A brief says what a client wants, in a text file of keys and values (TOML). Every key may be left out;
what is left out is drawn from the seed. What is asked for is met or refused: never dropped without a
word. `genhouse design 7 --brief FILE` reads it; `genhouse choices` lists every name that it may use;
[brief.schema.json](../schemas/brief.schema.json) tells the same to editors and forms.

```toml
client = "Orla Wick, beekeeper"
plot = [25, 34]
gate = "east"
garden = "pond"

[roof]
form = "hip"

[[rooms]]
kind = "library"
storey = 2

[[rooms]]
kind = "sleeping"
count = 2
beside_any = ["study", "library"]
```

Plots are from {SMALLEST_PLOT[0]} x {SMALLEST_PLOT[1]} to {LARGEST_PLOT[0]} x {LARGEST_PLOT[1]} cells; a
cell is one block of the world, for about a metre.
"""


def page() -> str:
    """The page, as Markdown."""
    return OPENING + "".join(_tables())


def _tables() -> Iterator[str]:
    known = names_of("timber")
    known |= {key.name: [*ROOF_FORMS] for key in KEYS if "roof form" in key.wants}
    known["roof.form"] = [*ROOF_FORMS, "inward"]
    for table, head in HEADS.items():
        yield f"\n{head}\n"
        for key in KEYS:
            if key.table == table:
                yield _entry(key, known.get(key.name, []))


def _entry(key: Key, known: list[str]) -> str:
    bounds = f", {BOUNDS[key.name][0]} to {BOUNDS[key.name][1]}" if key.name in BOUNDS else ""
    names = f" There are: {', '.join(known)}." if known else ""
    return (
        f"\n### {key.word}\n\n{key.meaning} It wants {key.wants}{bounds}.{names}\n\n"
        f"```toml\n{key.word} = {key.example}\n```\n"
    )


def schema_text() -> str:
    return json.dumps(schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), "utf-8")
    SCHEMA.write_text(schema_text(), "utf-8")
