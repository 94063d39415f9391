"""What would let one more split be made, and what one more of something saves: worked out by hand."""

from dataclasses import replace

import pytest

from routeplan.operation.settings import MILE_M, NO_LATER, Limits, Settings, Swaps
from routeplan.operation.world import Crew, Kit, Operation, Order, Place, Stock, Yard
from routeplan.plan import Change, Plan, Unplaced
from routeplan.planning.changes import changes_of, places_all
from routeplan.planning.limits import Clock
from routeplan.planning.savings import savings_of
from routeplan.planning.solve import plan_day
from routeplan.planning.wishes import wanting
from tests.planning.make import ONE, east, hive, one_kit_hive, operation, yard

NOW = Settings(minimum_distance_m=5000.0, later=NO_LATER)
YARDS = (yard("Creek", 10.0, takes_splits=False), yard("Ridge", 20.0))
TWO = (one_kit_hive("A", "Creek"), one_kit_hive("B", "Creek"))
THREE_ASKED = (Order("A", 3, ONE.name, "mated"),)


def short(day: Operation) -> tuple[Plan, tuple[Change, ...]]:
    plan = plan_day(day, 10.0)
    assert plan.unplaced
    return plan, changes_of(day, plan, Clock(30.0))


def told(changes: tuple[Change, ...]) -> dict[tuple[str, str], tuple[int, int]]:
    return {(c.what, c.where): (c.amount, c.more) for c in changes}


def test_nothing_short_nothing_to_change() -> None:
    day = operation(YARDS, TWO, settings=NOW)
    assert changes_of(day, plan_day(day, 10.0), Clock(10.0)) == ()


def test_capped_frames_that_are_short() -> None:
    """A and B can give two brood frames each (4 + 3 brood, 5 kept); C holds 0.9 capped and 5 open, 5.9.

    One capped frame more in C leaves 6.9 - 2 = 4.9 when a kit is taken; two leave 5.9. Or C, with two open
    frames more (7.9), gives two open frames, and A two capped ones.
    """
    poor = hive("C", "Creek", capped=0.9, open=5.0, bees=12.0)
    day = operation(YARDS, (*TWO, poor), THREE_ASKED, settings=NOW)
    plan, changes = short(day)
    assert len(plan.splits) == 2
    assert told(changes) == {("capped frames", "Creek"): (2, 1), ("open frames", "Creek"): (2, 1)}
    assert changes[0].sentence == (
        "2 more capped frames, with their bees, in hive C at Creek would let 1 more split be made."
    )


def test_a_hive_below_its_keep_back() -> None:
    """C holds 3 capped and 1.5 open, keeps 5 and the kit takes 2: 2.5 are short, in whole frames 3."""
    poor = hive("C", "Creek", capped=3.0, open=1.5, bees=12.0)
    kit = Kit("two", capped=2, food=1, drawn=1)
    day = operation(YARDS, (poor,), (Order("A", 1, kit.name, "mated"),), (kit,), settings=NOW)
    _, changes = short(day)
    assert told(changes)["capped frames", "Creek"] == (3, 1)


def test_mated_queens_that_are_short() -> None:
    day = operation(YARDS, (*TWO, one_kit_hive("C", "Creek")), THREE_ASKED, settings=NOW)
    day = replace(day, stock=(Stock("mated queen", "", 1),))
    plan, changes = short(day)
    assert len(plan.splits) == 1
    assert told(changes) == {("mated queen", "home"): (1, 1)}
    assert changes[0].sentence == "1 more mated queen at home would let 1 more split be made."


def test_combs_that_are_short() -> None:
    """Five combs a box: 12 at home are two boxes and two combs, so three more make the third."""
    day = operation(YARDS, (*TWO, one_kit_hive("C", "Creek")), THREE_ASKED, settings=NOW)
    day = replace(day, stock=(Stock("drawn comb", "deep", 3), Stock("foundation", "deep", 9)))
    _, changes = short(day)
    assert told(changes) == {("foundation", "home"): (3, 1), ("drawn comb", "home"): (3, 1)}


def test_food_frames_may_be_combs_from_stock() -> None:
    """None of three hives has food to give; two combs of food are at home, and a third is wanted."""
    hungry = tuple(replace(h, count=replace(h.count, food=2.5)) for h in (*TWO, one_kit_hive("C", "Creek")))
    swaps = replace(NOW, swaps=Swaps(food_comb=True))
    day = operation(YARDS, hungry, THREE_ASKED, settings=swaps, stock=(Stock("food comb", "deep", 2),))
    plan, changes = short(day)
    assert len(plan.splits) == 2
    assert told(changes)["food comb", "home"] == (1, 1)
    assert told(changes)["food frames", "Creek"] == (1, 1)


