"""Every kind of surprise of the benchmark, on small days: nothing made is lost, no rule is broken."""

from random import Random

import pytest

from routeplan.operation.world import Operation
from routeplan.plan import Plan
from routeplan.planning.solve import plan_day
from tests.bench.surprises import KINDS, POOLED, meet
from tests.practice import practice_operation
from tests.seeded import bench_operation
from tests.seeded_pooled import halved_operation

Day = tuple[Operation, Plan]


@pytest.fixture(scope="module", params=[bench_operation, practice_operation], ids=["plain", "practical"])
def day(request: pytest.FixtureRequest) -> Day:
    operation = request.param(12, 150, 8, 4)
    plan = plan_day(operation, 5.0)
    assert len(plan.stops) > 1
    return operation, plan


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_is_lost_and_no_rule_broken(day: Day, kind: str) -> None:
    operation, plan = day
    try:
        surprise = KINDS[kind](Random(kind), plan)
    except IndexError:
        pytest.skip("the day has no visit of that kind")
    assert meet(operation, plan, surprise)["fault"] == ""


@pytest.fixture(scope="module")
def day_of_two() -> Day:
    """A day with boxes of two yards."""
    operation = halved_operation(bench_operation(12, 150, 8, 4), 4)
    plan = plan_day(operation, 12.0)
    assert any(s.begun_at for s in plan.splits)
    return operation, plan


@pytest.mark.parametrize("kind", POOLED)
def test_nothing_is_lost_where_boxes_are_of_two_yards(day_of_two: Day, kind: str) -> None:
    operation, plan = day_of_two
    for n in range(2):
        try:
            surprise = POOLED[kind](Random(f"{kind}/{n}"), plan)
        except IndexError:
            pytest.skip("the day has no visit of that kind")
        assert meet(operation, plan, surprise)["fault"] == ""


@pytest.mark.long
@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("make", [bench_operation, practice_operation])
def test_many_days_of_two_yards(make, seed: int) -> None:  # type: ignore[no-untyped-def]
    operation = halved_operation(make(9, 80, 6, seed), seed)
    plan = plan_day(operation, 8.0)
    for kind, of in POOLED.items():
        try:
            surprise = of(Random(f"{seed}/{kind}"), plan)
        except (IndexError, ValueError):  # the day has no visit of that kind
            continue
        assert meet(operation, plan, surprise)["fault"] == "", (seed, kind)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("make", [bench_operation, practice_operation])
def test_many_days(make, seed: int) -> None:  # type: ignore[no-untyped-def]
    operation = make(20, 300, 12, seed)
    plan = plan_day(operation, 10.0)
    for kind, of in KINDS.items():
        try:
            surprise = of(Random(f"{seed}/{kind}"), plan)
        except IndexError:  # the day has no visit of that kind
            continue
        assert meet(operation, plan, surprise)["fault"] == "", (seed, kind)
