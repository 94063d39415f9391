"""Money, worked out by hand from a made plan: road by the kilometre, time by the hour, what is used up."""

from dataclasses import replace

import pytest

from routeplan.operation.settings import Costs, Later, Settings
from routeplan.operation.world import Operation, Order, Stock
from routeplan.plan import Plan, Totals
from routeplan.planning.cost import cost_of
from routeplan.planning.solve import plan_day
from tests.planning.make import ONE, one_kit_hive, operation, yard

CASE = Costs(currency="CAD", per_km=0.68, per_hour=25.0)
NOTHING_USED = replace(CASE, per_km=0.0, per_hour=0.0)
A_TRIP = Later(1, 0, 0, 0.0, 9, 0.0, 0.0)


def day(costs: Costs, queen: str = "mated", later: Later = A_TRIP, dearth: bool = False) -> Operation:
    """Three splits from Y at 10 km; only Z at 20 km takes them."""
    return operation(
        (yard("Y", 10.0, takes_splits=False), yard("Z", 20.0)),
        tuple(one_kit_hive(f"H{n}", "Y") for n in range(3)),
        (Order("A", 3, ONE.name, queen),),
        settings=Settings(minimum_distance_m=5000.0, later=later, costs=costs, dearth=dearth),
    )


def made(of: Operation) -> Plan:
    plan = plan_day(of, 10.0)
    assert len(plan.splits) == 3
    return plan


def as_driven(plan: Plan, road_m: int, paid_s: int, splits: int) -> Plan:
    """The plan with the road and the hours given, nothing else in it."""
    numbers = dict.fromkeys(Totals.__dataclass_fields__, 0)
    totals = Totals(**{**numbers, "drive_m": road_m, "paid_s": paid_s})
    some = tuple(plan.splits[:1]) * splits
    return replace(plan, totals=totals, splits=some, stops=(), after=())


def test_the_case_of_the_far_yard() -> None:
    """0.68 per km and 25 per hour: 84 km and 3.2 h are 57.12 + 80.00 = 137.12, for six splits 22.85 each.

    57.12 = 84 x 0.68, 80 = 3.2 x 25, 137.12 / 6 = 22.853.
    """
    of = day(CASE)
    cost = cost_of(of, as_driven(made(of), 84_000, 11_520, 6))
    assert cost is not None
    assert (cost.drive, cost.hours, cost.total, cost.per_split) == (57.12, 80.0, 137.12, 22.85)
    assert (cost.currency, cost.later, cost.queens, cost.combs, cost.sugar) == ("CAD", 0.0, 0.0, 0.0, 0.0)


def test_without_a_price_there_is_no_cost() -> None:
    of = day(Costs())
    assert cost_of(of, made(of)) is None


def test_trips_in_the_weeks_after() -> None:
    """One look at Z: 20 km there and 20 back, 1.3 times the straight line, and the drive's time of a set-up.

    Drive 60 x (3 + 1.3 x 20) = 1740 s each way and 300 s of set-up: 3780 s; 52 km.
    """
    of = day(CASE)
    cost = cost_of(of, made(of))
    assert cost is not None
    assert cost.later == pytest.approx(3780 / 3600 * 25 + 52 * 0.68, abs=0.006)


@pytest.mark.parametrize(
    ("prices", "queen", "dearth", "part", "money"),
    [
        (replace(NOTHING_USED, queen=30.0), "mated", False, "queens", 90.0),
        (replace(NOTHING_USED, cell=6.5), "ripe cell", False, "queens", 19.5),
        (replace(NOTHING_USED, queen=30.0), "parent's", False, "queens", 0.0),
        # five combs a box: one capped, one open, one food, one drawn, one to fill
        (replace(NOTHING_USED, comb=2.0), "mated", False, "combs", 30.0),
        # 3 x 4 kg
        (replace(NOTHING_USED, sugar_kg=1.1, sugar_per_split_kg=4.0), "mated", True, "sugar", 13.2),
        (replace(NOTHING_USED, sugar_kg=1.1, sugar_per_split_kg=4.0), "mated", False, "sugar", 0.0),
    ],
)
def test_what_is_used_up(prices: Costs, queen: str, dearth: bool, part: str, money: float) -> None:
    of = day(prices, queen, dearth=dearth)
    cost = cost_of(of, made(of))
    assert cost is not None
    assert getattr(cost, part) == money
    assert cost.total == money


def test_a_split_fed_otherwise_needs_fewer_combs_from_home() -> None:
    of = day(replace(NOTHING_USED, comb=2.0))
    settings = replace(of.settings, swaps=replace(of.settings.swaps, feeder=True))
    poor = tuple(replace(h, count=replace(h.count, food=2.5)) for h in of.hives)
    fed = replace(of, hives=poor, settings=settings, stock=(Stock("feeder", "", 3),))
    plan = made(fed)
    assert {s.swap for s in plan.splits} == {"feeder"}
    cost = cost_of(fed, plan)
    assert cost is not None
    assert cost.combs == 3 * 4 * 2.0


def test_yards_and_the_way_home_and_what_is_used_are_the_whole() -> None:
    of = day(replace(CASE, queen=31.33, comb=1.07, sugar_kg=0.99), dearth=True)
    plan = made(of)
    cost = cost_of(of, plan)
    assert cost is not None
    assert [yard for yard, _ in cost.yards] == ["Y", "Z"]
    parts = sum(m for _, m in cost.yards) + cost.home + cost.queens + cost.combs + cost.sugar
    assert parts == pytest.approx(cost.total, abs=0.03)
    assert cost.drive + cost.hours + cost.later + cost.queens + cost.combs + cost.sugar == pytest.approx(
        cost.total, abs=0.03
    )
    # home from Z: 26 km and 1740 s
    assert cost.home == pytest.approx(26 * 0.68 + 1740 / 3600 * 25, abs=0.006)
