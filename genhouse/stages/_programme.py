"""Which room goes where: kinds are seated in slots by a scored local search."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.traditions.loader import Kind, Tradition


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A place for a room.  depth: 0 at the gate to 10 at the far end.  court: it has a veranda."""

    rect: Rect
    depth: int
    court: bool
    neighbours: tuple[int, ...]


def choose_kinds(tradition: Tradition, level: int, count: int, draw: Draw) -> list[str]:
    """The programme of one storey: what each house needs, then further rooms in a drawn order."""
    kinds = [(name, kind) for name, kind in tradition.kinds if kind.level == level]
    kinds = [(name, kind) for name, kind in kinds if name not in ("entry", "stairhall")]
    needed = [name for name, kind in kinds if kind.need for _ in range(kind.need)]
    further = [name for name, kind in kinds for _ in range(kind.most - kind.need)]
    programme = needed + draw.shuffled(further, "further rooms")
    while len(programme) < count:
        programme.append(draw.choice([name for name, _ in kinds[-2:]], f"more {len(programme)}"))
    return programme[:count]


def seat(slots: Sequence[Slot], programme: Sequence[str], tradition: Tradition) -> tuple[str, ...]:
    """Assign one kind to each slot so that the score is a local maximum under swaps.

    The result depends on the order of programme and slots only.
    """
    kinds = dict(tradition.kinds)
    fit = [[_fit(slot, kinds[name]) for name in programme] for slot in slots]
    like = [
        [_like(programme, kinds, a, b) for b in range(len(programme))]
        for a in range(len(programme))
    ]
    seated = list(range(len(slots)))

    def worth(s: int) -> int:
        return fit[s][seated[s]] + sum(like[seated[s]][seated[n]] for n in slots[s].neighbours)

    better = True
    while better:
        better = False
        for a in range(len(slots)):
            for b in range(a + 1, len(slots)):
                before = worth(a) + worth(b)
                seated[a], seated[b] = seated[b], seated[a]
                if worth(a) + worth(b) > before:
                    better = True
                else:
                    seated[a], seated[b] = seated[b], seated[a]
    return tuple(programme[k] for k in seated)


def _fit(slot: Slot, kind: Kind) -> int:
    least, best, most = kind.area
    area = slot.rect.area
    size = -abs(area - best) if least <= area <= most else -40 - abs(area - best)
    place = -3 * abs(slot.depth - kind.depth)
    return size + place + (0 if slot.court or kind.floor == "flag" else -25)


def _like(programme: Sequence[str], kinds: dict[str, Kind], a: int, b: int) -> int:
    one, other = programme[a], programme[b]
    near = (other in kinds[one].near) + (one in kinds[other].near)
    far = (other in kinds[one].far) + (one in kinds[other].far)
    return 15 * near - 15 * far
