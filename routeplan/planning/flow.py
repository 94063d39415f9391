"""Splits made and placed along a partial order, visit by visit, and the bound that follows.

Where the truck cannot hold all splits at once it matters when they are made and placed. A flow keeps, for
every number of splits made and placed by now, the least seconds of making and placing at the visits so far,
multipliers included, and leaves out what the truck does not hold. With a table that holds the same
multipliers it bounds every completion, and never falls from one visit to the next.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.order import Visit
from routeplan.planning.remaining import INF, Ground, Ints, Remaining, with_price


@dataclass(frozen=True)
class Flow:
    """Least seconds by (made, placed) after a visit, shape (2, size + 1, size + 1).

    Row 0: whatever is aboard; row 1: all that is aboard was made at the last yard, the one at `last`.
    `cells_s`: the least that ripe cells placed by now have cost, INF when none can have been.
    """

    seconds: Ints
    last: int
    cells_s: int


class Flows:
    """Flows on one ground with one table and what the truck holds, `holds[m, p]` (None: all)."""

    def __init__(self, ground: Ground, table: Remaining, holds: NDArray[np.bool_] | None) -> None:
        self.ground, self.table = ground, table
        self.least = with_price(ground, table.made_price)
        self.box = ground.carry + table.placed_price
        self.most = ground.most
        n = ground.size
        made, placed = np.meshgrid(np.arange(n + 1), np.arange(n + 1), indexing="ij")
        self.never = placed > made
        if holds is not None:
            self.never |= ~holds[n - made, n - placed]
        self.back_s = int(table.leave[0, 0, n, n]) - table.root(ground)

    def start(self) -> Flow:
        """At home: nothing made, nothing placed."""
        n = self.ground.size
        seconds = np.full((2, n + 1, n + 1), INF, dtype=np.int64)
        seconds[0, 0, 0] = 0
        return Flow(seconds, 0, INF)

    def extend(self, flow: Flow, visit: Visit, most_placed: int, able: NDArray[np.bool_] | None) -> Flow:
        """Return the flow after one more visit.

        Parameters
        ----------
        most_placed : splits that can be placed at its yard by now.
        able : whether so many can be made and placed by then, [made, placed] or [made, 0]; None: not known.
        """
        y, ground = visit.yard, self.ground
        anything, alone = flow.seconds
        near = flow.last > 0 and not ground.far[flow.last - 1, y]
        placed = self._placed(anything if near else np.minimum(anything, alone), y, most_placed)
        if visit.opens:
            stay = np.minimum(anything, alone)
            here = np.minimum(placed, stay)
            cleared = np.full_like(here, INF)
            np.fill_diagonal(cleared, here.diagonal())
            here = here.copy()
            np.fill_diagonal(here, INF)
            after = np.stack([self._made(here, y), self._made(cleared, y)])
        else:
            after = np.stack([placed, np.full_like(placed, INF)])
        after[:, self.never] = INF
        if able is not None:
            after = np.where(able, after, INF)
        cells_s = min(flow.cells_s, int(ground.cell[y]) if most_placed else INF)
        return Flow(after, y + 1, cells_s)

    def _placed(self, seconds: Ints, y: int, most: int) -> Ints:
        """At least one split placed."""
        after = np.full_like(seconds, INF)
        for r in range(1, min(most, int(self.ground.room[y])) + 1):
            cost = r * int(self.box[y]) + int(self.ground.receive[y, r])
            np.minimum(after[:, r:], seconds[:, :-r] + cost, out=after[:, r:])
        after[np.tri(len(after), k=-1, dtype=bool).T] = INF
        return np.asarray(np.minimum(after, INF))

    def _made(self, seconds: Ints, y: int) -> Ints:
        """At least one split made."""
        after = np.full_like(seconds, INF)
        for q in range(1, int(self.most[y]) + 1):
            np.minimum(after[q:], seconds[:-q] + self.least[y, q], out=after[q:])
        return np.asarray(np.minimum(after, INF))

    def to_come(self, flow: Flow, state: int) -> int:
        """Least seconds of the flow and of all that comes after leaving its last yard."""
        n = self.ground.size
        best = INF * 2
        for seconds, table in zip(flow.seconds, (self.table.leave, self.table.alone), strict=True):
            j, d = np.nonzero(seconds < INF)
            if len(j):
                for bit, cells_s in self._cells(flow):
                    rest = table[flow.last, state | bit, n - j, n - d]
                    best = min(best, int((seconds[j, d] + rest).min()) + cells_s)
        return best - self.back_s

    def next(self, flow: Flow, states: Ints) -> tuple[Ints, Ints]:
        """Least seconds from leaving the last yard by the next yard, with and without hives opened there,
        its drive left out; `states` (yards,) what a walk remembers on arriving there."""
        n, z = self.ground.size, np.arange(self.ground.yards)[None, :]
        seconds = flow.seconds.min(axis=0)
        j, d = np.nonzero(seconds < INF)
        best = np.full((2, self.ground.yards), 2 * INF, dtype=np.int64)
        if len(j):
            m, p, spent = (n - j)[:, None], (n - d)[:, None], seconds[j, d][:, None]
            for bit, cells_s in self._cells(flow):
                state = states[None, :] | bit
                for row, table in enumerate((self.table.making, self.table.placing)):
                    least = (spent + table[m, p, z, state]).min(axis=0) + cells_s
                    best[row] = np.minimum(best[row], least)
        best -= self.back_s
        return best[0], best[1]

    def _cells(self, flow: Flow) -> list[tuple[int, int]]:
        """Bits of the table's state and seconds: no ripe cells placed by now, or some."""
        if not self.ground.cells:
            return [(0, 0)]
        ways = [(0, 0)]
        if flow.cells_s < INF:
            ways.append((1 << self.table.memory.bits, flow.cells_s))
        return ways
