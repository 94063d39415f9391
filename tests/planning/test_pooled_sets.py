"""Sets of receiving yards where boxes may be of two yards: no bound is above the exact best."""

from dataclasses import replace

import numpy as np
import pytest

from routeplan.planning.case import Case, case_of
from routeplan.planning.limits import Clock
from routeplan.planning.pooled_plans import PooledPlans, near_orders, over_at
from routeplan.planning.pooled_sets import PooledSets
from routeplan.planning.receivers import receivers_under
from routeplan.planning.solve import plan_day
from routeplan.planning.unit_prices import priced
from routeplan.planning.unit_table import unit_table
from routeplan.planning.units import WEIGHTS, givers, rises, units_of_splits
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
            ground, constant = by_sets.unit_ground(0, of.yards)
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
        assert (least[y] < 10**8).sum() - 1 <= held + own * units[0]


def test_seeds_know_hives_that_take_less_than_nothing_and_days_without() -> None:
    assert {rises(of_seed(seed)[0]) for seed in SEEDS} == {True, False}


def test_sets_prove_the_split_of_two_yards() -> None:
    """Brood and food are in two yards: the one order is found and proved by its set."""
    case = case_of(day())
    plan = plan_day(day(), 20.0)
    plans = PooledPlans(case, Clock(20.0), lambda *_: None, below_s=plan.totals.counted_s + 1)

    def look(order: object, spent_s: int, constant: int, check: str) -> tuple[int, bool]:
        return (0, False) if check == "together" else (plans.weigh(order), True)  # type: ignore[arg-type]

    sets = PooledSets(case, case.ground(), [(1, 1, 1, 1, 0, 0)], look, plans.limit, lambda _: None)
    assert sets.run(Clock(20.0)) == plan.totals.counted_s
    assert plans.best is not None
    assert [v.yard for v in plans.best.order] == [0, 1, 2]
    assert ONE.name in {s.kit for s in plan.splits}


def test_over_at_waits_and_is_too_late() -> None:
    """Hives from 10:00; a yard that closes before them is passed over with hives, not without."""
    case = case_of(day())
    order = PooledPlans(case, Clock(5.0), lambda *_: None)
    assert order.limit() == 10**8
    first = next(o for o in near_orders((), case) if o[0].opens)[0]
    over = over_at(case, (), case.start, first)
    assert over is not None
    assert over >= case.hives_from + case.opening[1]
    closed = replace(case, closes=np.full_like(case.closes, case.hives_from - 3600))
    assert over_at(closed, (), case.start, first) is None
    assert over_at(closed, (), case.start, replace(first, opens=False)) is not None
