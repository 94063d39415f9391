"""Prices on units given and splits placed, by subgradient steps on the table's own best walk.

As in `multipliers.py`: a table that forgets yards uses the best of them again and again; prices given back
once for all that a yard gives and takes keep the bound valid and make such walks dear.
"""

import numpy as np

from routeplan.planning.limits import Clock
from routeplan.planning.multipliers import outside
from routeplan.planning.remaining import INF
from routeplan.planning.unit_table import UnitTable, best_walk, unit_table

PATIENCE = 3


def priced(table: UnitTable, below_s: int, steps: int, clock: Clock) -> UnitTable:
    """Return the table with the best multipliers found within so many steps, from one at hand.

    `below_s`: seconds of the best plan known, without constants, to size the steps.
    """
    ground = table.ground
    given, placed = table.given_price.astype(float), table.placed_price.astype(float)
    best, size, since = table, 1.0, 0
    room, none = np.minimum(ground.room, ground.size), np.zeros(ground.yards, dtype=np.int64)
    for _ in range(steps):
        if best.root >= min(below_s, INF // 2) or clock.over():
            break
        use_given, use_placed = np.zeros((2, ground.yards), dtype=np.int64)
        for z, q, r in best_walk(table):
            use_given[z] += q
            use_placed[z] += r
        over_given = outside(use_given, none, ground.most, given)
        over_placed = outside(use_placed, ground.due_to, room, placed)
        norm = float((over_given**2).sum() + (over_placed**2).sum())
        if norm == 0:
            break
        step = size * max(60, min(below_s, 2 * best.root) - table.root) / norm
        given = np.maximum(0, given + step * over_given)
        placed = np.where(
            ground.due_to > 0, placed + step * over_placed, np.maximum(0, placed + step * over_placed)
        )
        try:
            table = unit_table(
                ground, np.rint(given).astype(np.int64), np.rint(placed).astype(np.int64), clock
            )
        except TimeoutError:
            break
        if table.root > best.root:
            best, since = table, 0
        else:
            since += 1
            if since >= PATIENCE:
                size, since = size / 2, 0
    return best
