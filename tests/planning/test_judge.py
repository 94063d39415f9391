"""The judge of an order of visits, worked out by hand where each limit binds."""

from dataclasses import replace
from typing import Any

import pytest

from routeplan.operation.settings import Limits, ShutIn
from routeplan.operation.world import Crew, Hive, Operation
from routeplan.operation.world import Order as Asked
from routeplan.planning.case import case_of
from routeplan.planning.judge import Judge
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Visit
from tests.planning.make import DAY_ALONE, ONE, east, hive, one_kit_hive, operation, yard
from tests.planning.proved import FAR, judged, spent_s


def order_of(one: Operation, *stops: str) -> Order:
    """An order of visits by names of yards, with a star where hives are opened."""
    index = {y.id: i for i, y in enumerate(one.yards)}
    return tuple(Visit(index[s.rstrip("*")], s.endswith("*")) for s in stops)


def paid(one: Operation, *stops: str) -> int | None:
    """Least paid seconds of an order; None when it cannot be."""
    verdict = judged(case_of(one), order_of(one, *stops))
    assert verdict.sure
    return verdict.found.paid_s if verdict.found else None


# --- by hand ------------------------------------------------------------------------------------------------
#
# Home, donors' yard Y 10 km east, new yard Z 20 km east. A drive takes 180 s + 78 s a km: home - Y 960, Y - Z
# 960, Z - home 1740. One split of each kind from one hive: open 300, three frames 270, a shake 30, make 180;
# place 300 (caged queen). Set up and leave 600 + 300 where hives are opened, 300 where not.
#   960 + 600 + 600 + 180 + 300 + 960 + 300 + 300 + 1740 = 5940 s
# From leaving Y to the box being open: 960 + 300 + 300 = 1560 s, 26 min.


def two_yards(splits: int = 1, hives: int = 1, **crew: Any) -> Operation:
    """Home, Y and Z, and hives of which each gives one split."""
    return operation(
        (yard("Y", 10.0, room=0), yard("Z", 20.0)),
        tuple(one_kit_hive(f"H{i}", "Y") for i in range(hives)),
        (Asked("A", splits, ONE.name, "mated"),),
        crew=Crew("pair", east(0.0), **crew),
    )


def shut_in(one: Operation, minutes: float) -> Operation:
    """The same day with so many minutes a box may be shut in."""
    return replace(one, settings=replace(one.settings, shut_in=ShutIn(screened_min=(minutes,) * 4)))


def test_one_split_by_hand() -> None:
    assert paid(two_yards(), "Y*", "Z") == 5940
    assert paid(two_yards(), "Z", "Y*") is None
    # two splits of two hives: 780 s more at Y, 300 s more at Z
    assert paid(two_yards(2, 2), "Y*", "Z") == 5940 + 780 + 300


def test_a_round_must_stay_under_the_seconds_asked_for() -> None:
    case = case_of(two_yards())
    order = order_of(case.operation, "Y*", "Z")
    assert judged(case, order, 5940).found is None
    assert judged(case, order, 5941).found is not None


@pytest.mark.parametrize(("minutes", "seconds"), [(26.0, 5940), (25.98, None)])
def test_minutes_shut_in_bind(minutes: float, seconds: int | None) -> None:
    assert paid(shut_in(two_yards(), minutes), "Y*", "Z") == seconds


def test_going_back_where_boxes_would_be_shut_in_too_long() -> None:
    """Two splits at Y first and W after: with both aboard the first is shut in over W's hive work."""
    one = operation(
        (yard("W", 15.0, room=0), yard("Y", 10.0, room=0), yard("Z", 20.0)),
        (one_kit_hive("H", "Y"), one_kit_hive("I", "W")),
        (Asked("A", 2, ONE.name, "mated"),),
    )
    # Y - W - Z in one go: 570 + 600 + 780 + 300 + 570 + 300 + 2 x 300 = 3720 s for the split of Y
    assert paid(shut_in(one, 62.0), "Y*", "W*", "Z") == 960 + 2 * (900 + 780) + 2 * 570 + 900 + 1740
    assert paid(shut_in(one, 61.9), "Y*", "W*", "Z") is None
    assert paid(shut_in(one, 61.9), "Y*", "Z", "W*", "Z") == 960 + 2 * 1680 + 960 + 2 * 600 + 2 * 570 + 1740


def test_waiting_is_paid_and_shuts_boxes_in() -> None:
    """Hives closed by 11:00, away from Y at 11:05, at Z 11:21, and Z opens at 13:00: 5940 s of waiting."""
    one = two_yards(hives_until_min=11 * 60)
    late = replace(one, yards=(one.yards[0], replace(one.yards[1], opens_min=13 * 60)))
    assert paid(late, "Y*", "Z") == 5940 + 5940
    # shut in for 960 + 5940 + 600 s
    assert paid(shut_in(late, 125.0), "Y*", "Z") == 5940 + 5940
    assert paid(shut_in(late, 124.98), "Y*", "Z") is None  # 7499 s


