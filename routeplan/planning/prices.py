"""Prices on batches, so that a table that counts splits alike still knows that each kit is asked for.

The table makes the cheapest kit everywhere; a price paid for every split of a batch, and taken back for as
many as are asked for, makes it make all kits (Lagrangian relaxation, subgradient steps).
"""

import numpy as np

from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.multipliers import best_walk
from routeplan.planning.remaining import INF, Ints, remaining
from routeplan.planning.yields import convolve

STEPS = 30


def taken_back(case: Case, prices: Ints) -> int:
    """Least sum of prices over the splits of any allowed choice of batches (by line prices)."""
    totals = dict(case.demand.totals)
    by_priority: dict[int, list[tuple[int, int]]] = {}
    for k, line in enumerate(case.demand.lines):
        batch = case.demand.batches[line.batch]
        by_priority.setdefault(batch.priority, []).append((int(prices[k]), line.batch))
    total = 0
    for priority, offers in by_priority.items():
        left, caps = totals.get(priority, 0), {b: case.demand.cap(b) for _, b in offers}
        for price, b in sorted(offers):
            n = min(left, caps[b])
            caps[b] -= n
            left -= n
            total += n * price
    return total


def line_prices(case: Case, clock: Clock, below_s: int) -> Ints:
    """Return prices by line, the same for all lines of a batch; zeros when there is one batch only."""
    lines = case.demand.lines
    prices = np.zeros(len(lines), dtype=np.int64)
    if len(case.demand.batches) < 2:
        return prices
    by_batch = np.zeros(len(case.demand.batches))
    of = np.array([line.batch for line in lines])
    wanted = np.array([case.demand.cap(b) for b in range(len(by_batch))])
    best_root, size, since = -INF, 1.0, 0
    for _ in range(STEPS):
        if clock.over():
            break
        now = np.rint(by_batch[of]).astype(np.int64)
        ground = case.ground(now)
        table = remaining(ground)
        root = table.root(ground) + taken_back(case, now)
        if root > best_root:
            best_root, prices, since = root, now, 0
        else:
            since += 1
            if since >= 4:
                size, since = size / 2, 0
        if root >= below_s:
            break
        used = _by_batch(case, [(z, q) for z, q, _ in best_walk(ground, table)], now)
        short = wanted - used
        norm = float((short**2).sum())
        if norm == 0:
            break
        by_batch = by_batch + size * max(60, min(below_s, 1.3 * best_root) - root) / norm * short
    return prices


def _by_batch(case: Case, made: list[tuple[int, int]], prices: Ints) -> Ints:
    """Splits of each batch in the cheapest mixes of what each visit makes (yard, splits)."""
    used = np.zeros(len(case.demand.batches), dtype=np.int64)
    for y, left in made:
        priced = [one.priced(prices, case.size) for one in case.twice[y]]
        tables = [np.where(np.arange(case.size + 1) == 0, 0, INF)]
        for row in priced:
            tables.append(convolve(tables[-1], row))
        for one, row, before in reversed(list(zip(case.twice[y], priced, tables[:-1], strict=True))):
            q = int(np.argmin(before[: left + 1][::-1] + row[: left + 1]))
            left -= q
            if q and not one.merged:
                mine = np.flatnonzero(one.mixes.sum(axis=1) == q)
                value = one.seconds[mine] - one.mixes[mine] @ prices[list(one.lines)]
                for k, n in zip(one.lines, one.mixes[mine[int(value.argmin())]], strict=True):
                    used[case.demand.lines[k].batch] += int(n)
            elif q:
                used[case.demand.lines[one.lines[0]].batch] += q
    return used