def test_room_that_is_short() -> None:
    yards = (YARDS[0], replace(YARDS[1], room=2), yard("Mill", 12.0, room=4))  # Mill is 2 km from Creek
    day = operation(yards, (*TWO, one_kit_hive("C", "Creek")), THREE_ASKED, settings=NOW)
    plan, changes = short(day)
    assert len(plan.splits) == 2
    rooms = [c for c in changes if c.what == "room"]
    assert told(tuple(rooms)) == {("room", "Ridge"): (1, 1)}
    assert rooms[0].sentence == "Room for 1 more at Ridge would let 1 more split be made."


def test_a_day_too_short() -> None:
    """A round for three takes longer than a round for two by a third hive and a third split; the day ends a
    quarter of an hour too early for it."""
    day = operation(YARDS, (*TWO, one_kit_hive("C", "Creek")), THREE_ASKED, settings=NOW)
    paid_s = plan_day(day, 10.0).totals.paid_s
    # hives are opened from 10:00; before that come 180 + 78 x 10 s of driving and 600 s of set-up
    end_min = (36000 + paid_s - 960 - 600) // 60 - 17
    late = replace(day, crew=replace(day.crew, end_min=end_min))
    plan, changes = short(late)
    assert len(plan.splits) == 2
    assert told(changes) == {("day", ""): (20, 1)}
    assert [c.sentence for c in changes] == ["A day 20 min longer would let 1 more split be made."]
    longer = replace(late, crew=replace(late.crew, end_min=end_min + 15))
    assert not places_all(longer, Clock(5.0)), "one step less is too little"


def test_hours_for_opening_hives_that_bind() -> None:
    day = operation(YARDS, (*TWO, one_kit_hive("C", "Creek")), THREE_ASKED, settings=NOW)
    stop = plan_day(day, 10.0).stops[0]
    until_min = 600 + (stop.hive_s + stop.make_s) // 60 - 7
    plan, changes = short(replace(day, crew=replace(day.crew, hives_until_min=until_min)))
    assert len(plan.splits) == 2
    assert told(changes) == {("hive hours", ""): (10, 1)}
    assert changes[0].sentence == "Hours for opening hives 10 min longer would let 1 more split be made."


def test_places_on_the_truck() -> None:
    """Three boxes made at one stop need three places; with two one split stays undone."""
    crew = Crew("pair", east(0.0), places=2)
    kits = (ONE,)
    day = operation(YARDS, (*TWO, one_kit_hive("C", "Creek")), THREE_ASKED, kits, crew, NOW)
    once = replace(day, settings=replace(NOW, limits=replace(NOW.limits, visits_per_yard=1)))
    plan, changes = short(once)
    assert len(plan.splits) == 2
    assert told(changes) == {("truck places", ""): (1, 1)}


def test_one_more_donor_a_split() -> None:
    """Four capped frames from hives that give one each: four donors, three are allowed."""
    kit = Kit("four", capped=4, drawn=1)
    hives = tuple(hive(f"H{n}", "Creek", capped=4.5, open=1.9, bees=14.0) for n in range(4))
    day = operation(YARDS, hives, (Order("A", 1, kit.name, "mated"),), (kit,), settings=NOW)
    _, changes = short(day)
    sentences = [c.sentence for c in changes if c.what == "donors a split"]
    assert sentences == ["Frames from up to 4 hives in one box, not 3, would let 1 more split be made."]


def test_a_fence_where_bears_come() -> None:
    yards = (YARDS[0], replace(YARDS[1], bear=True, fence=False))
    _, changes = short(operation(yards, TWO, settings=NOW))
    assert told(changes)["fence kit", "home"] == (1, 1)


def test_a_hive_split_in_its_own_right_that_is_short() -> None:
    """What stays behind is 6 bees: of 12 go 1 + 1 + 0.5 + 0.8, twice; 0.6 are short, one frame more."""
    order = Order("A", 2, ONE.name, "mated", from_yard="Creek", hive="A")
    day = operation(YARDS, (hive("A", "Creek", bees=12.0, capped=5.0, open=4.0),), (order,), settings=NOW)
    plan, changes = short(day)
    assert len(plan.splits) == 1
    assert ("bees", "Creek") in told(changes)
    assert "in hive A at Creek would let 1 more split be made." in changes[0].sentence


