"""Boxes of two yards: ways to share a kit, bounds that are never too high, never worse than boxes of one."""

from dataclasses import replace
from itertools import product

import pytest
from ortools.sat.python import cp_model

from routeplan.operation.settings import Limits, ShutIn
from routeplan.operation.world import Operation, Order
from routeplan.planning.case import Case, case_of
from routeplan.planning.demand import KINDS
from routeplan.planning.order import Visit
from routeplan.planning.parts import Ways, bare_brood_s, has_brood
from routeplan.planning.route import BEGUN, MADE, Route, Way
from routeplan.planning.solve import plan_day
from routeplan.planning.two_yard_boxes import TwoYardBoxes
from routeplan.planning.two_yards import TwoYardsModel
from routeplan.planning.units import WEIGHTS, Choice, Together, counted_costs, tables
from tests.cases.test_two_yards import day
from tests.oracle.test_against_planner import placed
from tests.planning.make import ONE
from tests.seeded_pooled import pooled_operation

SEEDS = (0, 8, 14, 20, 30, 34)
BROOD, FOOD, NEW = 0, 1, 2
"""Yards of the day of the cases, by name."""


def with_limits(operation: Operation, **changes: object) -> Operation:
    limits = replace(operation.settings.limits, **changes)  # type: ignore[arg-type]
    return replace(operation, settings=replace(operation.settings, limits=limits))


def ways(operation: Operation, begun: int, made: int, timed: bool = True) -> list[Way]:
    return Ways(case_of(operation)).ways(0, begun, made, NEW, timed)


def test_kit_is_shared_freely_with_bees_of_both() -> None:
    route = Route(0, 0, 1, 2, Way())
    assert route.bounds(0, (1, 1, 0, 1, 2, 0)) == ((0, 0, 0, 0, 0, 0), (1, 1, 0, 1, 2, 0))
    assert (route.first_bees, Route(0, 0, 1, 2, Way(BEGUN, (0, 0, 0, 1, 0, 0))).first_bees) == (0, 1)
    queen = Route(0, 0, 1, 2, Way(queen=MADE))
    assert queen.bounds(0, (1, 1, 0, 1, 2, 1))[1][KINDS.index("queen")] == 0
    assert queen.bounds(1, (1, 1, 0, 1, 2, 1))[0][KINDS.index("queen")] == 1


def test_bare_side_gives_just_what_it_gives_alone() -> None:
    food = (0, 0, 0, 1, 0, 0)
    route = Route(0, 0, 1, 2, Way(BEGUN, food))
    assert route.bounds(0, (1, 1, 0, 1, 2, 0)) == (food, food)
    assert route.bounds(1, (1, 1, 0, 1, 2, 0)) == ((1, 1, 0, 0, 2, 0),) * 2


def test_which_side_may_be_bare_goes_by_distance() -> None:
    """Far from both: with bees, or begun bare as that ride is shorter. Near one: only that one is bare."""
    far = ways(day(), BROOD, FOOD)
    assert far[0] == Way()
    assert {w.bare for w in far} == {"", BEGUN}
    near_food = day(new_km=16.0)
    assert {w.bare for w in ways(near_food, BROOD, FOOD)} == {MADE}
    assert {w.bare for w in ways(near_food, FOOD, BROOD)} == {BEGUN}
    assert ways(day(new_km=12.0), BROOD, FOOD) == []


def test_brood_without_bees_in_time_and_warm() -> None:
    """Brood - Food 4 km: 3 min + 5.2 min drive and 10 min of setting up are over a quarter of an hour."""
    near_brood = with_limits(day(new_km=9.0), bare_brood_min=15.0)
    assert not any(has_brood(w) for w in ways(near_brood, BROOD, FOOD))
    longer = with_limits(near_brood, bare_brood_min=20.0)
    assert any(has_brood(w) for w in ways(longer, BROOD, FOOD))
    assert any(has_brood(w) for w in ways(near_brood, BROOD, FOOD, timed=False))
    cold = replace(longer, settings=replace(longer.settings, shut_in=ShutIn(warmest_c=19.9)))
    assert bare_brood_s(case_of(cold)) < 0
    assert not any(has_brood(w) for w in ways(cold, BROOD, FOOD))
    assert bare_brood_s(case_of(longer)) == 1200


