"""Sets of receiving yards where boxes may be of two yards: no bound is above the exact best."""

from dataclasses import replace
from itertools import combinations
from random import Random

import numpy as np
import pytest

from routeplan.operation.world import Order
from routeplan.planning.after import NEVER_S, least_to_hold
from routeplan.planning.case import Case, case_of, with_hours
from routeplan.planning.limits import Clock
from routeplan.planning.order import Visit
from routeplan.planning.pooled_plans import PooledPlans, near_orders, over_at
from routeplan.planning.pooled_sets import Open, PooledSets
from routeplan.planning.receivers import dear, receivers_under
from routeplan.planning.remaining import INF
from routeplan.planning.solve import plan_day
from routeplan.planning.unit_clock import HiveHours, UnitClock, service_s
from routeplan.planning.unit_flow import UnitFlows
from routeplan.planning.unit_prices import priced
from routeplan.planning.unit_table import unit_table
from routeplan.planning.units import WEIGHTS, givers, units_of_splits
from tests.cases.test_two_yards import day
from tests.oracle import exact, exact_pooled
from tests.planning.make import ONE
from tests.seeded_pooled import pooled_operation

SEEDS = (0, 3, 8, 14, 15, 30, 31, 35)
"""Some of them pool, some count trips in the weeks after."""


def of_seed(seed: int) -> tuple[Case, exact.Answer]:
    """A small day with the totals of its exact answer, and that."""
    operation = pooled_operation(seed, tiny=True)
    truth = exact_pooled.best(operation, 120.0)
    assert isinstance(truth, exact.Answer)
    case = case_of(operation)
    return replace(case, demand=case.demand.with_totals(dict(truth.placed))), truth


@pytest.mark.parametrize("seed", SEEDS)
def test_no_bound_of_the_sets_is_above_the_exact_best(seed: int) -> None:
    case, truth = of_seed(seed)
    sets = receivers_under(case, case.ground(), truth.counted_s + 1)
    assert sets
    for weights in WEIGHTS:
        if not units_of_splits(case, weights):
            continue
        by_sets = PooledSets(case, case.ground(), [weights], lambda *_: (0, True), lambda: 0, lambda _: None)
        bounds, sharper = [], []
        for of in sets:
            ground, constant = by_sets.unit_ground(0, of)
            table = unit_table(ground)
            bounds.append(table.root + constant + of.fixed_s)
            sharper.append(priced(table, truth.counted_s, 6, Clock(20.0)).root + constant + of.fixed_s)
        assert min(bounds) <= min(sharper) <= truth.counted_s


@pytest.mark.parametrize("seed", SEEDS)
def test_giving_more_takes_more_and_no_yard_gives_more_than_its_hives(seed: int) -> None:
    case, _ = of_seed(seed)
    brood = (1, 1, 1, 0, 0, 0)
    units = units_of_splits(case, brood)
    least = givers(case, brood, units, False)
    assert (least[:, 0] == 0).all()
    assert (np.diff(least, axis=1) >= 0).all()
    for y, of_yard in enumerate(case.donors):
        held = sum(len(d.hives) * max(sum(o.give[:3]) for o in d.options) for d in of_yard)
        own = sum(len(d.hives) * max(sum(o.give[6:]) for o in d.options) for d in of_yard)
        assert (least[y] < INF).sum() - 1 <= held + own * units[0]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_best_plan_is_in_time_and_bounded_along_its_way(seed: int) -> None:
    """The order of the best plan is never cut: its hours hold it, its flow counts no more than it does."""
    case, truth = of_seed(seed)
    plan = plan_day(case.operation, 60.0)
    assert plan.totals.counted_s == truth.counted_s
    index = {y.id: i for i, y in enumerate(case.operation.yards)}
    order = tuple(Visit(index[s.yard], bool(s.opens)) for s in plan.stops)
    receive = {index[s.yard] for s in plan.stops if s.places}
    dearly = tuple(sorted(z for z in receive if dear(case)[z]))
    sets = [s for s in receivers_under(case, case.ground(), 10**8) or [] if set(s.yards) == set(dearly)]
    cells_free = any(s.queen == "ripe cell" and index[s.to_yard] not in dearly for s in plan.splits)
    of = sets[-1] if cells_free else sets[0]  # where no plan needs ripe cells there is one of both
    for weights in WEIGHTS:
        if not units_of_splits(case, weights):
            continue
        by_sets = PooledSets(case, case.ground(), [weights], lambda *_: (0, True), lambda: 0, lambda _: None)
        ground, constant = by_sets.unit_ground(0, of)
        clock, flows, road = UnitClock(case, weights, ground), UnitFlows(unit_table(ground)), 0
        hive_hours = HiveHours(case, weights)
        assert hive_hours.in_time_whole(order)
        hours, flow, at = clock.start(), flows.start(), 0
        for i, visit in enumerate(order):
            after = clock.extend(hours, order[:i], visit, True)
            assert after is not None
            assert hive_hours.in_time(order[: i + 1])
            assert int(after.min()) <= plan.stops[i].depart
            road += int(ground.drive[at, visit.yard + 1])
            road += ground.opening if visit.opens else ground.placing
            at = visit.yard + 1
            flow = flows.within(flows.extend(flow, visit, True), order[: i + 1])
            flow[:, after >= INF] = INF
            assert road + flows.to_come(flow, at) + constant + of.fixed_s <= truth.counted_s
            hours = after
        whole = road + flows.whole(flow) + int(ground.drive[at, 0]) + constant + of.fixed_s
        assert whole <= truth.counted_s


