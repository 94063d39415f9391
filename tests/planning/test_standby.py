"""Standbys and take rules: who could step in when a hive disappoints, worked out by hand on small yards."""

from collections import Counter
from dataclasses import replace
from itertools import product

import pytest

from routeplan.audit import audit
from routeplan.colony.surplus import Give, surplus_of
from routeplan.operation.settings import NO_LATER, Settings, Sure, Swaps
from routeplan.operation.world import Kit, Operation, Order
from routeplan.plan import Plan, Standby, TakeRule
from routeplan.planning.solve import plan_day
from routeplan.planning.standby import allows, allows_takes, standbys_of, still_gives, take_rules_of
from tests.planning.make import ONE, hive, one_kit_hive, operation, yard

NOW = Settings(minimum_distance_m=5000.0, later=NO_LATER)
YARDS = (yard("Y", 10.0, takes_splits=False), yard("Z", 20.0))


def planned(day: Operation) -> tuple[Plan, tuple[Standby, ...], tuple[TakeRule, ...]]:
    plan = plan_day(day, 10.0)
    assert plan.splits
    standbys = standbys_of(day, surplus_of(day), plan)
    return plan, standbys, take_rules_of(day, plan, standbys)


def row(standbys: tuple[Standby, ...], kind: str) -> tuple[tuple[str, int], ...]:
    (one,) = [s for s in standbys if s.kind == kind]
    return one.hives


def test_the_other_hives_stand_by_calm_and_strong_first_bad_tempers_last() -> None:
    """One kit is needed and every hive but the last could give it; whichever gives, the rest stand by."""
    hives = (
        one_kit_hive("A", "Y", temper="calm", supers=1),
        hive("B", "Y", temper="calm", supers=3),
        hive("C", "Y", supers=3),
        hive("D", "Y", temper="bad", supers=3),
        hive("E", "Y", may_give=False),
    )
    plan, standbys, _ = planned(operation(YARDS, hives, settings=NOW))
    assert plan.stops[0].opens == ("A",), "the quickest to open"
    assert [s.kind for s in standbys] == ["capped", "open", "food", "shake"]
    # B to D hold 6 capped and 5 open (brood 11): 3 brood frames from a hive with 10 or more
    assert row(standbys, "capped") == (("B", 3), ("C", 3), ("D", 3))
    # open 5 - 3 = 2, keep-back 1
    assert row(standbys, "open") == (("B", 3), ("C", 3), ("D", 3))
    # A gives one shake of the two it may, in a hive of just so many bees: 12.1 - 2.5 - 0.8 - 0.8 = 8
    assert row(standbys, "shake") == (("B", 2), ("C", 2), ("A", 1), ("D", 2))
    assert row(standbys, "food") == (("B", 2), ("C", 2), ("D", 2))


def test_a_kind_nobody_else_can_give_has_an_empty_row() -> None:
    _, standbys, rules = planned(operation(YARDS, (one_kit_hive("A", "Y"),), settings=NOW))
    assert {s.kind: s.hives for s in standbys} == {
        "capped": (),
        "open": (),
        "food": (),
        "shake": (("A", 1),),
    }
    assert rules[0].order == ("A",)


def test_no_more_than_six_are_named() -> None:
    hives = tuple(one_kit_hive(f"H{n}", "Y") for n in range(9))
    _, standbys, rules = planned(operation(YARDS, hives, settings=NOW))
    assert len(row(standbys, "capped")) == 6
    assert set(rules[0].order) == {h for s in standbys for h, _ in s.hives} | {rules[0].order[0]}


