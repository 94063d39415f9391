"""Days that cannot hold all: guesses on time against every way to share out, and the most splits."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from random import Random

import numpy as np
import pytest

from routeplan.audit import audit
from routeplan.operation.world import Crew, Operation
from routeplan.operation.world import Order as Asked
from routeplan.planning.attempt import Attempt
from routeplan.planning.case import Case, case_of
from routeplan.planning.guess import Guesser
from routeplan.planning.limits import Clock
from routeplan.planning.most import Most
from routeplan.planning.on_time import OnTime, classes_of
from routeplan.planning.order import Order, Visit
from routeplan.planning.order_model import worths
from routeplan.planning.solve import plan_day
from routeplan.planning.wander import wander
from tests.oracle import exact
from tests.planning.make import DAY_ALONE, ONE, east, one_kit_hive, operation, yard

QUIET = lambda stage, best, bound: None  # noqa: E731


def short_day(seed: int, names: str = "WXYZ") -> Operation:
    """Yards of one or two splits each, two priorities, hives opened for two hours only."""
    rng = Random(f"short day/{seed}")
    yards = tuple(yard(n, 9.0 * i + rng.random(), room=rng.randint(2, 3)) for i, n in enumerate(names))
    hives = tuple(one_kit_hive(f"{n}{i}", n) for n in names for i in range(rng.randint(1, 2)))
    asked = (
        Asked("A", rng.randint(2, 3), ONE.name, "mated"),
        Asked("B", rng.randint(2, 3), ONE.name, "mated", priority=2),
    )
    crew = Crew("pair", east(0.0), hives_from_min=600, hives_until_min=720)
    return operation(yards, hives, asked, crew=crew, settings=DAY_ALONE)


def on_time(case: Case, order: Order, made: tuple[int, ...], placed: tuple[int, ...], of: OnTime) -> bool:
    """Whether a crew that makes and places so many at each visit keeps all hours."""
    t, at, aboard = case.start, 0, 0
    for visit, q, r in zip(order, made, placed, strict=True):
        y = visit.yard
        set_up, leaving = case.opening if visit.opens else case.placing
        t = max(t + case.drive(at, y + 1), int(case.opens[y])) + set_up + r * of.place_s[y]
        aboard -= r
        if aboard < 0:
            return False
        if visit.opens:
            t = max(t, case.hives_from) + (of.mixes[y][(q, 0)] if q else 0)
            aboard += q
            if t > case.hives_until:
                return False
        t += leaving
        if t > int(case.closes[y]):
            return False
        at = y + 1
    return not aboard and t + case.drive(at, 0) <= case.end


def ways(of: OnTime, order: Order) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Every way to share making and placing out over the visits of an order."""
    reach = of.case.reach
    makes = [range(of.most[v.yard] + 1 if v.opens else 1) for v in order]
    places = [
        range(of.room[v.yard] + 1 if any(w.opens and reach[w.yard, v.yard] for w in order[:i]) else 1)
        for i, v in enumerate(order)
    ]
    yield from product(product(*makes), product(*places))


@pytest.mark.parametrize("seed", range(20))
def test_as_many_are_guessed_on_time_as_the_best_way_to_share_out_brings(seed: int) -> None:
    case, rng = case_of(short_day(seed)).by_the_clock(), Random(seed)
    of = OnTime(case)
    seen = set()
    for _ in range(6):
        yards = rng.sample(range(len(case.room)), min(4, len(case.room)))
        order = tuple(Visit(y, rng.random() < 0.6) for y in yards)
        most = max((sum(q) for q, r in ways(of, order) if on_time(case, order, q, r, of)), default=0)
        guess = of.of(order)
        assert sum(guess.made) == min(most, case.size)
        assert guess.made[0] == min(
            sum(guess.made), of.asked[0]
        )  # the first priority first: all kits are alike
        seen.add(most)
    assert seen


