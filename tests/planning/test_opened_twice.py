"""Orders that open the hives of a yard at two visits, on days short of truck places and hours: no bound on
the way, of a partial order or of a visit more, is above what the order counts."""

from dataclasses import replace
from functools import cache
from random import Random

import numpy as np
import pytest

from routeplan.operation.world import Crew, Operation
from routeplan.operation.world import Order as Asked
from routeplan.planning.attempt import Attempt
from routeplan.planning.case import Case, case_of
from routeplan.planning.flow import Flows
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Visit
from routeplan.planning.possible import most_possible
from routeplan.planning.remaining import remaining
from routeplan.planning.rounds import Search
from tests.planning.make import ONE, east, one_kit_hive, operation, yard
from tests.planning.proved import FAR, PLANNING_SECONDS, judged, search_of
from tests.planning.test_judge_exact import idle, sound

SEEDS = range(300)
WAYS = ("plain tables", "tables that know the truck", "flows")


def quiet(stage: str, best: int | None, bound: int | None) -> None:
    """Tell nobody."""


def short_day(rng: Random) -> Operation:
    """Two donors' yards with three or four hives, each good for one split; two new yards with little room."""
    donors = [
        yard(f"D{i}", rng.uniform(2, 25), room=0, closes_min=rng.choice((None, 720, 780))) for i in range(2)
    ]
    takers = [
        yard(
            f"Z{i}", rng.uniform(2, 30), room=rng.randint(2, 4), closes_min=rng.choice((None, 660, 700, 760))
        )
        for i in range(2)
    ]
    hives = [
        one_kit_hive(f"{y.id}{n}", y.id, supers=rng.randint(0, 2))
        for y in donors
        for n in range(rng.randint(3, 4))
    ]
    hours = 600 + rng.choice((120, 180, 300))
    crew = Crew("pair", east(0.0), places=rng.choice((2, 3, None)), hives_until_min=hours)
    splits = (Asked("A", rng.randint(3, 4), ONE.name, "mated"),)
    return operation((*donors, *takers), tuple(hives), splits, crew=crew)


def opened_twice(rng: Random, case: Case) -> Order:
    """A yard's hives, somewhere to place, the same hives, somewhere to place; perhaps other hives as well."""
    makers = np.flatnonzero(case.ground().most).tolist()
    takers = np.flatnonzero(case.ground().room).tolist()
    again = Visit(rng.choice(makers), True)
    order = [again, Visit(rng.choice(takers), False), again, Visit(rng.choice(takers), False)]
    if rng.random() < 0.5:
        order.insert(rng.choice((0, 2)), Visit(rng.choice(makers), True))
    return tuple(order)


@cache
def driven() -> list[tuple[int, Case, Order, int]]:
    """(seed, day, order, what its best round counts), for orders whose visits all do something."""
    found = []
    for seed in SEEDS:
        rng = Random(f"opened twice/{seed}")
        case = case_of(short_day(rng))
        totals = {p: n for p, n in most_possible(case, 5.0).totals if n}
        case = case.wanting(totals)
        for order in {opened_twice(rng, case) for _ in range(8)} if totals else ():
            verdict = judged(case, order) if sound(case, order) else None
            if verdict and verdict.found and not idle(verdict.found):
                found.append((seed, case, order, verdict.found.counted_s))
    return found


def searches(seed: int, case: Case) -> dict[str, Search]:
    """A search of each of WAYS, some of the prices of the last two above nothing."""
    attempt = Attempt(case, Clock(PLANNING_SECONDS), quiet)
    attempt.sharpen()
    plain = search_of(attempt, "free", FAR)
    prices = np.random.default_rng(seed).choice([0, 2000], attempt.ground.yards)
    parts = attempt.ground.in_parts()
    tables = [remaining(attempt.ground, prices, None, holds=case.holds)]
    flows = Flows(parts, remaining(parts, prices, None, holds=case.holds), case.holds)
    ways = (plain, replace(plain, tables=tables), replace(plain, tables=tables, flows=flows))
    return dict(zip(WAYS, ways, strict=True))


def highest(search: Search, order: Order) -> int:
    """The highest bound on the way through an order, FAR where it is cut."""
    part, found = search.start(), 0
    for visit in order:
        offered = {v: bound for bound, v in search.children(part)}
        grown = search.extend(part, visit)
        if grown is None or visit not in offered:
            return FAR
        part, found = grown, max(found, offered[visit], search.bound(grown))
    return max(found, search.least_paid(part))


@pytest.mark.parametrize("way", WAYS)
def test_no_bound_on_the_way_is_above_what_the_order_counts(way: str) -> None:
    tight = 0
    for seed, case, order, counted_s in driven():
        found = highest(searches(seed, case)[way], order)
        assert found <= counted_s, (seed, order)
        tight += found > counted_s * 3 // 4
    assert len(driven()) >= 60
    assert tight >= len(driven()) // 2


def test_it_is_proved_what_truck_and_second_visit_allow() -> None:
    """A truck of three places: some of A's four splits have to be at B before more are made; C is far off.

    The search alone, without a first plan, proves the round by A twice.
    """
    yards = (yard("A", 10, room=0), yard("B", 20), yard("C", 90, room=0))
    hives = tuple(one_kit_hive(f"{y}{n}", y) for y in "AC" for n in range(4))
    crew = Crew("pair", east(0.0), places=3)
    case = case_of(operation(yards, hives, (Asked("A", 4, ONE.name, "mated"),), crew=crew))
    found = Attempt(case, Clock(30.0), quiet).settle(20.0)
    twice = (Visit(0, True), Visit(1, False), Visit(0, True), Visit(1, False))
    truth = judged(case, twice).found
    assert truth is not None
    assert found.proved
    assert found.best is not None
    assert found.best.counted_s == found.bound_s == truth.counted_s