def test_eggs_come_from_queen_mothers_only() -> None:
    hives = (
        hive("A", "Y", queen_mother=True),
        hive("B", "Y", queen_mother=True, supers=3),
        hive("C", "Y", supers=3),
        hive("D", "Y", queen_mother=True, supers=3, days=5),  # too old a look for eggs
    )
    day = operation(YARDS, hives, (Order("A", 1, ONE.name, "raise own"),), settings=NOW)
    _, standbys, rules = planned(day)
    assert "open" not in {s.kind for s in standbys}
    assert {h for h, _ in row(standbys, "eggs")} == {"A", "B"}
    assert {h for h, _ in row(standbys, "capped")} == {"A", "B", "C", "D"}
    assert dict(rules[0].needs) == {"capped": 1, "eggs": 1, "food": 1, "shake": 1}


def test_standbys_have_the_frame_format_that_is_needed() -> None:
    hives = (
        hive("A", "Y"),
        hive("B", "Y", supers=2),
        hive("N", "Y", supers=2, frame="national"),
    )
    kit = replace(ONE, frame="deep")
    _, standbys, _ = planned(operation(YARDS, hives, kits=(kit,), settings=NOW))
    assert {h for s in standbys for h, _ in s.hives} == {"A", "B"}


def test_a_hive_split_in_its_own_right_never_stands_by() -> None:
    hives = (hive("A", "Y"), hive("B", "Y", supers=2), hive("C", "Y", supers=2))
    orders = (Order("A", 1, ONE.name, "mated"), Order("B", 1, ONE.name, "mated", from_yard="Y", hive="B"))
    plan, standbys, rules = planned(operation(YARDS, hives, orders, settings=NOW))
    assert len(plan.splits) == 2
    assert "B" not in {h for s in standbys for h, _ in s.hives}
    assert "B" in rules[0].order, "it is opened"


def test_the_queen_of_another_hive_stands_by() -> None:
    """The parent's queen goes with the split; where hers is not found the next hive's may go."""
    hives = (hive("A", "Y", queen="marked"), hive("B", "Y", queen="unmarked"), hive("C", "Y", days=6))
    day = operation(YARDS, hives, (Order("A", 1, ONE.name, "parent's"),), settings=NOW)
    _, standbys, rules = planned(day)
    # C was looked at 6 days ago: no eggs that could raise its next queen
    assert row(standbys, "queen") == (("B", 1),)
    assert dict(rules[0].needs)["queen"] == 1


def test_the_take_rule_is_what_the_crew_takes_by() -> None:
    hives = (hive("A", "Y"), hive("B", "Y", supers=1), hive("C", "Y", supers=2))
    orders = (Order("A", 2, ONE.name, "mated"),)
    plan, _, (rule,) = planned(operation(YARDS, hives, orders, settings=NOW))
    assert rule.yard == "Y"
    assert rule.needs == (("capped", 2), ("open", 2), ("food", 2), ("shake", 2))
    assert (rule.most_brood, rule.most_strong) == (2, 3)
    assert rule.keeps == (("bees", 8.0), ("brood", 5.0), ("open", 1.0), ("food", 2.0))
    opened = plan.stops[0].opens
    assert rule.order[: len(opened)] == opened
    assert sorted(rule.order) == ["A", "B", "C"]


def test_in_early_spring_one_brood_frame_leaves_even_a_strong_hive() -> None:
    settings = replace(NOW, season="early spring", limits=replace(NOW.limits, brood_per_donor=1))
    hives = (hive("A", "Y"), hive("B", "Y"))
    _, _, (rule,) = planned(operation(YARDS, hives, settings=settings))
    assert (rule.most_brood, rule.most_strong) == (1, 1)


def mixed_by_hand(c: int, o: int, x: int) -> bool:
    """M5's own words for a hive of 2.5 capped and 3.5 open brood that must keep 2 brood and 1 open."""
    there = c <= 2 and o <= 3 and c + 0.5 * x <= 2.5 and o + 0.5 * x <= 3.5
    keeps = 3.5 - o - 0.5 * x - 0.2 * c >= 1 - 1e-6 and 6 - (c + o + x) >= 2
    return there and keeps and c + o + x <= 2 and c + o + x <= 6 / 3


