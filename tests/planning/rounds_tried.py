"""Small grounds at random, and the least bare seconds of a round on one by trying all rounds.

Bare: drive, set-up, making, placing and receiving; no clock. What a yard makes at two visits takes at least
what each takes alone, and what all of it takes at once; what it receives is charged once, for all together.
"""

from itertools import product

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.remaining import INF, Ground

Counts = tuple[int, ...]
"""Splits by yard."""
Visit = tuple[int, int, int]
"""A yard, splits made there, splits placed there."""


def random_ground(rng: np.random.Generator, yards: int, size: int, cells: bool, few: bool) -> Ground:
    """Yards in a square, some of which make or take few; receiving costs, by `few` the less the more.

    Fixed rows need some yards.
    """
    at = rng.integers(0, 3000, (yards + 1, 2))
    drive = 100 + np.rint(np.hypot(*(at[:, None, :] - at[None, :, :]).transpose(2, 0, 1))).astype(np.int64)
    np.fill_diagonal(drive, 0)
    least = np.cumsum(rng.integers(200, 900, (yards, size + 1)), axis=1)
    least[:, 0] = 0
    for y in range(yards):
        least[y, rng.integers(1, size + 2) :] = INF
    least[rng.integers(0, yards), 1:] = INF
    far = rng.random((yards, yards)) < 0.8
    np.fill_diagonal(far, False)
    once = rng.integers(0, 2000, yards)[:, None] * (rng.random(yards) < 0.7)[:, None]
    falling = 400 * np.arange(size, -1, -1)[None, :] * few * (rng.random(yards) < 0.7)[:, None]
    receive = np.where(np.arange(size + 1)[None, :] > 0, once + falling, 0)
    nothing, room = np.zeros(yards, dtype=np.int64), rng.integers(0, size + 1, yards)
    most = np.where(least < INF, np.arange(size + 1)[None, :], 0).max(axis=1)
    fixed_from, fixed_to = (rng.random((2, yards)) < 0.15).astype(np.int64)
    return Ground(
        drive=drive,
        least=least,
        room=room,
        carry=rng.integers(0, 200, yards),
        receive=receive.astype(np.int64),
        cell=rng.integers(100, 2000, yards) if cells else nothing,
        far=far,
        due_from=np.clip(size - (most.sum() - most), np.minimum(fixed_from, most), most),
        due_to=np.clip(size - (room.sum() - room), np.minimum(fixed_to, room), room),
        opening=int(rng.integers(300, 900)),
        placing=int(rng.integers(0, 300)),
    )


class Rounds:
    """All rounds on a ground, no yard visited more than twice; `holds[m, p]` as the tables have it."""

    def __init__(self, ground: Ground, holds: NDArray[np.bool_] | None = None) -> None:
        self.ground, self.holds = ground, holds
        self.best = INF
        self.walk: list[Visit] = []
        self.best_walk: list[Visit] = []

    def least_s(self) -> int:
        """Least bare seconds to make and place all splits, INF where that cannot be."""
        nothing = (0,) * self.ground.yards
        if self._held(self.ground.size, self.ground.size):
            self._go(0, 0, nothing, nothing, nothing, nothing)
        return self.best

    def _held(self, to_make: int, to_place: int) -> bool:
        return self.holds is None or bool(self.holds[to_make, to_place])

    def _go(
        self, at: int, spent: int, visits: Counts, made: Counts, aboard: Counts, received: Counts
    ) -> None:
        """Try all that may come after a visit; `aboard` is by the yard the splits were made at."""
        ground = self.ground
        if spent + self._receiving(received) >= self.best:
            return
        if sum(received) == ground.size:
            if (ground.due_from > made).any() or (ground.due_to > received).any():
                return
            total = spent + int(ground.drive[at, 0]) + self._receiving(received)
            if total < self.best:
                self.best, self.best_walk = total, list(self.walk)
            return
        for z in range(ground.yards):
            if z + 1 != at and visits[z] < 2:
                leg = int(ground.drive[at, z + 1])
                for placed in self._placings(z, aboard, received):
                    for q in range(ground.size - sum(made) + 1):
                        self._visit(z, q, placed, spent + leg, visits, made, aboard, received)

    def _visit(
        self,
        z: int,
        q: int,
        placed: Counts,
        spent: int,
        visits: Counts,
        made: Counts,
        aboard: Counts,
        received: Counts,
    ) -> None:
        ground, before = self.ground, made[z]
        if not (q or any(placed)) or before + q > ground.size or ground.least[z, before + q] >= INF:
            return
        spent += ground.opening if q else ground.placing
        spent += max(int(ground.least[z, q]), int(ground.least[z, before + q] - ground.least[z, before]))
        spent += int(ground.carry[z]) * sum(placed)
        made, received = _more(made, z, q), _more(received, z, sum(placed))
        aboard = _more(tuple(a - p for a, p in zip(aboard, placed, strict=True)), z, q)
        if self._held(ground.size - sum(made), ground.size - sum(received)):
            self.walk.append((z, q, sum(placed)))
            self._go(z + 1, spent, _more(visits, z, 1), made, aboard, received)
            self.walk.pop()

    def _placings(self, z: int, aboard: Counts, received: Counts) -> list[Counts]:
        """What may be placed at a yard of what is aboard, by where it was made."""
        room = int(self.ground.room[z]) - received[z]
        most = [n if self.ground.far[y, z] else 0 for y, n in enumerate(aboard)]
        return [placed for placed in product(*(range(n + 1) for n in most)) if sum(placed) <= room]

    def _receiving(self, received: Counts) -> int:
        """Seconds that receiving costs, the cheapest yard with the ripe cell that must be placed."""
        cost = sum(int(self.ground.receive[z, r]) for z, r in enumerate(received))
        if self.ground.cells and any(received):
            cost += min(int(self.ground.cell[z]) for z, r in enumerate(received) if r)
        return cost


def _more(counts: Counts, z: int, n: int) -> Counts:
    return (*counts[:z], counts[z] + n, *counts[z + 1 :])