def test_more_hives_where_no_one_kind_is_short() -> None:
    """A and B give one whole kit each and nothing beside it: no frames of one kind alone make a third."""
    _, changes = short(operation(YARDS, TWO, THREE_ASKED, settings=NOW))
    assert [c.sentence for c in changes] == ["1 more hive like B at Creek would let 1 more split be made."]
    assert told(changes) == {("hives", "Creek"): (1, 1)}


def test_one_more_queen_mother() -> None:
    """A is the only queen mother and gives three brood frames at most; the second kit needs B's eggs."""
    hives = (hive("A", "Creek", queen_mother=True), hive("B", "Creek"))
    kit = Kit("eggs", open=2, drawn=1)
    day = operation(YARDS, hives, (Order("A", 2, kit.name, "raise own"),), (kit,), settings=NOW)
    plan, changes = short(day)
    assert len(plan.splits) == 1
    assert told(changes) == {("queen mother", "Creek"): (1, 1)}
    assert changes[0].sentence == ("Hive B at Creek as one more queen mother would let 1 more split be made.")


def test_which_order_is_named_where_several_are_short() -> None:
    orders = (Order("first", 3, ONE.name, "mated"), Order("second", 1, ONE.name, "ripe cell"))
    stock = (Stock("mated queen", "", 1), Stock("ripe cell", "", 0))
    day = operation(YARDS, (*TWO, one_kit_hive("C", "Creek")), orders, settings=NOW, stock=stock)
    _, changes = short(day)
    assert [c.sentence for c in changes] == [
        "1 more mated queen at home would let 1 more split of order first be made.",
        "1 more ripe cell at home would let 1 more split of order second be made.",
    ]


CREEK, MILL = Place(45.1000, -75.4000), Place(45.1200, -75.3770)


def no_second_yard(stay_put: bool) -> Operation:
    """Creek and Mill are 1.78 miles apart (geopy's geodesic), at least 3 are asked."""
    settings = Settings(later=NO_LATER, units="mi", minimum_distance_m=3 * MILE_M, stay_put=stay_put)
    return replace(
        operation((Yard("Creek", CREEK), Yard("Mill", MILL)), (hive("A", "Creek"), hive("B", "Creek"))),
        crew=Crew("pair", CREEK),
        settings=settings,
    )


def test_a_shorter_distance_is_stated_and_never_advised() -> None:
    _, changes = short(no_second_yard(stay_put=False))
    (one,) = changes
    assert (one.what, one.where, one.more) == ("distance", "Mill", 0)
    assert one.sentence.startswith(
        "The farthest yard with room is Mill, 1.78 mi from Creek; at least 3.00 mi are asked."
    )
    assert "drift home" in one.sentence
    assert "would let" not in one.sentence


def test_a_split_that_stays_is_a_fallback_and_only_if_allowed() -> None:
    """Each of two hives gives two shakes: one kit's and two more are three."""
    _, changes = short(no_second_yard(stay_put=True))
    (stays,) = [c for c in changes if c.what == "stay put"]
    assert (stays.where, stays.more) == ("Creek", 1)
    assert stays.sentence.startswith(
        "A fallback, not a success: 1 split could stay at Creek, on the old stand"
    )
    assert "2 more frames" in stays.sentence
    assert "the next day" in stays.sentence
    one_hive = no_second_yard(stay_put=True)
    one_hive = replace(one_hive, hives=one_hive.hives[:1])
    _, changes = short(one_hive)
    assert "stay put" not in {c.what for c in changes}, "one hive cannot give three shakes"


def test_where_only_time_for_planning_was_short_nothing_is_said() -> None:
    """All three could be made; a plan of two that is not proved the most is no reason to buy anything."""
    day = operation(YARDS, (*TWO, one_kit_hive("C", "Creek")), THREE_ASKED, settings=NOW)
    two = plan_day(replace(day, orders=(Order("A", 2, ONE.name, "mated"),)), 10.0)
    proof = replace(two.proof, count_status="feasible", most_splits=3)
    unfinished = replace(two, unplaced=(Unplaced("A", 1, "R10", "no time"),), proof=proof)
    assert changes_of(day, unfinished, Clock(10.0)) == ()


def test_no_more_than_was_tried_is_said() -> None:
    day = operation(YARDS, TWO, THREE_ASKED, settings=NOW)
    assert changes_of(day, plan_day(day, 10.0), Clock(0.0)) == ()


