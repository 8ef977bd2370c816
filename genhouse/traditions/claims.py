"""What no house of a tradition has, whoever asks for it; light to import."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from genhouse.core.errors import BriefError
from genhouse.core.sentences import closest, quoted
from genhouse.model.brief import Brief
from genhouse.traditions.sense import storeys_meant

HEADS: Mapping[str, type] = {"title": str, "plan": Mapping, "kind": Mapping}
PLAN: Mapping[str, type] = {
    **dict.fromkeys(("arrangements", "gardens"), Mapping),
    **dict.fromkeys(("storeys", "courts", "outlines", "gallery"), list),
    "neighbours": bool,
}
"""What claims are made in, and of which sort each is."""


def check_claims(brief: Brief, tables: Mapping[str, Any]) -> None:
    """Raises BriefError where a brief asks for what no house of a tradition has.  tables: its own; of those
    that lack what claims are made in nothing is asked, for they are of no tradition."""
    if not (_has(tables, HEADS) and _has(tables["plan"], PLAN)):
        return
    title = str(tables["title"]).partition(":")[0].lower()
    for sentence in _unclaimed(brief, tables["plan"], title):
        raise BriefError(sentence)
    least, most = min(storeys_meant(brief, tables["kind"])), len(tables["plan"]["storeys"])
    if least > most:
        raise BriefError(
            f"storeys: it asks for what takes {least}, and a {title} has {most} at most"
        )


def _has(table: Mapping[str, Any], sorts: Mapping[str, type]) -> bool:
    return all(isinstance(table.get(key), sort) for key, sort in sorts.items())


def _unclaimed(brief: Brief, plan: Mapping[str, Any], title: str) -> Iterator[str]:
    for key, table in (("arrangement", "arrangements"), ("garden", "gardens")):
        name, known = getattr(brief, key), plan[table]
        if name is not None and name not in known:
            yield f"{key}: no {title} has {quoted(name)}; {closest(name, known)}"
    for key in ("storeys", "courts"):
        count, most = getattr(brief, key), len(plan[key])
        if count is not None and count > most:
            yield f"{key}: {count} is more than a {title} has; try {most}"
    if brief.outline is not None and not plan["outlines"]:
        yield f"outline: a {title} stands on a rectangle; leave outline out"
    elif isinstance(brief.outline, str) and brief.outline not in plan["outlines"]:
        near = closest(brief.outline, plan["outlines"])
        yield f"outline: no {title} stands on {quoted(brief.outline)}; {near}"
    if brief.sides.party and not plan["neighbours"]:
        yield f"sides: a {title} shares no wall with a neighbour; leave sides out"
    if brief.gallery and plan["gallery"][0] == 0:
        yield f"gallery: a {title} has none; leave it out"
