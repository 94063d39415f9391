"""What a crew meets at the hives: one that disappoints, a bad temper, where the queen is. Common practice."""

from dataclasses import replace

import pytest

from routeplan.operation.settings import WorkMinutes
from routeplan.operation.world import Hive, Kit, Operation, Order
from routeplan.plan import Plan, Stop
from tests.cases.planned import gives, planned, reasons, why
from tests.planning.make import DAY_ALONE, ONE, hive, one_kit_hive, operation, yard

Y, Z = yard("Y", 10.0, room=0), yard("Z", 20.0)
THREE = Kit("three capped", capped=3, drawn=2)


def brood(name: str, frames: float, **more: object) -> Hive:
    """A hive of so much brood; of 8 it gives 2 frames, of 6 it gives 1."""
    return hive(name, brood=frames, capped=None, open=None, **more)


def three_capped(*hives: Hive) -> Operation:
    """One split of three capped frames."""
    return operation((Y, Z), hives, (Order("A", 1, THREE.name, "mated"),), (THREE,))


C1, C2, C5 = brood("C1", 8.0), brood("C2", 6.0), brood("C5", 6.0, supers=1)


def test_a_hive_stands_by_and_the_crew_knows_the_rule() -> None:
    """C1 gives 2, C2 gives 1; C5, slower to open, is next. Nobody else may give one without going below 5."""
    plan = planned(three_capped(C1, C2, C5))
    assert gives(plan) == {"C1": {"capped": 2}, "C2": {"capped": 1}}
    assert [(s.yard, s.kind, s.hives) for s in plan.standbys] == [("Y", "capped", (("C5", 1),))]
    (rule,) = plan.take_rules
    assert (rule.yard, rule.needs) == ("Y", (("capped", 3),))
    assert (rule.most_brood, rule.most_strong) == (2, 3)
    assert dict(rule.keeps)["brood"] == 5.0
    assert rule.order == ("C1", "C2", "C5")


def test_the_frame_that_was_planned_is_not_there() -> None:
    """C1 turns out to give one only: the one that stood by fills the same box."""
    plan = planned(three_capped(brood("C1", 6.0), C2, C5))
    assert gives(plan) == {name: {"capped": 1} for name in ("C1", "C2", "C5")}
    (split,) = plan.splits
    assert set(split.donors) == {"C1", "C2", "C5"}


def test_without_one_that_stands_by_the_split_is_short() -> None:
    plan = planned(three_capped(C1, C2))
    assert [(s.kind, s.hives) for s in plan.standbys] == [("capped", ())]
    short = planned(three_capped(brood("C1", 6.0), C2))
    assert (short.splits, why(short).rule) == ((), "R1")
    assert why(short).reason.startswith("short of 1 capped frame")


# --- tempers ------------------------------------------------------------------------------------------------


def with_a_bad_temper(splits: int, **more: object) -> Plan:
    """M1 is bad and slow to open, M2 to M4 are calm; each gives one split."""
    hives = [one_kit_hive(name, "Y", temper="calm") for name in ("M2", "M3", "M4")]
    hives.append(one_kit_hive("M1", "Y", temper="bad", supers=1, **more))
    return planned(operation((Y, Z), tuple(hives), (Order("A", splits, ONE.name, "mated"),)))


def test_the_bad_one_last() -> None:
    assert with_a_bad_temper(4).stops[0].opens == ("M2", "M3", "M4", "M1")


def test_the_bad_one_stands_by_last() -> None:
    plan = with_a_bad_temper(2)
    assert "M1" not in gives(plan)
    for row in plan.standbys:
        assert row.hives[-1][0] == "M1", row.kind


def test_the_bad_one_gives_nothing_where_that_is_written() -> None:
    plan = with_a_bad_temper(4, may_give=False)
    assert set(gives(plan)) == {"M2", "M3", "M4"}
    assert reasons(plan)["M1"]
    assert all("M1" not in dict(row.hives) for row in plan.standbys)


# --- being sure of the queen --------------------------------------------------------------------------------

FULL = Kit("five-frame", capped=2, open=1, food=2, shakes=2)
QUICK_EYES = replace(DAY_ALONE, minutes=WorkMinutes(hunt_marked=3.0))


def first_stop(hives: tuple[Hive, ...], kit: Kit) -> Stop:
    """A pair that finds a marked queen in three minutes makes one split."""
    orders = (Order("A", 1, kit.name, "ripe cell"),)
    return planned(operation((Y, Z), hives, orders, (kit,), settings=QUICK_EYES)).stops[0]


@pytest.mark.parametrize(
    ("queen", "boxes", "way", "minutes"),
    [
        ("marked", 1, "hunt", 5 + 3 + 5 * 0.8 + 2 * 0.25),  # 12.5, looked over 13.5
        ("unmarked", 1, "look", 5 + 5 * 1.5 + 2 * 0.5),  # found 19.5
        ("unknown", 2, "look", 6.5 + 5 * 1.5 + 2 * 0.5),  # found 26
    ],
)
def test_the_quickest_way_to_be_sure(queen: str, boxes: int, way: str, minutes: float) -> None:
    """4 min to open, 1 to look at brood, 1.5 a box lifted; 1.5 a frame and 0.5 a shake looked over.

    A queen that is not marked is found in 10 min, in two boxes in 15; then a frame takes 0.8 min and a shake
    0.25.
    """
    strong = hive("H", capped=7.0, open=5.0, bees=30.0, queen=queen, boxes=boxes)
    stop = first_stop((strong,), FULL)
    assert (stop.ways, stop.hive_s) == ((("H", way),), round(60 * minutes))


def test_bees_from_above_an_excluder_need_no_looking() -> None:
    """H gives the frames and two shakes, S two more from its supers: 4 min to open, 0.5 a shake."""
    kit = Kit("more bees", capped=1, open=1, food=1, shakes=4, drawn=1)
    frames = hive("H", capped=4.0, open=3.0, bees=13.0)
    above = hive("S", capped=3.0, open=2.0, bees=14.0, food=2.5, supers=1, excluder=True)
    assert dict(first_stop((frames, above), kit).ways) == {"H": "look", "S": "supers"}
    brood_box = first_stop((frames, replace(above, excluder=False)), kit)
    assert dict(brood_box.ways) == {"H": "look", "S": "look"}


def test_hives_due_anyway_are_opened_for_nothing() -> None:
    """H takes longer to open than I, but it is due: 8 min of it do not count."""
    hives = (one_kit_hive("H", "Y", supers=2, due=True), one_kit_hive("I", "Y"))
    plan = planned(operation((Y, Z), hives, settings=DAY_ALONE))
    assert (set(gives(plan)), plan.totals.due_s) == ({"H"}, 8 * 60)
    assert plan.totals.counted_s == plan.totals.paid_s - 8 * 60
