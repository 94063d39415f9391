"""Multipliers that make using a yard again dear, by subgradient steps on the table's own best walk.

The table of what remains lets a walk use the same yard again and again. A price on every split made at a
yard, given back once for all the yard can make, keeps the bound valid and makes such walks dear; likewise
room.
"""

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.limits import Clock
from routeplan.planning.remaining import INF, Ground, Ints, Memory, Remaining, remaining, with_price

STEPS = 40
PATIENCE = 5


def best_walk(ground: Ground, table: Remaining) -> list[tuple[int, int, int]]:
    """Return the table's best walk from home: (yard, splits made, splits placed) of each visit."""
    steps = []
    box = ground.carry + table.placed_price
    least = with_price(ground, table.made_price)
    y, m, p, s, alone = 0, ground.size, ground.size, 0, False
    at = np.arange(ground.yards)
    while p:
        state = table.memory.carried[y, s]
        arrive = np.minimum(table.making[m, p, at, state], _placing_only(ground, table, box, m, p, state))
        if alone:
            stay = table.made_here[at, state, m, p] + ground.opening
            arrive = np.where(ground.far[y - 1], arrive, stay)
        legs = ground.drive[y, 1:] + arrive
        if y:
            legs[y - 1] = INF
        z = int(legs.argmin())
        may_place = not alone or bool(ground.far[y - 1, z])
        q, r, s = _at_yard(ground, table, least, box, z, int(state[z]), m, p, may_place)
        steps.append((z, q, r))
        y, m, p = z + 1, m - q, p - r
        alone = q > 0 and p == m + q
    return steps


def _placing_only(ground: Ground, table: Remaining, box: Ints, m: int, p: int, state: Ints) -> Ints:
    """Set-up for placing, some splits placed and what comes after, by yard."""
    best = np.full(ground.yards, INF, dtype=np.int64)
    at = np.arange(ground.yards)
    after = table.memory.placed[at, table.memory.received[at, state]]
    room = np.where(table.memory.full[at, state], 0, ground.room)
    for r in range(1, p - m + 1):
        to_come = table.leave[at + 1, after, m, p - r]
        if table.memory.cells:
            celled = table.memory.with_cells[after]
            to_come = np.minimum(to_come, table.leave[at + 1, celled, m, p - r] + ground.cell)
        value = to_come + r * box + ground.receive[:, r] + ground.placing
        np.minimum(best, np.where(room >= r, value, INF), out=best)
    return best


def _at_yard(
    ground: Ground, table: Remaining, least: Ints, box: Ints, z: int, s: int, m: int, p: int, may_place: bool
) -> tuple[int, int, int]:
    """Return (made, placed, state after) of the table's best choice at yard z."""
    best, choice = INF * 10, (0, 0, s)
    most = min(int(ground.room[z]), p - m) if may_place and not table.memory.full[z, s] else 0
    then_s = int(table.memory.received[z, s])
    cells = {then_s: 0}
    if table.memory.cells:
        cells[int(table.memory.with_cells[then_s])] = int(ground.cell[z])
    for r in range(most + 1):
        for state, cell_s in cells.items() if r else ((s, 0),):
            spent = r * int(box[z]) + int(ground.receive[z, r]) + (cell_s if state != then_s else 0)
            if r:
                after = int(table.memory.placed[z, state])
                value = int(table.leave[z + 1, after, m, p - r]) + spent + ground.placing
                if value < best:
                    best, choice = value, (0, r, after)
            then = table.alone if p - r == m else table.leave
            after = int(table.memory.made[z, state])
            for q in range(1, m + 1 if not table.memory.again[z, s] else 1):
                value = int(least[z, q]) + int(then[z + 1, after, m - q, p - r]) + spent + ground.opening
                if value < best:
                    best, choice = value, (q, r, after)
    return choice


def multiplied(
    ground: Ground,
    below_s: int,
    clock: Clock,
    steps: int = STEPS,
    holds: NDArray[np.bool_] | None = None,
    begin: tuple[Ints, Ints] | None = None,
    memory: Memory | None = None,
) -> Remaining | None:
    """Return the table with the best multipliers found; None when there is no time for one.

    Parameters
    ----------
    below_s : paid seconds (without constants) of the best plan known, to size the steps.
    holds : whether the truck holds what is aboard, as the tables take it.
    begin : multipliers to begin with, for splits made and placed.
    memory : what the table remembers; None: nothing but what must be done.
    """
    made, placed = (np.zeros(ground.yards) if begin is None else begin[i].astype(float) for i in (0, 1))
    best: Remaining | None = None
    best_root, size, since = -INF, 1.0, 0
    for _ in range(steps):
        if clock.over():
            break
        prices = (np.rint(made).astype(np.int64), np.rint(placed).astype(np.int64))
        table = remaining(ground, *prices, memory, holds=holds)
        root = table.root(ground)
        if root > best_root:
            best, best_root, since = table, root, 0
        else:
            since += 1
            if since >= PATIENCE:
                size, since = size / 2, 0
        if root >= INF // 2 or root >= below_s:
            break
        use_made, use_placed = np.zeros((2, ground.yards), dtype=np.int64)
        for z, q, r in best_walk(ground, table):
            use_made[z] += q
            use_placed[z] += r
        over_made = outside(use_made, ground.due_from, ground.most, made)
        over_placed = outside(use_placed, ground.due_to, ground.room, placed)
        norm = float((over_made**2).sum() + (over_placed**2).sum())
        if norm == 0:
            break
        step = size * max(60, min(below_s, 2 * best_root) - root) / norm
        made = np.where(ground.due_from > 0, made + step * over_made, np.maximum(0, made + step * over_made))
        placed = np.where(
            ground.due_to > 0, placed + step * over_placed, np.maximum(0, placed + step * over_placed)
        )
    return best


def outside(use: Ints, low: Ints, high: Ints, price: np.ndarray) -> Ints:
    """How far a use lies over its most (price > 0) or under its least (price < 0); at price 0 both."""
    over, under = use - high, use - low
    return np.where(price > 0, over, np.where(price < 0, under, np.maximum(over, 0) + np.minimum(under, 0)))
