"""Other good plans: what each differs in, and what it costs more, worked out by hand.

On the equator yards lie on one road, so a drive of d km takes 180 + 78 d seconds: 3 min and 1.3 d km at 60
km/h.
"""

from collections import Counter
from dataclasses import replace

import pytest

from routeplan.operation.settings import NO_LATER, Costs, Later, Settings
from routeplan.operation.world import Operation, Order
from routeplan.plan import Plan
from routeplan.planning.alternatives import alternatives_of, counted, without_giving, without_receiving
from routeplan.planning.limits import Clock
from routeplan.planning.solve import plan_day
from tests.planning.make import DAY, ONE, east, hive, one_kit_hive, operation, yard

LOOKS = Later(3, 2, 4, 10.0, 1, 20.0, 3.0)
ONLY_TRIPS = Later(3, 0, 0, 0.0, 9, 0.0, 0.0)


def day(later: Later = ONLY_TRIPS, **more: object) -> Operation:
    """Donors at Dale, 20 km out. Pond lies on the way, 12 km out; Quay 3 km the other way: shorter trips."""
    return operation(
        (
            yard("Dale", 20.0, takes_splits=False),
            yard("Pond", 12.0),
            replace(yard("Quay", 0.0), place=east(-3.0)),
        ),
        (one_kit_hive("A", "Dale"), one_kit_hive("B", "Dale")),
        (Order("A", 2, ONE.name, "mated"),),
        settings=Settings(minimum_distance_m=5000.0, later=later, **more),  # type: ignore[arg-type]
    )


def solve(of: Operation, seconds: float) -> Plan:
    return plan_day(of, seconds)


def receiving(plan: Plan) -> set[str]:
    return {s.to_yard for s in plan.splits}


def test_pond_rather_than_quay_is_quicker_today_and_dearer_later() -> None:
    """Home - Dale 1740 s, Dale - Pond 804, Pond - home 1116 makes 3660; by Quay 1740, 1974, 414 makes 4128.

    A trip to Pond is 2 x 1116 + 300 = 2532 s, to Quay 2 x 414 + 300 = 1128 s; three of each.
    """
    of = day()
    plan = plan_day(of, 10.0)
    assert receiving(plan) == {"Quay"}
    (other,) = alternatives_of(of, plan, Clock(20.0), solve)
    assert other.differs == "the quickest day: splits to Pond rather than Quay"
    assert (other.without, other.receiving, other.giving) == (("Quay",), (("Pond", 2),), (("Dale", 2),))
    assert other.stops == ("Dale", "Pond")
    assert other.today_s == 3660 - 4128
    assert other.later_s == 3 * (2532 - 1128)
    assert other.counted_s == other.today_s + other.later_s
    assert other.proved


def test_when_only_the_day_counts_the_other_yard_costs_the_day_more() -> None:
    of = day(NO_LATER)
    plan = plan_day(of, 10.0)
    assert receiving(plan) == {"Pond"}
    (other,) = alternatives_of(of, plan, Clock(20.0), solve)
    assert other.differs == "splits to Quay rather than Pond"
    assert (other.today_s, other.later_s, other.counted_s) == (468, 0, 468)


def test_other_donors() -> None:
    """Far lies 10 km beyond Dale: 780 + 780 + 180 s of driving more."""
    of = day(NO_LATER)
    more = operation(
        (*of.yards[:2], yard("Far", 30.0, takes_splits=False)),
        (*of.hives, one_kit_hive("F", "Far"), one_kit_hive("G", "Far")),
        of.orders,
        settings=of.settings,
    )
    plan = plan_day(more, 10.0)
    others = {o.differs: o for o in alternatives_of(more, plan, Clock(20.0), solve)}
    other = others["frames from Far rather than Dale"]
    assert other.giving == (("Far", 2),)
    assert other.without == ("Dale",)
    assert other.today_s == 2 * 780