def test_bees_enough_to_raise_a_queen() -> None:
    """The kit brings 1 + 1 + 0.5 + 0.8 frames of bees; without those on food 2.8."""
    order = Order("A", 1, ONE.name, "raise own")
    few = with_limits(day(new_km=16.0, order=order), own_queen_bees=2.8)
    assert [w.alone for w in ways(few, BROOD, FOOD)] == [(0, 0, 0, 1, 0, 0)]
    assert ways(with_limits(few, own_queen_bees=2.9), BROOD, FOOD) == []


@pytest.mark.parametrize(
    "order", [Order("A", 1, ONE.name, "mated", from_yard="Brood"), Order("A", 1, ONE.name, "mated")]
)
def test_only_what_may_be_pooled(order: Order) -> None:
    allowed = day(order=order)
    visits = (Visit(BROOD, True), Visit(FOOD, True), Visit(NEW, False))
    pooled = [r for r in Ways(case_of(allowed)).routes(visits) if r.begun is not None]
    assert bool(pooled) is (order.from_yard is None)
    alone = with_limits(allowed, yards_per_split=1)
    assert [r for r in Ways(case_of(alone)).routes(visits) if r.begun is not None] == []


@pytest.mark.parametrize("seed", SEEDS)
def test_no_bound_is_too_high_and_pooling_is_never_worse(seed: int) -> None:
    operation = pooled_operation(seed, tiny=True)
    plan = plan_day(operation, 60.0)
    alone = plan_day(with_limits(operation, yards_per_split=1), 60.0)
    with_two, with_one = placed(operation, plan), placed(operation, alone)
    assert with_two >= with_one
    if with_two == with_one:
        assert plan.totals.counted_s <= alone.totals.counted_s
    case = case_of(operation)
    case = replace(case, demand=case.demand.with_totals(dict(with_two)))
    costs = counted_costs(case)
    for weights, (receive, opening) in product(WEIGHTS, ((False, False), (True, False), (True, True))):
        table = tables(case, costs, Choice(weights, receive, opening))
        assert table is None or table.root <= plan.totals.counted_s
    assert _hives_together(case) <= plan.totals.hive_s


def _hives_together(case: Case) -> int:
    """Least opening where all hives give together, less what is due or saved: below all work on hives."""
    order = tuple(Visit(y, True) for y in range(len(case.room)))
    return Together(case).least_s(order) or 0


@pytest.mark.parametrize("seed", SEEDS)
def test_hives_opened_fill_the_boxes_they_were_counted_for(seed: int) -> None:
    """Of each kind so many hives as are opened: at most those of the yard, each at one visit."""
    operation = pooled_operation(seed, tiny=True)
    plan = plan_day(operation, 60.0)
    case = case_of(operation)
    case = replace(case, demand=case.demand.with_totals(dict(placed(operation, plan))))
    index = {y.id: i for i, y in enumerate(operation.yards)}
    order = tuple(Visit(index[s.yard], bool(s.opens)) for s in plan.stops)
    known = Ways(case)
    counted = TwoYardsModel(case, order, plan.totals.counted_s + 1, True, known)
    assert counted.solve(20.0)[0] == cp_model.OPTIMAL
    only = counted.hives_opened()
    boxes = TwoYardBoxes(case, order, 10**7, known, counted.boxes_by_route(), only)
    named = [(i, hive.key) for i, hive, _ in boxes.named]
    assert len(named) == len({key for _, key in named}) == sum(only.values())
    assert boxes.solve(20.0)[0] == cp_model.OPTIMAL
    assert boxes.hives_opened() == only
    assert {hive.key for box in boxes.boxes() for _, hive, _, _ in box.takes} == {k for _, k in named}


def test_donors_are_counted_over_both_yards() -> None:
    assert len(plan_day(with_limits(day(), donors_per_split=2), 20.0).splits) == 1
    assert len(plan_day(with_limits(day(), donors_per_split=1), 20.0).splits) == 0


def test_without_the_setting_nothing_is_pooled() -> None:
    assert Limits().yards_per_split == 1
    plan = plan_day(day(allowed=False), 20.0)
    assert plan.splits == ()
