"""Where splits go: distances, closed yards, fixed yards, priorities. All yards are invented."""

from dataclasses import replace
from datetime import timedelta

import pytest
from geopy.distance import geodesic, great_circle

from routeplan.operation.settings import MILE_M, Limits, Settings
from routeplan.operation.world import Crew, Kit, Operation, Order, Pair, Place
from tests.cases.planned import PLACES, at, planned, visits, why
from tests.planning.make import DAY, ONE, hive, one_kit_hive, operation, yard

HOME = Place(45.11, -75.39)
ONE_SPLIT = (Order("A", 1, ONE.name, "mated"),)


def from_creek(*receivers: str, least_m: float = 3 * MILE_M, units: str = "mi") -> Operation:
    """One hive at Creek gives one split; it may live in any of the receivers that is far enough."""
    return operation(
        (at("Creek", room=0), *(at(name, room=2) for name in receivers)),
        (one_kit_hive("C1", "Creek"),),
        ONE_SPLIT,
        crew=Crew("pair", HOME),
        settings=Settings(minimum_distance_m=least_m, units=units),
    )


@pytest.mark.parametrize("least_m", [3 * MILE_M, 3000.0], ids=["3 miles", "3 km"])
def test_mill_is_too_near_and_ridge_is_far_enough(least_m: float) -> None:
    """From Creek to Mill it is 1.78 mi (2.87 km), to Ridge 3.70 mi (5.96 km): Mill is on the way, but no."""
    plan = planned(from_creek("Mill", "Ridge", least_m=least_m))
    (split,) = plan.splits
    assert split.to_yard == "Ridge"
    assert split.flying_m / MILE_M == pytest.approx(3.70, abs=0.005)
    assert visits(plan) == ["Creek*", "Ridge"]


@pytest.mark.parametrize(
    ("least_m", "units", "said"), [(3 * MILE_M, "mi", "3.00 mi"), (3000.0, "km", "3.00 km")]
)
def test_refused_with_the_distance_asked_for(least_m: float, units: str, said: str) -> None:
    plan = planned(from_creek("Mill", least_m=least_m, units=units))
    assert plan.stops == ()
    assert why(plan).rule == "R5"
    assert said in why(plan).reason


def test_two_kilometres_allow_mill() -> None:
    assert planned(from_creek("Mill", "Ridge", least_m=2000.0)).splits[0].to_yard == "Mill"


def test_a_ridge_between_two_yards_counts_when_stated() -> None:
    one = replace(from_creek("Mill"), pairs=(Pair("Mill", "Creek", flying_m=5000.0),))
    assert planned(one).splits[0].flying_m == 5000


def test_on_the_edge_the_geodesic_decides() -> None:
    """To Edge it is 3.003 mi on the WGS-84 ellipsoid and 2.994 mi on a sphere (both formulas of geopy)."""
    creek, edge = ((p.lat, p.lon) for p in (PLACES["Creek"], PLACES["Edge"]))
    assert great_circle(creek, edge).miles < 3.0 < geodesic(creek, edge).miles
    (split,) = planned(from_creek("Edge")).splits
    assert split.flying_m == round(geodesic(creek, edge).m)
    exactly = geodesic(creek, edge).m
    assert planned(from_creek("Edge", least_m=exactly)).splits  # as far as asked for is far enough
    assert why(planned(from_creek("Edge", least_m=exactly + 0.01))).rule == "R5"


# --- yards that cannot be used ------------------------------------------------------------------------------


@pytest.mark.parametrize(("days", "to"), [(6, "Orchard"), (1, "Orchard"), (0, "Ridge"), (-3, "Ridge")])
def test_closed_until_the_first_day_it_is_open_again(days: int, to: str) -> None:
    one = from_creek("Ridge", "Orchard")
    closed = replace(one.yard("Ridge"), closed_until=DAY + timedelta(days=days))
    yards = tuple(closed if y.id == "Ridge" else y for y in one.yards)
    assert planned(replace(one, yards=yards)).splits[0].to_yard == to


def test_a_closed_yard_gives_nothing_either() -> None:
    one = from_creek("Ridge")
    for change in ({"closed_until": DAY + timedelta(days=1)}, {"closed_days": (DAY.isoweekday(),)}):
        creek = replace(one.yard("Creek"), **change)  # type: ignore[arg-type]
        plan = planned(replace(one, yards=(creek, one.yard("Ridge"))))
        assert plan.stops == ()
        assert why(plan).reason
    other_days = tuple(d for d in range(1, 8) if d != DAY.isoweekday())
    open_today = replace(one.yard("Creek"), closed_days=other_days)
    assert planned(replace(one, yards=(open_today, one.yard("Ridge")))).splits


def test_no_room_is_named_as_such() -> None:
    one = from_creek("Ridge", "Far")
    full = replace(one, yards=(one.yard("Creek"), at("Far", room=0), at("Ridge", takes_splits=False)))
    assert why(planned(full)).rule == "R6"


# --- yards fixed by the beekeeper ---------------------------------------------------------------------------


