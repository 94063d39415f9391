"""Sugar as the forecast says it: the same as the audit's plain loop, on the sheets, and in what counts."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from routeplan.audit import audit
from routeplan.audit.feed import needed
from routeplan.colony.feed import split_sugar_kg
from routeplan.colony.halves import Taken
from routeplan.operation.settings import Costs, Settings
from routeplan.operation.world import QUEEN_WAYS, Kit, Operation, Order, Yard
from routeplan.output.day import day_of
from routeplan.output.feeding import feedings
from routeplan.plan import Take
from routeplan.planning.bought import as_made, sugar_kg
from routeplan.planning.solve import plan_day
from tests.oracle import exact
from tests.oracle.test_against_planner import judge
from tests.planning.make import DAY, DAY_ALONE, ONE, hive, operation, yard

PRICES = Costs(currency="EUR", per_km=0.3, per_hour=25.0, sugar_kg=5.0)
MONEY = replace(DAY_ALONE, objective="money", costs=PRICES)
SPAN = (DAY - timedelta(3), DAY + timedelta(20))


@pytest.mark.parametrize("way", QUEEN_WAYS)
@pytest.mark.parametrize("flow", [(None, None), SPAN, (DAY + timedelta(9), None), (None, DAY)])
def test_sugar_by_a_plain_loop(way: str, flow: tuple[date | None, date | None]) -> None:
    place = yard("Y", 3.0, flow_from=flow[0], flow_until=flow[1])
    for dearth in (False, True):
        settings = Settings(dearth=dearth)
        days = range(1, settings.feed.until_days + 1)
        flows = tuple(place.has_flow(DAY + timedelta(day), dearth) for day in days)
        for frames, comb, frame in (((1, 1, 1, 2), 0, "deep"), ((2, 1, 0, 3), 1, "national")):
            taken = Taken(*frames)
            ours = split_sugar_kg(taken, comb, way, frame, 5, flow, DAY, settings)
            assert ours == pytest.approx(needed(frames, comb, way, frame, 5, flows, settings), abs=1e-9)


def test_less_in_a_longer_flow_and_with_more_food() -> None:
    def of(food: int, until: int | None) -> float:
        flow = (DAY, None if until is None else DAY + timedelta(until))
        return split_sugar_kg(Taken(2, 1, food, 2), 0, "mated", "deep", 5, flow, DAY, Settings())

    assert of(0, 0) > of(1, 0) > of(2, 0) > 0
    assert of(1, 0) >= of(1, 20) >= of(1, 40) >= of(1, None)


def test_a_kit_as_it_was_made() -> None:
    kit = Kit("range", capped=1, open=1, food=1, shakes=2, fill=2)
    takes = [Take("H", kind, n, "S1") for kind, n in (("capped", 2), ("eggs", 1), ("food", 1), ("shake", 3))]
    made = as_made(kit, takes)
    assert (made.capped, made.open, made.food, made.shakes, made.fill) == (2, 1, 1, 3, 1)
    assert made.combs == kit.combs
    mixed = as_made(kit, [Take("H", "capped", 1, "S1"), Take("H", "mixed", 1, "S1")])
    assert (mixed.capped, mixed.open, mixed.shakes) == (1, 1, 0)


def dry_or_flowing(costs: Costs = PRICES) -> Operation:
    """A yard near by without a flow, one farther off with a flow."""
    yards = (
        yard("Y", 3.0),
        yard("Dry", 20.0, flow_until=DAY - timedelta(1)),
        yard("Flow", 24.0),
    )
    hives = (hive("H1"), hive("H2"))
    settings = replace(MONEY, costs=costs)
    return operation(yards, hives, (Order("A", 1, ONE.name, "mated"),), settings=settings)


def test_sugar_the_forecast_says_is_worth_the_farther_yard_and_the_setting_overrides_it() -> None:
    one = dry_or_flowing()
    plan = plan_day(one, seconds=10.0)
    assert audit(one, plan) == []
    truth = exact.best(one, 30.0)
    assert isinstance(truth, exact.Answer)
    assert judge(0, one, truth, plan) == []
    dry, flows = (sugar_kg(one, ONE, "mated", "deep", "", one.yard(y)) for y in ("Dry", "Flow"))
    assert dry > flows
    assert [s.to_yard for s in plan.splits] == ["Flow"]
    assert plan.cost is not None
    assert plan.cost.sugar == pytest.approx(5.0 * flows, abs=0.006)
    free = dry_or_flowing(replace(PRICES, sugar_per_split_kg=0.0))
    assert [s.to_yard for s in plan_day(free, seconds=10.0).splits] == ["Dry"]


def test_sugar_as_the_sheets_say_it() -> None:
    """The sheets round each feeding up to half a litre of syrup."""
    one = replace(dry_or_flowing(), settings=replace(MONEY, costs=replace(PRICES, sugar_kg=0.0)))
    plan = plan_day(one, seconds=10.0)
    (split,) = plan.splits
    assert split.to_yard == "Dry"
    place: Yard = one.yard("Dry")
    fed = [f for f in feedings(day_of(one, plan)) if f.named.splits]
    litres = sum(f.litres for f in fed)
    kilograms = sugar_kg(one, ONE, split.queen, split.frame, split.swap, place)
    assert kilograms - 0.1 <= litres * 1.23 / 2 <= kilograms + len(fed) * 0.5 * 1.23 / 2 + 0.1
