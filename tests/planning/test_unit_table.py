"""Tables of units against every way through a small ground, tried one by one."""

from collections.abc import Iterator
from itertools import pairwise
from random import Random

import numpy as np
import pytest

from routeplan.planning.limits import Clock
from routeplan.planning.openings import Ints
from routeplan.planning.order import Order, Visit
from routeplan.planning.remaining import INF
from routeplan.planning.unit_flow import UnitFlows
from routeplan.planning.unit_prices import priced
from routeplan.planning.unit_table import UnitGround, UnitTable, best_walk, legs_of, unit_table

YARDS, UNITS, SIZE = 3, 4, 2
SEEDS = range(40)
ROUNDS = 3
"""Most visits of the walks tried."""
Walk = tuple[tuple[int, int, int], ...]
"""(yard, units given, splits placed) of each visit."""


def ground(seed: int) -> UnitGround:
    """Three yards that give up to four units for two splits of two units each, on a truck of small places."""
    rng = Random(f"units/{seed}")
    places = np.array([(0, 0), *((rng.randint(-900, 900), rng.randint(-900, 900)) for _ in range(YARDS))])
    drive = np.abs(places[:, None, :] - places[None, :, :]).sum(axis=2)
    steps = np.array([[rng.randint(50, 400) for _ in range(UNITS)] for _ in range(YARDS)])
    least = np.hstack([np.zeros((YARDS, 1), dtype=np.int64), np.cumsum(steps, axis=1)])
    for y in range(YARDS):
        least[y, rng.randint(1, UNITS) + 1 :] = INF
    room = np.array([rng.randint(0, SIZE) for _ in range(YARDS)])
    due = np.minimum(room, np.array([rng.randint(0, 1) for _ in range(YARDS)]))
    given, placed = UNITS - np.arange(UNITS + 1)[:, None], SIZE - np.arange(SIZE + 1)[None, :]
    down = placed * 2 <= given
    holds = np.maximum((given + 1) // 2, placed) - placed <= rng.choice((1, 2))
    carry = np.array([rng.choice((0, 0, 60)) for _ in range(YARDS)])
    return UnitGround(drive, least, room, carry, due, 300, 100, down, holds)


def walks(of: UnitGround) -> Iterator[tuple[Walk, int]]:
    """Every way to give all units and place all splits, no yard beyond what it holds, and its seconds."""
    waiting: list[tuple[Walk, int, int, int]] = [((), 0, 0, 0)]
    while waiting:
        walk, seconds, given, placed = waiting.pop()
        at = walk[-1][0] + 1 if walk else 0
        if (given, placed) == (UNITS, SIZE):
            if all(sum(r for z, _, r in walk if z == y) >= of.due_to[y] for y in range(YARDS)):
                yield walk, seconds + int(of.drive[at, 0])
            continue
        for y in range(YARDS) if len(walk) < ROUNDS else ():
            if y + 1 == at:
                continue
            gave, took = (sum(step[i] for step in walk if step[0] == y) for i in (1, 2))
            for r in range(min(int(of.room[y]) - took, SIZE - placed) + 1):
                for q in range(min(int(of.most[y]) - gave, UNITS - given) + 1):
                    here = (UNITS - given - q, SIZE - placed - r)
                    down = of.down[UNITS - given, SIZE - placed - r]
                    if (q or r) and down and of.holds[here]:
                        more = of.drive[at, y + 1] + r * of.carry[y] + of.least[y, q]
                        more += of.opening if q else of.placing
                        waiting.append(((*walk, (y, q, r)), seconds + int(more), given + q, placed + r))


def _counts(of: UnitGround, walk: Walk) -> int:
    """What a walk counts, visit by visit."""
    at, seconds = 0, 0
    for y, q, r in walk:
        seconds += int(of.drive[at, y + 1] + r * of.carry[y] + of.least[y, q])
        seconds += of.opening if q else of.placing
        at = y + 1
    return seconds + int(of.drive[at, 0])


def order_of(walk: Walk) -> Order:
    """The visits of a walk."""
    return tuple(Visit(y, q > 0) for y, q, _ in walk)


def followed(table: UnitTable, order: Order) -> tuple[list[int], int]:
    """What an order may lead to by its flow after each visit, and what it counts if it ends there."""
    flows, flow, road, at, bounds = UnitFlows(table), UnitFlows(table).start(), 0, 0, [table.root]
    for i, visit in enumerate(order):
        road += int(table.ground.drive[at, visit.yard + 1])
        road += table.ground.opening if visit.opens else table.ground.placing
        at = visit.yard + 1
        making, placing = flows.next(flow, 0 if not i else order[i - 1].yard + 1, INF)
        here = (making if visit.opens else placing)[visit.yard]
        start = road - (table.ground.opening if visit.opens else table.ground.placing)
        bounds.append(start + int(here))
        flow = flows.within(flows.extend(flow, visit, True), order[: i + 1])
        bounds.append(road + flows.to_come(flow, at))
    return bounds, road + flows.whole(flow) + int(table.ground.drive[at, 0])


@pytest.mark.parametrize("seed", SEEDS)
def test_no_way_counts_less_than_the_table(seed: int) -> None:
    of = ground(seed)
    plain = unit_table(of)
    least = min((seconds for _, seconds in walks(of)), default=INF)
    assert plain.root <= least
    sharper = priced(plain, min(least, 20_000) + 1, 12, Clock(20.0))
    assert plain.root <= sharper.root <= least


@pytest.mark.parametrize("seed", SEEDS)
def test_the_best_walk_counts_what_the_table_says(seed: int) -> None:
    table = unit_table(ground(seed))
    walk = best_walk(table)
    legs = legs_of(table.ground.drive, table.ground.opening)
    between = sum(int(legs[y + 1, z]) for (y, _, _), (z, _, _) in pairwise(walk) if y == z)
    if table.root < INF:
        assert _counts(table.ground, tuple(walk)) + between == table.root
        assert (sum(q for _, q, _ in walk), sum(r for _, _, r in walk)) == (UNITS, SIZE)


@pytest.mark.parametrize("seed", SEEDS)
def test_flows_bound_every_way_they_follow(seed: int) -> None:
    of, rng = ground(seed), Random(seed)
    given: Ints = np.array([rng.randint(0, 80) for _ in range(YARDS)])
    placed: Ints = np.array([rng.randint(0, 80) for _ in range(YARDS)])
    for table in (unit_table(of), unit_table(of, given, placed)):
        for walk, seconds in walks(of):
            bounds, whole = followed(table, order_of(walk))
            assert max(bounds) <= seconds
            assert whole <= seconds


def test_some_ground_has_a_way_and_prices_help() -> None:
    """The comparisons above are not empty: most grounds can be gone over, and prices raise some bounds."""
    roots, sharper = [], []
    for seed in SEEDS:
        table = unit_table(ground(seed))
        least = min((seconds for _, seconds in walks(table.ground)), default=INF)
        if least < INF:
            roots.append(table.root)
            sharper.append(priced(table, least + 1, 12, Clock(20.0)).root)
    assert len(roots) >= 20
    assert sum(a < b for a, b in zip(roots, sharper, strict=True)) >= 3