def test_service_is_no_more_than_the_work_of_the_best_plan() -> None:
    """Brood gives its two frames of brood in 2 frames' time at least, closing or carrying one box besides."""
    case = case_of(day())
    least = service_s(case, (1, 1, 1, 0, 0, 0))
    stop = plan_day(day(), 20.0).stops[0]
    assert 0 < least[0, 2] <= stop.hive_s + stop.make_s
    assert least[1, 1] == INF


def test_hours_for_hives_hold_all_hive_work_of_an_order() -> None:
    """Hives of two yards: until the work of the one plan is over, and not a minute less than road and least
    work take."""
    case, stops = case_of(day()), plan_day(day(), 20.0).stops
    index = {y.id: i for i, y in enumerate(case.operation.yards)}
    order = tuple(Visit(index[s.yard], bool(s.opens)) for s in stops)
    weights = (1, 1, 1, 1, 0, 0)
    over = max(s.depart for s in stops if s.opens) - case.opening[1]
    assert HiveHours(with_hours(case, hives_until=over), weights).in_time_whole(order)
    hours = HiveHours(case, weights)
    work_s = sum(s.hive_s + s.make_s for s in stops)
    assert hours.least_s <= hours.boxes_s + (hours.together.least_s(order) or 0) <= work_s
    early = with_hours(case, hives_until=over - work_s - 60)
    assert not HiveHours(early, weights).in_time_whole(order)
    assert not HiveHours(early, weights).in_time(order)
    assert HiveHours(early, weights).in_time(order[:1])


def test_seeds_know_hives_that_take_less_than_nothing_and_days_without() -> None:
    assert {of_seed(seed)[0].rises for seed in SEEDS} == {True, False}


def test_yards_that_hold_the_ripe_cells_cost_least_of_all_that_do() -> None:
    rng, tight = Random("cells"), 0
    for _ in range(200):
        cost, room = (np.array([rng.randint(0, most) for _ in range(5)]) for most in (90, 4))
        splits = rng.randint(0, 12)
        every = [z for n in range(6) for z in combinations(range(5), n)]
        least = min(
            (int(cost[list(z)].sum()) for z in every if room[list(z)].sum() >= splits), default=NEVER_S
        )
        assert least_to_hold(cost, room, splits) == least
        tight += splits > room.max()
    assert tight > 50


def test_cells_are_placed_where_others_are_too_few() -> None:
    """Three with a ripe cell and two others: four placed hold two cells at least, three one, two none."""
    orders = (Order("A", 3, ONE.name, "ripe cell"), Order("B", 2, ONE.name, "mated"))
    case = case_of(replace(day(), orders=orders))
    cells = [replace(case, demand=case.demand.with_totals({1: n})).cells for n in (5, 4, 3, 2)]
    assert cells == [3, 2, 1, 0]


def test_sets_prove_the_split_of_two_yards() -> None:
    """Brood and food are in two yards: the one order is found and proved by its set."""
    case = case_of(day())
    plan = plan_day(day(), 20.0)
    plans = PooledPlans(case, Clock(20.0), lambda *_: None, below_s=plan.totals.counted_s + 1)

    def look(order: object, spent_s: int, constant: int, check: str) -> tuple[int, bool]:
        return (0, False) if check != "whole" else (plans.weigh(order), True)  # type: ignore[arg-type]

    sets = PooledSets(case, case.ground(), [(1, 1, 1, 1, 0, 0)], look, plans.limit, lambda _: None)
    assert sets.run(Clock(20.0)) == plan.totals.counted_s
    assert plans.best is not None
    assert [v.yard for v in plans.best.order] == [0, 1, 2]
    assert ONE.name in {s.kit for s in plan.splits}


def test_the_beam_of_a_set_finds_the_order_of_the_plan() -> None:
    """Brood, then food, then the new yard or its twin in the same place, which counts as much."""
    one = day()
    case = case_of(replace(one, yards=(*one.yards, replace(one.yards[-1], id="Twin"))))
    sets = PooledSets(
        case, case.ground(), [(1, 1, 1, 1, 0, 0)], lambda *_: (0, True), lambda: INF, lambda _: None
    )
    orders = []
    for of in receivers_under(case, case.ground(), INF) or []:
        ground, constant = sets.unit_ground(0, of)
        opened = Open(0, 0, of, [unit_table(ground)])
        orders += sets.begin(opened, constant + of.fixed_s).beam()
    assert all(not order[-1].opens for order in orders)
    assert {(0, 1, 2), (0, 1, 3)} <= {tuple(v.yard for v in order) for order in orders}


def test_over_at_waits_and_is_too_late() -> None:
    """Hives from 10:00; a yard that closes before them is passed over with hives, not without."""
    case = case_of(day())
    order = PooledPlans(case, Clock(5.0), lambda *_: None)
    assert order.limit() == INF
    first = next(o for o in near_orders((), case) if o[0].opens)[0]
    over = over_at(case, (), case.start, first)
    assert over is not None
    assert over >= case.hives_from + case.opening[1]
    closed = replace(case, closes=np.full_like(case.closes, case.hives_from - 3600))
    assert over_at(closed, (), case.start, first) is None
    assert over_at(closed, (), case.start, replace(first, opens=False)) is not None