def test_fewer_places_on_the_truck_are_seen_and_empties_take_some() -> None:
    """Two visits for three splits each, then one to place; the fifth empty box takes a place as well."""
    yards = (yard("V", 0.0, room=0), yard("W", 9.0, room=0), yard("X", 18.0, room=9))
    hives = tuple(one_kit_hive(f"{n}{i}", n) for n in "VW" for i in range(3))
    whole = operation(yards, hives, (Asked("A", 6, ONE.name, "mated"),))
    order = (Visit(0, True), Visit(1, True), Visit(2, False))
    for places, aim, most in ((None, 0, 6), (4, 0, 4), (4, 5, 3)):
        case = case_of(replace(whole, crew=replace(whole.crew, places=places))).by_the_clock()
        assert OnTime(case, aim).of(order).made == (most,), (places, aim)


def test_priorities_are_counted_together_only_where_there_would_be_too_many_counts() -> None:
    case = case_of(short_day(1))
    assert classes_of(case) == [(1,), (2,)]
    many = tuple(Asked(f"O{p}", 9, ONE.name, "mated", priority=p) for p in range(1, 6))
    classes = classes_of(case_of(replace(short_day(1), orders=many)))
    assert classes[0] == (1,)
    assert [p for of in classes for p in of] == [1, 2, 3, 4, 5]
    assert len(classes) < 5


def test_one_split_is_worth_more_than_all_of_later_priorities() -> None:
    demand = case_of(short_day(3)).demand
    worth = worths(demand)
    assert worth[1] > worth[2] * dict(demand.totals)[2] > 0


def test_a_short_day_holds_exactly_as_many_as_it_can_and_the_first_priority_first() -> None:
    compared, fewer = 0, 0
    for seed in range(5):
        asked = short_day(seed, "XYZ")
        truth = exact.best(asked, 20.0)
        if isinstance(truth, exact.Unproved):
            continue
        plan, priority = plan_day(asked, 20.0), {o.id: o.priority for o in asked.orders}
        placed = tuple((p, sum(priority[s.order] == p for s in plan.splits)) for p in (1, 2))
        assert placed == truth.placed, seed
        assert not audit(asked, plan)
        assert (plan.proof.count_status, plan.proof.most_splits) == ("optimal", len(plan.splits)), seed
        compared, fewer = compared + 1, fewer + bool(plan.unplaced)
    assert compared >= 3
    assert fewer >= 2


def test_where_what_counts_only_sees_late_orders_the_most_splits_are_found_at_once() -> None:
    """Ten yards of one split each and two hours for hives: an order for all ten is many hours late."""
    names = "KLMNOPQRST"
    yards = tuple(yard(n, 7.0 * i, room=3) for i, n in enumerate(names))
    hives = tuple(one_kit_hive(f"{n}0", n) for n in names)
    crew = Crew("pair", east(0.0), hives_from_min=600, hives_until_min=720)
    day = operation(yards, hives, (Asked("A", 10, ONE.name, "mated"),), crew=crew, settings=DAY_ALONE)
    case = case_of(day).by_the_clock()
    attempt = Attempt(case, Clock(30.0), QUIET)
    none = np.zeros(len(case.demand.lines), dtype=np.int64)
    guess, _ = wander(Guesser(case, attempt.ground, attempt.judge.mixture, none, 0, 0), (), Clock(30.0), 2)[0]
    assert guess.late_s > 3600
    most = Most(case, Clock(60.0), QUIET)
    assert not most.all_on_time(Clock(30.0))
    assert most.begin(Clock(30.0)) is None
    assert most.totals[1] >= 2
    plan = plan_day(day, 30.0)
    assert len(plan.splits) >= most.totals[1]
    assert not audit(day, plan)


def test_a_few_splits_are_looked_for_where_there_was_no_time_for_many() -> None:
    """Twelve asked for: three first. Where no yard has room the search ends without any."""
    yards = tuple(yard(n, 7.0 * i, room=2) for i, n in enumerate("KLMNOP"))
    hives = tuple(one_kit_hive(f"{n}{i}", n) for n in "KLMNOP" for i in range(2))
    day = operation(yards, hives, (Asked("A", 12, ONE.name, "mated"),), settings=DAY_ALONE)
    most = Most(case_of(day).by_the_clock(), Clock(60.0), QUIET)
    most.few(Clock(60.0))
    assert most.totals == {1: 3}
    full = replace(day, yards=tuple(replace(y, room=0) for y in yards))
    none = Most(case_of(full).by_the_clock(), Clock(60.0), QUIET)
    none.few(Clock(60.0))
    assert none.best is None
