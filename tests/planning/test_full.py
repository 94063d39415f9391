"""A plan looked at from all sides, in its time."""

from dataclasses import replace

from routeplan.operation.settings import Costs, Later, Settings
from routeplan.operation.world import Operation, Order, Stock
from routeplan.plan import from_json, to_json
from routeplan.planning.solve import plan_day, plan_in_full
from tests.planning.make import ONE, one_kit_hive, operation, yard

SETTINGS = Settings(
    minimum_distance_m=5000.0,
    later=Later(3, 0, 0, 0.0, 9, 0.0, 0.0),
    costs=Costs(currency="EUR", per_km=0.4, per_hour=20.0),
)


def day(asked: int) -> Operation:
    yards = (yard("Creek", 20.0, takes_splits=False), yard("Pond", 12.0), yard("Ridge", 30.0))
    hives = tuple(one_kit_hive(name, "Creek") for name in "ABC")
    return operation(yards, hives, (Order("A", asked, ONE.name, "mated"),), settings=SETTINGS)


def test_all_of_it_when_there_is_time() -> None:
    made = plan_in_full(day(4), 20.0)
    assert [c.what for c in made.changes] == ["hives"]
    assert [o.differs for o in made.alternatives] == ["splits to Ridge rather than Pond"]
    assert [s.what for s in made.savings] == ["one more person"]
    assert made.cost is not None
    assert from_json(to_json(made)) == made


def test_the_plan_itself_is_the_same_and_what_costs_no_time_is_there() -> None:
    plain, full = plan_day(day(2), 20.0), plan_in_full(day(2), 20.0)
    assert replace(full, changes=(), alternatives=(), savings=()) == plain
    assert {s.kind for s in plain.standbys} == {"capped", "open", "food", "shake"}
    assert [r.yard for r in plain.take_rules] == ["Creek"]
    assert plain.cost is not None


def test_the_same_every_time() -> None:
    assert plan_in_full(day(4), 20.0) == plan_in_full(day(4), 20.0)


def test_where_nothing_is_placed_what_would_help_is_told() -> None:
    empty = replace(day(1), stock=(Stock("mated queen", "", 0),))
    made = plan_in_full(empty, 20.0)
    assert (made.stops, made.alternatives, made.savings) == ((), (), ())
    assert [c.what for c in made.changes] == ["mated queen"]