def test_what_is_told_works_and_less_of_it_does_not() -> None:
    """Planned from the start with it in the tables: one more split; with one frame less none more."""
    poor = hive("C", "Creek", capped=0.9, open=5.0, bees=12.0)
    day = operation(YARDS, (*TWO, poor), THREE_ASKED, settings=NOW, stock=(Stock("mated queen", "", 3),))
    plan, changes = short(day)
    amount, more = told(changes)["capped frames", "Creek"]
    for frames, splits in ((amount, more), (amount - 1, 0)):
        count = replace(poor.count, capped=0.9 + frames, bees=12.0 + frames)
        richer = replace(day, hives=(*day.hives[:2], replace(poor, count=count)))
        assert len(plan_day(richer, 10.0).splits) == len(plan.splits) + splits


def test_wanting_keeps_the_splits_of_the_plan() -> None:
    day = operation(YARDS, TWO, THREE_ASKED, settings=NOW)
    plan = plan_day(day, 10.0)
    assert [o.count for o in wanting(day, plan).orders] == [2]
    assert [o.count for o in wanting(day, plan, day.orders[0], 1).orders] == [3]


# --- what one more saves ----------------------------------------------------------------------------------


def test_what_one_more_person_saves() -> None:
    """Three people share what two do: hive work, making and placing take two thirds of it."""
    day = operation(YARDS, TWO, settings=NOW)
    plan = plan_day(day, 10.0)
    (person,) = savings_of(day, plan, Clock(20.0), plan_day)
    t = plan.totals
    assert person.what == "one more person"
    assert person.saves_s == pytest.approx((t.hive_s + t.make_s + t.place_s) / 3, abs=5)
    assert person.proved


def test_what_a_place_saves_and_what_it_does_not() -> None:
    crew = Crew("pair", east(0.0), places=2)
    day = operation(YARDS, (*TWO, one_kit_hive("C", "Creek")), THREE_ASKED, (ONE,), crew, NOW)
    plan = plan_day(day, 10.0)
    assert len(plan.splits) == 3, "by going to Creek twice"
    place = next(s for s in savings_of(day, plan, Clock(30.0), plan_day) if "truck" in s.what)
    once = plan_day(replace(day, crew=replace(crew, places=3)), 10.0)
    assert place.saves_s == plan.totals.counted_s - once.totals.counted_s > 0
    roomy = replace(day, crew=replace(crew, places=9))
    place = next(
        s for s in savings_of(roomy, plan_day(roomy, 10.0), Clock(30.0), plan_day) if "truck" in s.what
    )
    assert (place.saves_s, place.proved) == (0, True)


def test_what_one_more_donor_yard_saves() -> None:
    """Near is 4 km out but was last looked at three weeks ago; Creek is 10. Near and back over Ridge is no
    shorter, as Creek lies on the way, so Near at the other side of home saves nothing and is said to."""
    yards = (*YARDS, yard("Near", 26.0, takes_splits=False), yard("Ridge two", 31.5))
    old = (one_kit_hive("N", "Near", days=21), one_kit_hive("O", "Near", days=21))
    day = operation(yards, (*TWO, *old), settings=NOW)
    plan = plan_day(day, 10.0)
    savings = {s.what: s for s in savings_of(day, plan, Clock(30.0), plan_day)}
    assert savings["frames from Near, as if counted on the day"].saves_s == 0


def test_a_yard_whose_hives_may_not_give() -> None:
    """Hut lies 3 km out, Ridge beyond: taking there instead of at Creek, on the same road, saves no driving;
    Lea, 6 km the other way, takes the splits in the first place then."""
    yards = (yard("Creek", 30.0, takes_splits=False), yard("Hut", 3.0, takes_splits=False), yard("Lea", 9.0))
    hives = (*TWO, replace(one_kit_hive("H", "Hut"), may_give=False))
    day = operation(yards, hives, settings=NOW)
    plan = plan_day(day, 10.0)
    savings = {s.what: s for s in savings_of(day, plan, Clock(30.0), plan_day)}
    # Creek and back is 2 x 30 km; Lea and back 2 x 9, with one more leg's 3 minutes less or more nowhere
    assert savings["frames from Hut, if its hives may give"].saves_s == 2 * 78 * 21


def test_no_plan_no_saving() -> None:
    day = operation(YARDS, (), settings=NOW)
    assert savings_of(day, plan_day(day, 5.0), Clock(5.0), plan_day) == ()


def test_limits_stand_as_they_were() -> None:
    """Trying changes changes nothing."""
    day = operation(YARDS, TWO, THREE_ASKED, settings=NOW)
    before = repr(day)
    short(day)
    assert repr(day) == before
    assert day.settings.limits == Limits()
