"""What a yard and the weather ask: heat, a walk from the truck, bears, robbing, hours. Common practice."""

from dataclasses import replace

import pytest

from routeplan.operation.settings import MILE_M, NO_LATER, Settings
from routeplan.operation.world import Crew, Operation, Order, Place, Stock, Weather
from routeplan.output.day import day_of
from routeplan.output.load import load
from routeplan.plan import Plan
from routeplan.planning.solve import plan_in_full
from tests.cases.planned import SECONDS, at, planned, visits, why
from tests.planning.make import DAY, ONE, hive, one_kit_hive, operation, yard

HOME = Place(45.11, -75.39)
THREE_MILES = Settings(later=NO_LATER)
assert THREE_MILES.minimum_distance_m == 3 * MILE_M


# --- heat ---------------------------------------------------------------------------------------------------


def four_donors(warmest_c: float) -> Operation:
    """One person, four yards that give one split each; all go to Last, past the end of the line."""
    yards = [yard(f"D{i}", 10.0 + 6 * i, room=0) for i in range(4)]
    return operation(
        (*yards, yard("Last", 40.0)),
        tuple(one_kit_hive("1", y.id) for y in yards),
        (Order("A", 4, ONE.name, "mated"),),
        crew=Crew("alone", Place(0.0, 20.0), people=1, end_min=20 * 60, hives_from_min=480),
        weather=(Weather(DAY, None, warmest_c),),
    )


def longest_min(plan: Plan) -> float:
    return max(s.shut_in_s for s in plan.splits) / 60


def test_in_the_heat_splits_leave_the_truck_early() -> None:
    """Cool: one round, Last at its end. From 25 C two hours at most: Last is gone to on the way too."""
    cool, hot = planned(four_donors(15.0)), planned(four_donors(28.0))
    assert visits(cool).count("Last") == 1
    assert longest_min(cool) > 120
    assert len(hot.splits) == 4
    assert longest_min(hot) <= 120
    assert visits(hot).count("Last") == 2
    assert hot.totals.paid_s > cool.totals.paid_s


def test_from_35_degrees_no_box_travels() -> None:
    plan = planned(four_donors(36.0))
    assert plan.stops == ()
    assert why(plan).rule == "R9"


# --- not every yard can be driven to ------------------------------------------------------------------------


def ridge_on_foot(carry_min: float) -> Plan:
    """Four splits from Creek to Ridge; the truck stops at 45.1370, -75.3460."""
    parking = Place(45.1370, -75.3460)
    return planned(
        operation(
            (at("Creek", room=0), at("Ridge", parking=parking, carry_min=carry_min)),
            tuple(one_kit_hive(f"C{i}", "Creek") for i in range(4)),
            (Order("A", 4, ONE.name, "mated"),),
            crew=Crew("pair", HOME),
            settings=THREE_MILES,
        )
    )


def test_a_walk_from_the_truck() -> None:
    """Six minutes each way, a box a trip, four splits: 48 min. Roads end where the truck stops."""
    near, far = ridge_on_foot(0.0), ridge_on_foot(6.0)
    assert far.totals.paid_s - near.totals.paid_s == 48 * 60
    assert all(s.flying_m / MILE_M == pytest.approx(3.70, abs=0.005) for s in far.splits)
    road_m = 1.3 * 5920  # Creek to the parking place, 5.92 km by the haversine formula, on winding roads
    assert far.stops[1].drive_m == pytest.approx(road_m, rel=0.01)


# --- bears --------------------------------------------------------------------------------------------------


def ridge_with_bears(fence: bool | None, kits: int | None) -> Operation:
    return operation(
        (at("Creek", room=0), at("Ridge", bear=True, fence=fence)),
        (one_kit_hive("C1", "Creek"),),
        crew=Crew("pair", HOME),
        settings=THREE_MILES,
        stock=() if kits is None else (Stock("fence kit", "", kits),),
    )


@pytest.mark.parametrize("fence", [False, None])
@pytest.mark.parametrize("kits", [0, None])
def test_where_bears_come_no_split_stands_unfenced(fence: bool | None, kits: int | None) -> None:
    """An answer that nobody gave is not yes."""
    plan = planned(ridge_with_bears(fence, kits))
    assert plan.splits == ()
    assert why(plan).rule == "R11"
    assert "bears" in why(plan).reason


def test_a_fence_on_the_truck_and_time_to_set_it_up() -> None:
    fenced, bare = planned(ridge_with_bears(True, None)), planned(ridge_with_bears(False, 1))
    assert [s.fence_s for s in bare.stops] == [0, 45 * 60]
    assert bare.totals.paid_s - fenced.totals.paid_s == 45 * 60
    listed = [i for part in load(day_of(ridge_with_bears(False, 1), bare)) for i in part.items]
    (kit,) = [i for i in listed if "energiser" in i.what]
    assert (kit.count, "Ridge" in kit.remark) == (1, True)


# --- robbing ------------------------------------------------------------------------------------------------


def orchard_or_ridge(dearth: bool) -> Operation:
    """Twenty strong hives at Orchard, none at Ridge; Orchard is nearer home."""
    strong = tuple(hive(f"O{i:02d}", "Orchard", may_give=False) for i in range(20))
    assert all((h.count.capped or 0) + (h.count.open or 0) >= 10 for h in strong)
    return operation(
        (at("Creek", room=0), at("Orchard", looked_after=True), at("Ridge", looked_after=True)),
        (one_kit_hive("C1", "Creek"), *strong),
        crew=Crew("pair", Place(45.06, -75.44)),
        settings=Settings(dearth=dearth),
    )


def test_in_a_dearth_splits_stand_away_from_strong_hives() -> None:
    """Three minutes a strong hive, twenty of them: an hour counts against Orchard when nothing flows."""
    flow, dearth = planned(orchard_or_ridge(False)), planned(orchard_or_ridge(True))
    assert [s.to_yard for s in (*flow.splits, *dearth.splits)] == ["Orchard", "Ridge"]
    assert dearth.totals.paid_s > flow.totals.paid_s
    assert [a.robbing_s for a in (*flow.after, *dearth.after)] == [0, 0]


def test_why_it_is_not_the_cheaper_yard_is_told() -> None:
    plan = plan_in_full(orchard_or_ridge(True), SECONDS)
    (other,) = [a for a in plan.alternatives if dict(a.receiving) == {"Orchard": 1}]
    assert other.today_s < 0 < other.counted_s
    assert other.counted_s - other.today_s == 20 * 3 * 60
    assert "Orchard" in other.differs


# --- hours --------------------------------------------------------------------------------------------------


def test_hives_are_opened_in_their_hours_and_splits_placed_after_them() -> None:
    """Hives are opened from 15:00 to 15:30 only; boxes are placed until the day's end."""
    crew = Crew("pair", Place(0.0, 20.0), hives_from_min=900, hives_until_min=930)
    plan = planned(
        operation((yard("Y", 10.0, room=0), yard("Z", 20.0)), (one_kit_hive("H", "Y"),), crew=crew)
    )
    made, placed = plan.stops
    assert made.depart - made.leave_s <= 930 * 60
    assert placed.opened is not None
    assert placed.opened > 930 * 60
    short = replace(crew, hives_until_min=910)
    none = planned(
        replace(operation((yard("Y", 10.0, room=0), yard("Z", 20.0)), (one_kit_hive("H", "Y"),)), crew=short)
    )
    assert (none.splits, why(none).rule) == ((), "R8")
