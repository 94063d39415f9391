"""All that stands beside a plan, in its time."""

from dataclasses import replace

from routeplan.colony.surplus import surplus_of
from routeplan.operation.settings import Costs, Later, Settings
from routeplan.operation.world import Operation, Order
from routeplan.plan import Plan, from_json, to_json
from routeplan.planning.beside import with_all_beside
from routeplan.planning.limits import Clock
from routeplan.planning.solve import plan_day
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


def beside(of: Operation, seconds: float) -> Plan:
    """Plan with the steps left out, then put them beside."""
    bare = replace(
        plan_day(of, 10.0), standbys=(), take_rules=(), changes=(), savings=(), alternatives=(), cost=None
    )
    made = with_all_beside(of, bare, surplus_of(of), Clock(seconds), plan_day)
    assert (made.stops, made.splits, made.totals) == (bare.stops, bare.splits, bare.totals)
    return made


def test_all_of_it_when_there_is_time() -> None:
    made = beside(day(4), 40.0)
    assert [c.what for c in made.changes] == ["hives"]
    assert [o.differs for o in made.alternatives] == ["splits to Ridge rather than Pond"]
    assert [s.what for s in made.savings] == ["one more person"]
    assert made.cost is not None
    assert from_json(to_json(made)) == made


def test_without_time_what_costs_none() -> None:
    made = beside(day(2), 0.0)
    assert (made.changes, made.alternatives, made.savings) == ((), (), ())
    assert {s.kind for s in made.standbys} == {"capped", "open", "food", "shake"}
    assert [r.yard for r in made.take_rules] == ["Creek"]
    assert made.cost is not None


def test_the_same_every_time() -> None:
    assert beside(day(4), 40.0) == beside(day(4), 40.0)
