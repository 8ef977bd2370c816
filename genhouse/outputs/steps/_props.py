"""Temporary supports: where a body that hangs is held up, and until when."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

import numpy as np

from genhouse.model.voxels import Voxels
from genhouse.outputs.steps._contact import faces
from genhouse.outputs.steps._order import Run, Site


class Props:
    """Those of one house under construction.

    A prop is a chain of whole cells, through air that stays free in the finished house, from a piece that
    hangs to the ground or to one that stands: the shortest, downward sooner than aside.  count: of all
    bodies that were propped.
    """

    def __init__(self, site: Site, voxels: Voxels) -> None:
        self.site, self.count = site, 0
        self._sides = faces(voxels.shapes)[:, :, voxels.form].reshape(3, 2, -1)
        self._air = voxels.form.reshape(-1) == 0
        self._standing: list[tuple[int, tuple[int, ...]]] = []  # what hung, and its chain

    def put(self, first: int, hangs: list[int]) -> Iterator[Run]:
        """Hold up the body of the first of some pieces that hang; it then stands."""
        body = self._body(first, set(hangs))
        chain = self._chain(body)
        held = next((at for at in sorted(body) if not chain or self._beside(chain[0], at)), first)
        self.count += 1
        self._standing.append((held, chain))
        self.site.propped.add(held)
        self._air[list(chain)] = False  # no other prop may pass through this one
        yield from (Run(at, 1, 2) for at in reversed(chain))

    def struck(self, all_of_them: bool = False) -> Iterator[Run]:
        """What is no longer needed: what it held reaches the ground by itself."""
        if not self._standing:
            return
        free = self._grounded()
        for held, chain in list(self._standing):
            if all_of_them or held in free:
                self._standing.remove((held, chain))
                self._air[list(chain)] = True
                yield from (Run(at, 1, 2) for at in chain)

    def _body(self, first: int, hangs: set[int]) -> set[int]:
        body, todo = {first}, [first]
        while todo:
            more = [n for n in self.site.beside(todo.pop()) if n in hangs and n not in body]
            body.update(more)
            todo += more
        return body

    def _grounded(self) -> set[int]:
        """All that stands without a prop."""
        high, stands = self.site.size[2], self.site.stands
        todo = [at for at in range(0, len(stands), high) if stands[at]]
        found = set(todo)
        while todo:
            more = [n for n in self.site.beside(todo.pop()) if stands[n] and n not in found]
            found.update(more)
            todo += more
        return found

    def _chain(self, body: set[int]) -> tuple[int, ...]:
        """From a cell beside the body to one that rests on something; empty where no air leads there."""
        before: dict[int, int] = {}
        queue: deque[int] = deque()
        for at in sorted(body):
            for n in self._round(at):
                if self._air[n] and n not in before and self._beside(n, at):
                    before[n] = -1
                    queue.append(n)
        while queue:
            at = queue.popleft()
            if not at % self.site.size[2] or self._rests(at):
                chain = [at]
                while before[chain[-1]] >= 0:
                    chain.append(before[chain[-1]])
                return tuple(reversed(chain))
            for n in self._round(at):
                if self._air[n] and n not in before:
                    before[n] = at
                    queue.append(n)
        return ()

    def _rests(self, at: int) -> bool:
        return any(self.site.stands[n] and self._beside(at, n) for n in self._round(at))

    def _round(self, at: int) -> Iterator[int]:
        """The cells round one, that below it first."""
        place = np.unravel_index(at, self.site.size)
        for axis, step in ((2, -1), (0, -1), (0, 1), (1, -1), (1, 1), (2, 1)):
            if 0 <= place[axis] + step < self.site.size[axis]:
                yield at + step * self.site.stride[axis]

    def _beside(self, cell: int, piece: int) -> bool:
        """Whether a piece fills some of its side toward a cell beside it."""
        way = cell - piece
        for axis, stride in enumerate(self.site.stride):
            if abs(way) == stride:
                return bool(self._sides[axis, int(way > 0), piece])
        return False
