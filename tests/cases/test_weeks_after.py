"""What splits cost in the weeks after decides where they go today. Common practice; every number a setting.

A pair drives 3 min a leg and 1.3 min a km here; a stop only to place takes 5 min to set up.
"""

from dataclasses import replace
from datetime import timedelta

import pytest

from routeplan.operation.settings import NO_LATER, Costs, Later, Settings
from routeplan.operation.world import Operation, Order
from tests.cases.planned import planned
from tests.planning.make import DAY, ONE, one_kit_hive, operation, yard

Y = yard("Y", 10.0, room=0)


def settings(later: Later) -> Settings:
    return Settings(minimum_distance_m=5000.0, later=later)


def from_y(splits: int, later: Later, *yards: object) -> Operation:
    """So many hives of Y give one split each."""
    hives = tuple(one_kit_hive(f"{i}", "Y") for i in range(splits))
    orders = (Order("A", splits, ONE.name, "mated"),)
    return operation((Y, *yards), hives, orders, settings=settings(later))  # type: ignore[arg-type]


def placed(of: Operation) -> dict[str, int]:
    """Splits by yard."""
    plan = planned(of)
    assert plan.proof.status == "optimal"
    return {a.yard: a.splits for a in plan.after}


@pytest.mark.parametrize(("later", "to"), [(NO_LATER, "Near"), (Later(), "Far")])
def test_a_yard_that_is_looked_after_saves_its_trips(later: Later, to: str) -> None:
    """Far, 20 km more, costs the day 52 min; Near, where nobody comes by, three trips of 63 min."""
    yards = yard("Near", 20.0), yard("Far", 40.0, looked_after=True)
    assert placed(from_y(1, later, *yards)) == {to: 1}


def test_what_the_trips_come_to() -> None:
    """Three looks of 2 x 29 min and 5 min, 10 min for each of three splits fewer than four."""
    plan = planned(from_y(1, Later(), yard("Near", 20.0)))
    assert (plan.totals.later_s, plan.totals.against_s) == (3 * 63 * 60, 3 * 10 * 60)
    assert plan.totals.counted_s == plan.totals.paid_s + plan.totals.later_s + plan.totals.against_s


def test_where_nothing_flows_feeding_trips_come_on_top() -> None:
    of = from_y(1, Later(), yard("Near", 20.0))
    dry = planned(replace(of, settings=replace(of.settings, dearth=True)))
    assert (dry.after[0].trips, dry.after[0].feeding_trips) == (3, 2)
    assert dry.totals.later_s == 5 * 63 * 60


@pytest.mark.parametrize(
    ("later", "to"), [(NO_LATER, {"P": 2, "Q": 2}), (Later(0, 0, 4, 10.0, 9, 0.0, 0.0), {"T": 4})]
)
def test_splits_are_kept_together(later: Later, to: dict[str, int]) -> None:
    """P and Q hold two each, T, 7.6 min farther for the day, all four; two short of four twice is 40 min."""
    yards = yard("P", 20.0, room=2), yard("Q", 30.0, room=2), yard("T", 36.0, room=4)
    assert placed(from_y(4, later, *yards)) == to


@pytest.mark.parametrize(("most", "to"), [(3, {"P": 1, "R": 1, "Q": 1}), (2, {"T": 3})])
def test_not_too_many_new_yards_on_one_day(most: int, to: dict[str, int]) -> None:
    """T costs the day 20.4 min more than three yards on the way; the third of them counts 30 min against."""
    yards = [yard(name, km, room=1) for name, km in (("P", 20.0), ("R", 25.0), ("Q", 30.0))]
    later = Later(0, 0, 0, 0.0, most, 30.0, 0.0)
    assert placed(from_y(3, later, *yards, yard("T", 44.0, room=4))) == to


@pytest.mark.parametrize(("objective", "to"), [("minutes", "Dry"), ("money", "Flow")])
def test_sugar_is_money(objective: str, to: str) -> None:
    """Four kilos at 5 for a split where nothing flows; Flow is 6 km farther: 0.26 h and 15.6 km are 11.2."""
    of = from_y(1, NO_LATER, yard("Dry", 20.0, flow_until=DAY - timedelta(days=1)), yard("Flow", 26.0))
    costs = Costs(currency="EUR", per_km=0.3, per_hour=25.0, sugar_kg=5.0, sugar_per_split_kg=4.0)
    money = replace(of, settings=replace(of.settings, objective=objective, costs=costs))
    plan = planned(money)
    assert [s.to_yard for s in plan.splits] == [to]
    assert plan.cost is not None
    assert plan.cost.sugar == (20.0 if to == "Dry" else 0.0)
