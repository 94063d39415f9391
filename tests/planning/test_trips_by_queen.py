"""Trips for looks that follow from the ways to a queen: by hand, tried out, and against the exact answer."""

from dataclasses import replace
from itertools import combinations

import pytest

from routeplan.audit import audit
from routeplan.audit.after import LOOKS
from routeplan.colony.follow_ups import looks_apart, trips_to_look
from routeplan.operation.settings import NO_LATER, Later
from routeplan.operation.world import QUEEN_WAYS, Operation, Order
from routeplan.plan import Plan
from routeplan.planning.after import subsets
from routeplan.planning.solve import plan_day
from tests.oracle import exact
from tests.oracle.counting import looks
from tests.oracle.test_against_planner import differences, judge, report
from tests.planning.make import DAY_ALONE, ONE, hive, operation, yard
from tests.seeded import rich_operation

BY_QUEEN = replace(DAY_ALONE, later=replace(NO_LATER, trips_by_queen=True))
SHORT = (0, 1, 2, 5)


@pytest.mark.parametrize(
    ("ways", "trips"),
    [
        ("raise own", 3),  # cells 7, eggs 28, sale 42
        ("mated", 3),  # cage 4, eggs 10, sale 21
        ("ripe cell", 2),  # eggs 18 to 21, sale 30
        ("parent's", 2),  # eggs 7, sale 21
        ("own cells,ripe cell", 2),
        ("mated,raise own", 6),
        ("mated,ripe cell", 4),  # 21 serves for both
        ("mated,parent's", 4),
        (",".join(QUEEN_WAYS), 7),
    ],
)
def test_trips_by_hand(ways: str, trips: int) -> None:
    assert trips_to_look(ways.split(",")) == trips


def test_trips_are_the_most_looks_apart() -> None:
    apart = looks_apart(QUEEN_WAYS)
    for ways in subsets(QUEEN_WAYS):
        here = [sum(n for n, way in zip(looks, QUEEN_WAYS, strict=True) if way in ways) for looks in apart]
        assert trips_to_look(ways) == max(here)


def test_trips_as_the_exact_models_and_the_audit_know_them() -> None:
    for ways in subsets(QUEEN_WAYS):
        assert trips_to_look(ways) == looks(ways)
        spans = [span for way in ways for span in LOOKS[way]]
        fewer = combinations(range(60), trips_to_look(ways) - 1) if 0 < trips_to_look(ways) <= 3 else ()
        assert not any(all(any(a <= d <= b for d in days) for a, b in spans) for days in fewer)


def two_yards(*orders: Order) -> Operation:
    """Two yards far enough from the donors', side by side; both take all."""
    hives = tuple(hive(f"H{n}", queen_mother=True) for n in range(4))
    yards = (yard("Y", 3.0), yard("Z1", 12.0, room=4), yard("Z2", 13.0, room=4))
    return operation(yards, hives, orders, settings=BY_QUEEN)


def trips_of(plan: Plan) -> dict[str, int]:
    return {row.yard: row.trips for row in plan.after}


def test_ways_that_share_their_looks_stand_together_and_others_apart() -> None:
    """One yard with own queens and mated queens needs six trips, two yards three each: the same, and one stop
    less today. Two own queens share theirs."""
    own, mated = Order("own", 1, ONE.name, "raise own"), Order("mated", 1, ONE.name, "mated")
    one = two_yards(own, mated)
    plan = plan_day(one, seconds=10.0)
    assert audit(one, plan) == []
    assert trips_of(plan) == {"Z1": 6}
    alike = two_yards(replace(own, count=2))
    plan = plan_day(alike, seconds=10.0)
    assert trips_of(plan) == {"Z1": 3}
    assert audit(alike, plan) == []
    wrong = replace(plan, after=(replace(plan.after[0], trips=4),))
    assert {v.rule for v in audit(alike, wrong)} >= {"R14"}


def test_a_far_yard_with_a_cheap_way_is_not_visited_for_a_dear_one() -> None:
    """Room for one at each: the way of three trips goes to the near yard, that of two to the far one."""
    own, queen = Order("own", 1, ONE.name, "raise own"), Order("queen", 1, ONE.name, "parent's")
    base = two_yards(own, queen)
    yards = (yard("Y", 3.0), yard("Z1", 12.0, room=1), yard("Z2", 40.0, room=1))
    one = replace(base, yards=yards)
    plan = plan_day(one, seconds=10.0)
    assert audit(one, plan) == []
    assert {s.order: s.to_yard for s in plan.splits} == {"own": "Z1", "queen": "Z2"}
    assert trips_of(plan) == {"Z1": 3, "Z2": 2}
    truth = exact.best(one, 30.0)
    assert isinstance(truth, exact.Answer)
    assert judge(0, one, truth, plan) == []


def by_queen(seed: int) -> Operation:
    """A rich one whose trips follow from the ways to a queen."""
    one = rich_operation(seed)
    later = replace(one.settings.later, trips_by_queen=True)
    return replace(one, settings=replace(one.settings, later=later))


def test_same_as_exact_with_trips_by_queen() -> None:
    wrong, compared, _ = differences(by_queen, SHORT, exact_seconds=8.0)
    assert not wrong, report(wrong)
    assert len(compared) >= len(SHORT) // 2
    assert any(len({o.queen for o in by_queen(seed).orders}) > 1 for seed in compared)


@pytest.mark.long
def test_same_as_exact_with_trips_by_queen_on_many() -> None:
    wrong, compared, _ = differences(by_queen, range(60), exact_seconds=60.0)
    assert not wrong, report(wrong)
    assert len(compared) >= 40


def test_without_the_setting_trips_are_as_many_as_it_says() -> None:
    one = two_yards(Order("own", 2, ONE.name, "raise own"))
    usual = replace(one, settings=replace(one.settings, later=replace(NO_LATER, trips=5)))
    assert trips_of(plan_day(usual, seconds=10.0)) == {"Z1": 5}
    assert not Later().trips_by_queen