def test_an_alternative_places_as_many() -> None:
    """Pond has room for one of the two: without Quay one split less is placed, so that is none."""
    of = day()
    small = replace(of, yards=tuple(replace(y, room=1) if y.id == "Pond" else y for y in of.yards))
    plan, placed = plan_day(small, 10.0), []

    def counting(other: Operation, seconds: float) -> Plan:
        made = plan_day(other, seconds)
        placed.append(len(made.splits))
        return made

    assert alternatives_of(small, plan, Clock(20.0), counting) == ()
    assert 1 in placed
    alone = without_receiving(of, "Pond")
    assert alternatives_of(alone, plan_day(alone, 10.0), Clock(20.0), solve) == ()


def test_no_time_no_alternative_and_nothing_placed_none() -> None:
    of = day()
    plan = plan_day(of, 10.0)
    assert alternatives_of(of, plan, Clock(0.0), solve) == ()
    none = without_giving(of, "Dale")
    assert alternatives_of(none, plan_day(none, 5.0), Clock(5.0), solve) == ()


def test_the_time_is_shared_and_kept() -> None:
    of, asked = day(), []
    plan = plan_day(of, 10.0)

    def slow(other: Operation, seconds: float) -> Plan:
        asked.append(seconds)
        return plan_day(other, seconds)

    alternatives_of(of, plan, Clock(4.0), slow)
    assert asked
    assert all(0.3 <= s <= 4.0 for s in asked)


def shapes() -> dict[str, Operation]:
    """Days on which the weeks after count in different ways."""
    base = day(LOOKS)
    hives = (*base.hives, *(hive(f"S{n}", "Quay", may_give=False) for n in range(3)))
    watched = tuple(replace(y, looked_after=y.id == "Pond") for y in base.yards)
    flowing = tuple(replace(y, flow_from=DAY if y.id == "Pond" else None) for y in base.yards)
    cells = (Order("A", 1, ONE.name, "ripe cell"), Order("B", 1, ONE.name, "mated"))
    money = replace(base.settings, objective="money", costs=Costs(per_km=0.7, per_hour=25.0))
    return {
        "few splits": base,
        "dearth with strong hives": replace(base, hives=hives, settings=replace(base.settings, dearth=True)),
        "looked after": replace(base, yards=watched),
        "a flow": replace(base, yards=flowing, settings=replace(base.settings, dearth=True)),
        "cells": replace(base, orders=cells),
        "money": replace(base, settings=money),
    }


@pytest.mark.parametrize("shape", shapes())
def test_counting_again_gives_what_planning_counted(shape: str) -> None:
    """A plan made for its own operation is counted as it was; so is one made where only the day counts."""
    of = shapes()[shape]
    for yards in ((), ("Pond",), ("Quay",)):
        less = of
        for one in yards:
            less = without_receiving(less, one)
        plan = plan_day(less, 10.0)
        assert plan.splits
        assert counted(of, plan) == plan.totals
        quick = plan_day(replace(less, settings=replace(less.settings, later=NO_LATER)), 10.0)
        if receiving(quick) == receiving(plan) and quick.stops == plan.stops:
            assert counted(of, quick) == plan.totals


def test_the_words_name_all_yards_that_change() -> None:
    of = day(NO_LATER)
    small = replace(
        of,
        yards=tuple(
            replace(y, room=1) if y.id != "Dale" else y for y in (*of.yards, yard("Rise", 34.0, room=2))
        ),
    )
    plan = plan_day(small, 10.0)
    assert receiving(plan) == {"Pond", "Quay"}
    found = alternatives_of(small, plan, Clock(20.0), solve)
    assert Counter(o.differs for o in found).most_common(1)[0][1] == 1
    assert {o.differs for o in found} <= {
        "splits to Rise rather than Quay",
        "splits to Rise rather than Pond",
        "splits to Rise rather than Pond and Quay",
    }
    assert found[0].counted_s == min(o.counted_s for o in found)