def test_leaving_home_later_is_free() -> None:
    one = two_yards()
    late = replace(one, yards=(one.yards[0], replace(one.yards[1], opens_min=13 * 60)))
    found = judged(case_of(late), order_of(late, "Y*", "Z")).found
    assert found is not None
    assert found.paid_s == 5940
    # at Z at 13:00 or later: home 960 + 600 + 780 + 300 + 960 = 3600 s before, so from 12:00 on
    assert found.times.leave_home >= 12 * 3600


def test_hours_of_a_yard_bind_at_both_ends() -> None:
    one = two_yards()

    def at_z(opens: int, closes: int) -> int | None:
        z = replace(one.yards[1], opens_min=opens, closes_min=closes)
        return paid(replace(one, yards=(one.yards[0], z)), "Y*", "Z")

    # hives from 10:00 at Y: away at 10:18, at Z 10:34, done 10:44
    assert at_z(0, 10 * 60 + 44) == 5940
    assert at_z(0, 10 * 60 + 43) is None
    # hives till 17:00: away 17:05, at Z 17:21; the day ends at 19:00, 29 min of drive and 10 at Z before it
    assert at_z(18 * 60, 19 * 60) == 5940 + 39 * 60
    assert at_z(18 * 60 + 21, 19 * 60) == 5940 + 60 * 60
    assert at_z(18 * 60 + 22, 19 * 60) is None


@pytest.mark.parametrize(("until", "seconds"), [(10 * 60 + 13, 5940), (10 * 60 + 12, None)])
def test_hours_for_opening_hives_bind_at_one_yard(until: int, seconds: int | None) -> None:
    """Hive work of 600 and making of 180 s: 13 min."""
    assert paid(two_yards(hives_until_min=until), "Y*", "Z") == seconds


@pytest.mark.parametrize(("until", "fits"), [(10 * 60 + 51, True), (10 * 60 + 50, False)])
def test_hours_for_opening_hives_bind_over_two_yards(until: int, fits: bool) -> None:
    """780 s at Y, leave 300, drive 5 km 570, set up 600, 780 s at W: 3030 s, 50 min 30 s."""
    one = operation(
        (yard("W", 15.0, room=0), yard("Y", 10.0, room=0), yard("Z", 20.0)),
        (one_kit_hive("H", "Y"), one_kit_hive("I", "W")),
        (Asked("A", 2, ONE.name, "mated"),),
        crew=Crew("pair", east(0.0), hives_until_min=until),
    )
    assert (paid(one, "Y*", "W*", "Z") is not None) == fits


def test_the_day_binds() -> None:
    """99 min of work and drive."""
    assert paid(two_yards(start_min=600, end_min=699, hives_from_min=600), "Y*", "Z") == 5940
    assert paid(two_yards(start_min=600, end_min=698, hives_from_min=600), "Y*", "Z") is None


@pytest.mark.parametrize(
    ("places", "nested", "splits", "in_one_go"),
    [
        (2, 4, 2, True),
        (1, 4, 2, False),
        (1, 2, 2, False),
        (2, 1, 3, False),
        (3, 1, 3, True),
        (None, 1, 3, True),
    ],
)
def test_places_on_the_truck_bind(places: int | None, nested: int, splits: int, in_one_go: bool) -> None:
    one = two_yards(splits, splits, places=places, empties_per_place=nested)
    straight = 5940 + (splits - 1) * 1080
    assert paid(one, "Y*", "Z") == (straight if in_one_go else None)


def test_an_empty_box_needs_its_place_beside_a_full_one() -> None:
    """One split of Y to Z, then one of W to Z: never two full, but a full and an empty on the first ride."""
    one = operation(
        (yard("W", 15.0, room=0), yard("Y", 10.0, room=0), yard("Z", 20.0)),
        (one_kit_hive("H", "Y"), one_kit_hive("I", "W")),
        (Asked("A", 2, ONE.name, "mated"),),
    )
    for places, fits in ((1, False), (2, True)):
        small = replace(one, crew=replace(one.crew, places=places, empties_per_place=2))
        assert (paid(small, "Y*", "Z", "W*", "Z") is not None) == fits


