"""Trips the day after for ripe cells: what all of them count at least, by a yard they are placed at."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from routeplan.operation.world import Order
from routeplan.planning.after import NEVER_S, AfterCosts
from routeplan.planning.case import case_of
from tests.planning.make import DAY_ALONE, ONE, hive, operation, yard


def costs(trip_s: np.ndarray) -> AfterCosts:
    """Yards where nothing counts but these trips."""
    none = np.zeros_like(trip_s)
    alone = np.zeros(len(trip_s), dtype=bool)
    return AfterCosts(trip_s, none, none, none, none, none, alone, 0, 0, 0, 0)


def tried(trip_s: np.ndarray, room: np.ndarray, cells: int, yard: int) -> int:
    """Least of all sets of yards with this one and room for all cells."""
    yards = [z for z in range(len(room)) if room[z]]
    sets = [of for n in range(1, len(yards) + 1) for of in combinations(yards, n) if yard in of]
    return min((int(trip_s[list(of)].sum()) for of in sets if room[list(of)].sum() >= cells), default=NEVER_S)


def test_trips_for_cells_against_every_set_of_yards() -> None:
    several = 0
    for seed in range(200):
        rng = np.random.default_rng(seed)
        yards, cells = int(rng.integers(1, 7)), int(rng.integers(1, 9))
        trip_s, room = rng.integers(1, 500, yards), rng.integers(0, 7, yards)
        found = costs(trip_s).cells_s(room, cells)
        for y in np.flatnonzero(room):
            assert found[y] == tried(trip_s, room, cells, int(y)), (seed, y)
            several += trip_s[y] < found[y] < NEVER_S
    assert several > 200


def test_without_cells_no_trip_counts() -> None:
    assert not costs(np.array([100, 200])).cells_s(np.array([3, 3]), 0).any()


@pytest.mark.parametrize(("cells", "others", "priority", "fewer", "least"), [
    (3, 2, 1, 0, 3),  # all are placed
    (3, 2, 1, 1, 2),  # one is not: it may be one with a cell
    (3, 2, 1, 4, 0),
    (3, 2, 2, 3, 2),  # the others are of another priority
])  # fmt: skip
def test_how_many_cells_every_plan_places(
    cells: int, others: int, priority: int, fewer: int, least: int
) -> None:
    kit = replace(ONE, name="another")
    orders = (
        Order("A", cells, ONE.name, "ripe cell", priority=1),
        Order("B", others, kit.name, "mated", priority=priority),
    )
    yards = (yard("Y", 3.0, room=0), yard("Z1", 12.0, room=1), yard("Z2", 22.0, room=9))
    hives = tuple(hive(f"H{n}") for n in range(6))
    day = operation(yards, hives, orders, settings=DAY_ALONE)
    case = case_of(replace(day, kits=(ONE, kit)))
    totals = case.demand.asked
    totals[1] -= fewer if priority == 1 else fewer - 2
    found = case.wanting(totals).cells_s(case.room)
    trip_s = case.after.cell_s
    assert found[2] == (trip_s[2] if least else 0)
    assert found[1] == (trip_s[1] + (trip_s[2] if least > 1 else 0) if least else 0)
