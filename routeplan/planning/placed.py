"""What may have been placed by now in a partial order, and the least that this costs its yards.

How many splits each visited yard receives is open; receiving has costs that come once a yard (trips in the
weeks after). So all numbers of splits placed by now are kept with their least costs, but for those
another one makes needless.
"""

from dataclasses import dataclass, field

import numpy as np

from routeplan.planning.remaining import INF, Ground, Ints
from routeplan.planning.yields import convolve

Place = tuple[int, int, bool]
"""A visited yard, the most it can have received by now, and whether it must have received a split."""


@dataclass(frozen=True)
class Down:
    """Numbers of splits placed, least seconds that costs, whether ripe cells are among them (0 or 1).

    `all_s`: the least seconds with all splits placed, INF when they cannot be.
    """

    splits: Ints
    seconds: Ints
    cells: Ints
    all_s: int


@dataclass
class Placed:
    """Costs of receiving, by what may have been placed where."""

    ground: Ground
    known: dict[tuple[Place, ...], Down] = field(default_factory=dict)

    def __post_init__(self) -> None:
        steps = self.ground.receive[:, 1:-1] - self.ground.receive[:, 2:]
        self.drop = max(0, int(steps.max(initial=0)))

    def by_now(self, places: tuple[Place, ...]) -> Down:
        """Return what may have been placed at the yards visited so far."""
        if places not in self.known:
            self.known[places] = self._by_now(places)
        return self.known[places]

    def _by_now(self, places: tuple[Place, ...]) -> Down:
        n = self.ground.size
        tables = [np.where(np.arange(n + 1) == 0, 0, INF), np.full(n + 1, INF, dtype=np.int64)]
        for y, most, forced in places:
            cost = np.full(n + 1, INF, dtype=np.int64)
            cost[: most + 1] = self.ground.receive[y, : most + 1]
            some = cost.copy()
            some[0] = INF
            here = some if forced else cost
            with_cells = convolve(tables[1], here)
            if self.ground.cells:
                first = convolve(tables[0], some) + self.ground.cell[y]
                with_cells = np.minimum(with_cells, np.minimum(first, INF))
            tables = [convolve(tables[0], here), with_cells]
        elsewhere = np.delete(self.ground.due_to, [y for y, *_ in places])
        return self._kept(tables, bool(elsewhere.any()))

    def _kept(self, tables: list[Ints], waits: bool) -> Down:
        """Leave out what another number placed makes needless: more placed, and no dearer even if one split
        fewer in a yard costs more.

        Not so while a yard `waits` for splits that must go there, or for ripe cells: what comes later needs
        splits that are not placed yet.
        """
        splits, seconds, cells = [], [], []
        best, last_bit = INF, int(self.ground.cells)
        for d in range(len(tables[0]) - 1, -1, -1):
            for bit in (1, 0) if last_bit else (0,):
                cost = int(tables[bit][d])
                if cost < INF and (waits or cost + self.drop * d < best):
                    splits.append(d)
                    seconds.append(cost)
                    cells.append(bit)
                if cost < INF and bit == last_bit:
                    best = min(best, cost + self.drop * d)
        last = tables[last_bit]
        return Down(np.array(splits), np.array(seconds), np.array(cells), int(last[-1]))