def test_a_second_ride_where_the_truck_is_small() -> None:
    """One full and one empty box need two places; a second ride takes 2 x 960 s and 1200 s of set-up."""
    one = two_yards(2, 2, places=1, empties_per_place=2)
    assert paid(one, "Y*", "Z", "Y*", "Z") is None
    two = two_yards(2, 2, places=2, empties_per_place=2)
    assert paid(two, "Y*", "Z", "Y*", "Z") == 5940 + 1080 + 2 * 960 + 900 + 300


@pytest.mark.parametrize(
    ("splits", "rides", "fits"), [(5, 4, True), (5, 3, False), (6, 6, False), (2, 1, True), (3, 1, False)]
)
def test_empties_share_the_truck_with_full_boxes(splits: int, rides: int, fits: bool) -> None:
    """Two places, four empties in one: of five boxes three are made one a ride, then two at once.

    With six, the first full box and five empties need three places.
    """
    one = two_yards(splits, splits, places=2)
    assert (paid(one, *(["Y*", "Z"] * rides)) is not None) == fits


# --- one split from few hives -------------------------------------------------------------------------------


def gives_only(what: str, name: str, supers: int = 0) -> Hive:
    """A hive that gives one frame of one kind, and shakes."""
    counts = {
        "capped": {"open": 1.2, "food": 2.1},
        "open": {"open": 2.0, "food": 2.1, "mites_per_100": 9.0},
        "food": {"capped": 3.0, "open": 2.0, "food": 3.0},
        "brood": {"capped": 4.0, "open": 3.0, "food": 2.2},
    }
    return hive(name, "Y", supers=supers, **counts[what])


@pytest.mark.parametrize(
    ("cheap", "supers", "opening_s"),
    [
        # two hives at 300 s, or one with four supers at 60 x (4 + 6 + 1) = 660
        (("brood", "food"), 4, {1: 660, 2: 600, 3: 600}),
        # three hives at 300 s, or one with eight supers at 60 x (4 + 12 + 1) = 1020
        (("capped", "open", "food"), 8, {1: 1020, 2: 1020, 3: 900}),
    ],
)
@pytest.mark.parametrize("donors", [1, 2, 3])
def test_few_donors_make_a_yard_dearer(
    cheap: tuple[str, ...], supers: int, opening_s: dict[int, int], donors: int
) -> None:
    one = operation(
        (yard("Y", 10.0, room=0), yard("Z", 20.0)),
        (*(gives_only(what, f"C{i}") for i, what in enumerate(cheap)), one_kit_hive("S", "Y", supers=supers)),
        settings=replace(DAY_ALONE, limits=Limits(donors_per_split=donors)),
    )
    case = case_of(one)
    judge = Judge(case, Clock(20.0))
    order = order_of(one, "Y*", "Z")
    found = judge.judge(order, spent_s(case, order), FAR).found
    assert found is not None
    assert found.counts.opening == (opening_s[donors], 0)
    assert found.paid_s == 5940 - 300 + opening_s[donors]
    (box,) = found.boxes[0].boxes
    assert len({h.id for h, _, _ in box.takes}) <= donors
    assert bool(judge.dearer) == (opening_s[donors] > opening_s[3])
    again = judge.judge(order, spent_s(case, order), FAR).found  # what was learnt is kept
    assert again is not None
    assert again.paid_s == found.paid_s


def test_no_hive_can_fill_the_box_alone() -> None:
    one = operation(
        (yard("Y", 10.0, room=0), yard("Z", 20.0)),
        (gives_only("brood", "B"), gives_only("food", "F")),
        settings=replace(DAY_ALONE, limits=Limits(donors_per_split=1)),
    )
    assert paid(one, "Y*", "Z") is None


@pytest.mark.parametrize("donors", [1, 2])
def test_a_dearer_box_beside_one_of_another_format(donors: int) -> None:
    """A deep split of two hives at 300 s or of one at 660 s, and a medium one of a hive at 300 s."""
    deep = (gives_only("brood", "B"), gives_only("food", "F"), one_kit_hive("S", "Y", supers=4))
    kits = (replace(ONE, frame="deep"), replace(ONE, name="other", frame="medium"))
    one = operation(
        (yard("Y", 10.0, room=0), yard("Z", 20.0)),
        (*deep, one_kit_hive("M", "Y", frame="medium")),
        (Asked("A", 1, ONE.name, "mated"), Asked("B", 1, "other", "mated")),
        kits,
        settings=replace(DAY_ALONE, limits=Limits(donors_per_split=donors)),
    )
    case, order = case_of(one), order_of(one, "Y*", "Z")
    verdict = Judge(case, Clock(4.0)).judge(order, spent_s(case, order), FAR)
    assert verdict.sure
    assert verdict.found is not None
    assert verdict.found.paid_s == 5940 + 780 + 300 + (360 if donors == 1 else 300)
