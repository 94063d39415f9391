"""Combs set above an excluder and collected at a second visit: when that is worth it, by hand.

Hives in two boxes with unmarked queens, and looking over is not trusted. Finding each queen takes 15 min
beside 6.5 to open the hive, in two passes 6.5 and 3. A crew that stays packs up and sets up again (15 min)
within the hour the combs stand above. All minutes are common practice, the wait from memory (defaults).
"""

from dataclasses import replace

import pytest

from routeplan.operation.settings import Excluder, Limits, Sure
from routeplan.operation.world import Hive, Operation, Order, Stock
from routeplan.plan import Plan, Saving
from routeplan.planning.limits import Clock
from routeplan.planning.savings import savings_of
from routeplan.planning.solve import plan_day
from tests.cases.planned import planned, visits
from tests.planning.make import DAY_ALONE, ONE, one_kit_hive, operation, yard

SETTINGS = replace(DAY_ALONE, sure=Sure(look=False))
SIX = tuple(one_kit_hive(f"A{i}", "Y", queen="unmarked", boxes=2) for i in range(1, 7))
YARDS = (yard("Y", 10.0, room=0), yard("Z", 20.0))


def day(excluders: int, hives: tuple[Hive, ...] = SIX, **settings: object) -> Operation:
    stock = (Stock("excluder", "", excluders),) if excluders else ()
    changed = replace(SETTINGS, **settings)  # type: ignore[arg-type]
    order = Order("A", len(hives), ONE.name, "mated")
    return operation(YARDS, hives, (order,), settings=changed, stock=stock)


def set_above(plan: Plan) -> int:
    return sum(len(stop.sets) for stop in plan.stops)


@pytest.fixture(scope="module")
def hunted() -> Plan:
    """Four hives without excluders: every queen is found, 4 x 21.5 = 86 min."""
    return planned(day(0, SIX[:4]))


def saved_min(hunted: Plan, plan: Plan) -> float:
    assert hunted.proof.status == plan.proof.status == "optimal"
    return (hunted.totals.paid_s - plan.totals.paid_s) / 60


def test_other_hives_are_worked_while_bees_come_up(hunted: Plan) -> None:
    """Two of four in two passes, two found meanwhile (with frames and boxes 2 x 27.15 min, over the 45 left
    of the hour): 2 x 9.5 + 2 x 21.5 + 15 = 77 min. With three it would be 82.85, 17.85 of them waiting."""
    plan = planned(day(4, SIX[:4]))
    assert (set_above(plan), plan.totals.wait_s) == (2, 0)
    assert visits(plan) == ["Y*", "Y*", "Z"]
    assert saved_min(hunted, plan) == pytest.approx(86 - 77)


def test_no_more_hives_than_excluders(hunted: Plan) -> None:
    """One in two passes, three found: 9.5 + 3 x 21.5 + 15 = 89 min is more than 86."""
    plan = planned(day(1, SIX[:4]))
    assert (set_above(plan), saved_min(hunted, plan)) == (0, 0)


def test_one_more_excluder_is_said_to_save_what_it_does() -> None:
    """Six hives: with two 2 x 9.5 + 4 x 21.5 + 15 = 120 min, with three 3 x 9.5 + 3 x 21.5 + 15 = 108."""
    plan = planned(day(2))
    assert set_above(plan) == 2
    savings = savings_of(day(2), plan, Clock(60.0), plan_day)
    assert Saving("one more excluder", 60 * (120 - 108), True) in savings
    assert "one more excluder" not in {s.what for s in savings_of(day(4), plan, Clock(20.0), plan_day)}


def test_the_crew_waits_where_that_is_least(hunted: Plan) -> None:
    """Six hives and 100 min above: three in two passes, three found, and 85 - 81.45 = 3.55 min of waiting."""
    plan = planned(day(6, excluder=Excluder(least_wait_min=100.0)))
    assert (set_above(plan), plan.totals.wait_s, plan.proof.status) == (3, 213, "optimal")


@pytest.mark.parametrize(
    "settings",
    [
        {"excluder": Excluder(allowed=False)},
        {"limits": Limits(visits_per_yard=1)},
        {"excluder": Excluder(least_wait_min=120.0)},
    ],
)
def test_not_where_it_is_not_allowed_or_takes_too_long(hunted: Plan, settings: dict[str, object]) -> None:
    plan = planned(day(4, SIX[:4], **settings))
    assert (set_above(plan), saved_min(hunted, plan)) == (0, 0)


def test_the_crew_works_at_a_neighbour_meanwhile() -> None:
    """N is 2 km from Y (5.6 min by road) and has four marked queens: the crew goes there and comes back."""
    four = tuple(one_kit_hive(f"B{i}", "N", queen="marked") for i in range(4))
    yards = (*YARDS, yard("N", 8.0, room=0))
    order = Order("A", 8, ONE.name, "mated")
    one = operation(yards, (*SIX[:4], *four), (order,), settings=SETTINGS, stock=(Stock("excluder", "", 4),))
    plan = planned(one)
    assert visits(plan)[:3] == ["Y", "N*", "Y*"], "nothing leaves Y at the first visit"
    assert set_above(plan) == 4
    collected = plan.stops[2]
    assert collected.arrive - plan.stops[0].depart >= 60 * 11  # both drives
    assert {way for _, way in collected.ways} == {"excluder"}