@pytest.mark.parametrize(("c", "o", "x"), list(product(range(4), repeat=3)))
def test_mixed_frames_by_their_own_rules(c: int, o: int, x: int) -> None:
    keep = replace(NOW.keep_back, bees=4.0, brood=2.0)
    settings = replace(NOW, swaps=Swaps(mixed_open=True), keep_back=keep)
    day = operation(YARDS, (hive("A", "Y", capped=2.5, open=3.5),), settings=settings)
    own = surplus_of(day)["Y", "A"]
    assert allows_takes(own, Counter(capped=c, open=o, mixed=x)) == mixed_by_hand(c, o, x)


def mixed_day() -> Operation:
    """Each hive has 1.8 open: a mixed frame leaves 1.8 - 0.5 - 0.2 = 1.1, an open one less than 1, its
    keep-back."""
    settings = replace(NOW, swaps=Swaps(mixed_open=True))
    low = {"capped": 5.5, "open": 1.8}
    hives = (
        hive("A", "Y", **low),
        hive("B", "Y", supers=1, **low),
        hive("C", "Y", supers=2, eggs_seen=None, **low),
    )
    return operation(YARDS, hives, settings=settings)


def test_hives_stand_by_for_a_mixed_frame_where_fresh_eggs_were_seen() -> None:
    """No eggs were seen in C, and five days ago in another (`eggs_days` 4): no mixed frame leaves them."""
    day = mixed_day()
    plan = plan_day(day, 10.0)
    assert plan.stops[0].opens == ("A",)
    assert Counter(t.kind for t in plan.stops[0].takes)["mixed"] == 1
    assert row(plan.standbys, "mixed") == (("B", 1),)
    assert audit(day, plan) == []
    old = surplus_of(operation(YARDS, (hive("D", "Y", days=5),), settings=day.settings))["Y", "D"]
    assert allows_takes(old, Counter(open=1))
    assert not allows_takes(old, Counter(mixed=1))


def test_a_hive_that_could_give_a_mixed_frame_is_not_left_out() -> None:
    day = mixed_day()
    plan = plan_day(day, 10.0)
    bare = tuple(replace(s, hives=()) if s.kind == "mixed" else s for s in plan.standbys)
    (said,) = audit(day, replace(plan, standbys=bare))
    assert (said.rule, said.where) == ("R3", ("Y", "B"))
    assert "could give 1 mixed frame more" in said.what


def test_shakes_alone_where_only_supers_are_a_way_to_be_sure() -> None:
    """Above an excluder the queen cannot be; frames need a look or a hunt."""
    settings = replace(NOW, sure=Sure(look=False, hunt=False))
    day = operation(YARDS, (hive("A", "Y", supers=1),), settings=settings)
    sure = replace(day, hives=(replace(day.hives[0], excluder=True),))
    assert still_gives(surplus_of(day)["Y", "A"], Counter(), "shake") == 0
    assert still_gives(surplus_of(sure)["Y", "A"], Counter(), "shake") == 2
    assert still_gives(surplus_of(sure)["Y", "A"], Counter(), "capped") == 0


def test_nothing_is_always_allowed_and_a_second_queen_never() -> None:
    day = operation(YARDS, (hive("A", "Y"),), (Order("A", 1, ONE.name, "parent's"),), settings=NOW)
    own = surplus_of(day)["Y", "A"]
    assert allows(own, Give())
    assert allows_takes(own, Counter(queen=1))
    assert not allows_takes(own, Counter(queen=2))


def test_a_plan_without_stops_has_neither() -> None:
    big = Kit("too much", capped=9, drawn=1)
    day = operation(YARDS, (hive("A", "Y"),), (Order("A", 1, big.name, "mated"),), (big,), settings=NOW)
    plan = plan_day(day, 5.0)
    assert (standbys_of(day, surplus_of(day), plan), take_rules_of(day, plan, ())) == ((), ())
