"""The planner against the exact answer where boxes may be of two yards; every plan holds before the audit."""

from dataclasses import replace

import pytest

from routeplan.audit import audit
from routeplan.plan import Plan
from routeplan.planning.solve import plan_day
from routeplan.planning.work import Work
from tests.oracle import exact, exact_pooled
from tests.oracle.test_against_planner import judge, report
from tests.seeded_pooled import pooled_operation

SHORT = (0, 8, 14, 30)
TIGHT = (0, 3, 8, 14, 30)
LONG = range(70)


def differences(seeds: tuple[int, ...] | range, seconds: float) -> tuple[list[str], int, int]:
    """Compare seed by seed: sentences about differences, how many were compared, how many plans pool."""
    wrong, compared, pooled = [], 0, 0
    for seed in seeds:
        operation = pooled_operation(seed, tiny=True)
        plan = plan_day(operation, seconds=60.0)
        wrong += [f"seed {seed}: {v.sentence()}" for v in audit(operation, plan)]
        truth = exact_pooled.best(operation, seconds)
        if not isinstance(truth, exact.Unproved):
            compared += 1
            wrong += judge(seed, operation, truth, plan)
            pooled += _pools(plan)
    return wrong, compared, pooled


def _pools(plan: Plan) -> bool:
    return any(split.begun_at for split in plan.splits)


def test_same_as_exact_with_boxes_of_two_yards() -> None:
    wrong, compared, pooled = differences(SHORT, 120.0)
    assert not wrong, report(wrong)
    assert (compared, pooled) == (len(SHORT), len(SHORT))


def test_same_as_exact_where_hours_for_hives_are_just_enough() -> None:
    """The hours end with the minute in which the last hive of the best plan is closed, then ten before."""
    wrong, compared, held = [], 0, 0
    for seed in TIGHT:
        free = pooled_operation(seed, tiny=True)
        stops = [stop for stop in plan_day(free, seconds=60.0).stops if stop.opens]
        over_s = max(stop.depart for stop in stops) - Work(free).leave_s(True)
        for minutes in (-(-over_s // 60), over_s // 60 - 10):
            operation = replace(free, crew=replace(free.crew, hives_until_min=minutes))
            plan = plan_day(operation, seconds=60.0)
            wrong += [f"seed {seed}: {v.sentence()}" for v in audit(operation, plan)]
            truth = exact_pooled.best(operation, 120.0)
            assert not isinstance(truth, exact.Unproved)
            wrong += judge(seed, operation, truth, plan)
            compared += 1
            held += len(plan.splits) > 0
    assert not wrong, report(wrong)
    assert compared == 2 * len(TIGHT)
    assert held > len(TIGHT)


@pytest.mark.long
def test_same_as_exact_on_many_with_boxes_of_two_yards() -> None:
    wrong, compared, pooled = differences(LONG, 120.0)
    assert not wrong, report(wrong)
    assert compared >= 60
    assert pooled >= 10