def four_yards(*orders: Order) -> Operation:
    """Donors at 10 and 30 km, room at 20 and 60 km."""
    return operation(
        (yard("N", 10.0, room=0), yard("F", 30.0, room=0), yard("P", 20.0), yard("Q", 60.0)),
        (one_kit_hive("1", "N"), one_kit_hive("2", "N"), one_kit_hive("3", "F"), one_kit_hive("4", "F")),
        orders,
    )


@pytest.mark.parametrize(
    ("source", "target", "ways"),
    [
        (None, None, {("N", "P")}),
        ("F", None, {("F", "P")}),
        (None, "Q", {("N", "Q"), ("F", "Q")}),
        ("F", "Q", {("F", "Q")}),
    ],
)
def test_fixed_yards_are_kept(source: str | None, target: str | None, ways: set[tuple[str, str]]) -> None:
    plan = planned(four_yards(Order("A", 1, ONE.name, "mated", from_yard=source, to_yard=target)))
    (split,) = plan.splits
    assert (split.from_yard, split.to_yard) in ways


def test_fixed_and_free_rows_on_one_round() -> None:
    orders = (
        Order("A", 2, ONE.name, "mated", from_yard="F", to_yard="Q"),
        Order("B", 1, ONE.name, "ripe cell", to_yard="P"),
        Order("C", 1, ONE.name, "mated"),
    )
    plan = planned(four_yards(*orders))
    ways = {(s.order, s.from_yard, s.to_yard) for s in plan.splits}
    assert {("A", "F", "Q"), ("B", "N", "P")} <= ways
    assert len(plan.splits) == 4


def test_a_fixed_yard_that_is_too_near_is_refused() -> None:
    one = four_yards(Order("A", 1, ONE.name, "mated", from_yard="N", to_yard="P"))
    near = replace(one, settings=replace(one.settings, minimum_distance_m=10_001.0))
    assert planned(one).splits
    assert why(planned(near)).rule == "R5"


# --- priorities ---------------------------------------------------------------------------------------------


def test_a_later_priority_never_displaces_an_earlier_one() -> None:
    """The hive gives two brood frames: one split of the first class, or two of the second."""
    first = Kit("first", capped=2, food=1, drawn=1)
    second = Kit("second", capped=1, food=0, drawn=1)
    one = operation(
        (yard("Y", 10.0, room=0), yard("Z", 20.0)),
        (hive("H", capped=4.0, open=3.0),),
        (Order("A", 2, second.name, "mated", priority=2), Order("B", 1, first.name, "mated", priority=1)),
        (first, second),
    )
    plan = planned(one)
    assert [s.order for s in plan.splits] == ["B"]
    assert (why(plan).order, why(plan).count) == ("A", 2)
    other = replace(one, orders=(one.orders[0], replace(one.orders[1], priority=3)))
    assert [s.order for s in planned(other).splits] == ["A", "A"]


def test_a_far_first_class_split_goes_before_two_near_ones() -> None:
    """The day is long enough for the far split or for the two near ones, not for all three."""
    one = operation(
        (yard("N", 10.0, room=0), yard("P", 20.0, room=4), yard("Q", 100.0, room=1)),
        (one_kit_hive("1", "N"), one_kit_hive("2", "N")),
        (
            Order("near", 2, ONE.name, "mated", priority=2),
            Order("far", 1, ONE.name, "mated", priority=1, to_yard="Q"),
        ),
        # home - N - Q - home with one split 2820 + 156 x 100 = 18 420 s: 5 h 07
        crew=Crew("pair", Place(0.0, 20.0), start_min=540, end_min=540 + 308, hives_from_min=540),
    )
    plan = planned(one)
    assert [s.order for s in plan.splits] == ["far"]
    assert (why(plan).order, why(plan).count, why(plan).rule) == ("near", 2, "R8")


# --- a yard visited twice -----------------------------------------------------------------------------------


def room_only_at_the_donors(visits_per_yard: int) -> Operation:
    """Two donor yards 10 km apart that take each other's split; the only other room is at 80 km."""
    return operation(
        (yard("N", 10.0, room=1), yard("F", 20.0, room=1), yard("Q", 80.0)),
        (one_kit_hive("1", "N"), one_kit_hive("2", "F")),
        (Order("A", 2, ONE.name, "mated"),),
        settings=Settings(minimum_distance_m=5000.0, limits=Limits(visits_per_yard=visits_per_yard)),
    )


def test_a_yard_is_visited_twice_where_that_is_quicker() -> None:
    """Drives 4 x 960 s; N 1680 s; F 900 + 300 + 780 s; N again, placing, 600 s: 8100 s."""
    plan = planned(room_only_at_the_donors(2))
    assert visits(plan) == ["N*", "F*", "N"]
    assert (plan.totals.paid_s, plan.proof.status) == (3840 + 1680 + 1980 + 600, "optimal")
    assert {(s.from_yard, s.to_yard) for s in plan.splits} == {("N", "F"), ("F", "N")}


def test_with_one_visit_a_yard_the_far_one_is_used() -> None:
    plan = planned(room_only_at_the_donors(1))
    assert visits(plan) == ["N*", "F*", "Q"]
    # N - F 960, F - Q 4860, Q - home 6420; one of the two placed at F on the way, or both at Q: the same time
    assert plan.totals.paid_s == 960 + 1680 + 960 + 1680 + 4860 + 300 + 600 + 6420
    assert plan.proof.status == "optimal"
