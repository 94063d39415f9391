"""Standbys and take rules are judged: a plan that holds, and the same broken in one place, by how much.

On the day worked out by hand every donor gives all it has to spare. Here A3 at Acacia is made strong: counted
with 6 capped and 5 open, 16 of bees and 4 of food, it has 6 x 9/12 + 5/9 x 3 = 6.17 capped, 5 open, brood
11.17. Ten and more is strong, so up to 3 brood frames leave it: brood 11.17 - 3 = 8.17 (keep-back 5), a third
is 3.72; open 5 - 3 = 2 (1); bees 16 - 3 = 13 (8), cover 8.17 + 1. Of food it gives 2 (4 - 2 = 2 stay), of
bees 2 shakes. Nobody else at Acacia or Borehole could give one more of anything.
"""

from dataclasses import replace

import pytest

from routeplan.audit.case import Case
from routeplan.audit.roads import Roads
from routeplan.audit.standby import standbys
from routeplan.audit.violation import Violation
from routeplan.operation.settings import Sure
from routeplan.operation.world import Operation, Order
from routeplan.plan import Plan, Standby, TakeRule
from tests.audit.edit import with_count, with_hive, with_settings
from tests.tiny import tiny_operation, tiny_plan

STRONG = with_count(tiny_operation(), "A3", bees=16.0, capped=6.0, open=5.0, food=4.0)
COULD = {"capped": 3, "open": 3, "food": 2, "shake": 2}


def judged(of: Operation, plan: Plan) -> list[Violation]:
    return list(standbys(Case(of, plan, Roads(of))))


def with_row(plan: Plan, kind: str, *hives: tuple[str, int], at: str = "Acacia") -> Plan:
    """Say who stands by for a kind."""
    rows = (replace(s, hives=hives) if (s.yard, s.kind) == (at, kind) else s for s in plan.standbys)
    return replace(plan, standbys=tuple(rows))


def with_rule(plan: Plan, at: str = "Acacia", **changes: object) -> Plan:
    """Change what the crew does on sight in one yard."""
    rules = (replace(r, **changes) if r.yard == at else r for r in plan.take_rules)  # type: ignore[arg-type]
    return replace(plan, take_rules=tuple(rules))


def manned() -> Plan:
    """A3 stands by for everything at Acacia."""
    plan = tiny_plan()
    for kind, more in COULD.items():
        plan = with_row(plan, kind, ("A3", more))
    return with_rule(plan, order=("A1", "A2", "A3"))


def test_plans_that_hold() -> None:
    assert judged(tiny_operation(), tiny_plan()) == []
    assert judged(STRONG, manned()) == []


PLAN = manned()
NEEDS = (("capped", 2), ("open", 2), ("food", 2), ("shake", 4))
KEEPS = (("bees", 8.0), ("brood", 5.0), ("open", 1.0), ("food", 2.0))
TWO_MORE = (Standby("Cedar", "food", ()), Standby("Acacia", "queen", ()))
CEDAR = TakeRule("Cedar", (), 2, 3, KEEPS, ())
ROWS = [
    ("one too many", STRONG, with_row(PLAN, "capped", ("A3", 4)), [("R1", 1)]),
    ("gives all it has", STRONG, with_row(PLAN, "food", ("A3", 2), ("A1", 2)), [("R1", 2)]),
    ("too few", STRONG, with_row(PLAN, "open", ("A3", 1)), [("R3", 2)]),
    ("none at all", STRONG, with_row(PLAN, "open", ("A3", 0)), [("R3", 1)]),
    ("left out", STRONG, with_row(PLAN, "open"), [("R3", 3)]),
    ("twice", STRONG, with_row(PLAN, "shake", ("A3", 2), ("A3", 2)), [("R3", 1)]),
    (
        "may not give",
        STRONG,
        with_rule(with_row(PLAN, "food", ("A3", 2), ("A4", 1)), order=("A1", "A2", "A3", "A4")),
        [("R1", 1)],
    ),
    (
        "another yard's",
        STRONG,
        with_rule(with_row(PLAN, "food", ("A3", 2), ("B1", 1)), order=("A1", "A2", "A3", "B1")),
        [("R3", 1)],
    ),
    ("a weaker hive than told", tiny_operation(), PLAN, [("R1", n) for n in (3, 3, 2, 2)]),
    ("row missing", STRONG, replace(PLAN, standbys=PLAN.standbys[:7]), [("R3", 1)]),
    ("row twice", STRONG, replace(PLAN, standbys=(*PLAN.standbys, PLAN.standbys[3])), [("R3", 1)]),
    ("rows too many", STRONG, replace(PLAN, standbys=PLAN.standbys + TWO_MORE), [("R3", 1), ("R3", 1)]),
]
RULES = [
    ("needs too many", with_rule(PLAN, needs=(("capped", 4), *NEEDS[1:])), [2]),
    ("needs left out", with_rule(PLAN, needs=NEEDS[:3]), [4]),
    ("needs in disorder", with_rule(PLAN, needs=NEEDS[::-1]), [1]),
    ("most brood", with_rule(PLAN, most_brood=3), [1]),
    ("most of a strong hive", with_rule(PLAN, most_strong=5), [2]),
    ("keeps less", with_rule(PLAN, keeps=(("bees", 6.5), *KEEPS[1:])), [1.5]),
    ("keeps left out", with_rule(PLAN, keeps=KEEPS[:3]), [2, 1]),
    ("order", with_rule(PLAN, order=("A2", "A1", "A3")), [1]),
    ("standby not in the order", with_rule(PLAN, order=("A1", "A2")), [1]),
    ("a hive nobody opens", with_rule(PLAN, order=("A1", "A2", "A3", "A4", "A9")), [2]),
    ("no rule", replace(PLAN, take_rules=PLAN.take_rules[:1]), [1]),
    ("rule twice", replace(PLAN, take_rules=PLAN.take_rules + PLAN.take_rules[:1]), [1]),
    ("rule for nothing", replace(PLAN, take_rules=(*PLAN.take_rules, CEDAR)), [1]),
]


@pytest.mark.parametrize(("what", "of", "plan", "broken"), ROWS, ids=[r[0] for r in ROWS])
def test_rows_broken(what: str, of: Operation, plan: Plan, broken: list[tuple[str, float]]) -> None:
    found = judged(of, plan)
    assert [(v.rule, v.amount) for v in found] == broken, [v.sentence() for v in found]


@pytest.mark.parametrize(("what", "plan", "amounts"), RULES, ids=[r[0] for r in RULES])
def test_take_rules_broken(what: str, plan: Plan, amounts: list[float]) -> None:
    found = judged(STRONG, plan)
    assert [(v.rule, v.amount) for v in found] == [("R3", a) for a in amounts], [v.sentence() for v in found]
    assert all(v.what.startswith("take rule at ") for v in found)


def test_sentences() -> None:
    (over,) = judged(STRONG, with_row(PLAN, "capped", ("A3", 4)))
    assert over.sentence() == (
        "R1: hive A3 at Acacia is said to stand by with 4 frames of capped brood, "
        "it could give 3 more: 1 too many"
    )
    assert over.where == ("Acacia", "A3")
    (left_out,) = judged(STRONG, with_row(PLAN, "open"))
    assert left_out.what == (
        "hive A3 at Acacia could give 3 frames of open brood more and is not named as a standby"
    )
    (need,) = judged(STRONG, with_rule(PLAN, needs=(("capped", 1), *NEEDS[1:])))
    assert need.what == ("take rule at Acacia: 1 frame of capped brood said to be needed, 2 taken: 1 too few")


def test_in_early_spring_a_strong_hive_gives_no_more_than_others() -> None:
    """Of season early spring with still 2 frames from one hive: 2 of A3's brood, and 2 from a strong hive."""
    early = with_settings(STRONG, "", season="early spring")
    plan = with_row(with_row(PLAN, "capped", ("A3", 2)), "open", ("A3", 2))
    for at in ("Acacia", "Borehole"):
        plan = with_rule(plan, at, most_strong=2)
    assert judged(early, plan) == []
    assert [v.amount for v in judged(early, PLAN)] == [1, 1, 1, 1]


def test_another_frame_format_cannot_step_in() -> None:
    shallow = with_hive(STRONG, "A3", frame="shallow")
    assert [v.rule for v in judged(shallow, PLAN)] == ["R3"] * 4
    assert "the splits are on deep" in judged(shallow, PLAN)[0].what
    empty = with_rule(PLAN, order=("A1", "A2"))
    for kind in COULD:
        empty = with_row(empty, kind)
    assert judged(shallow, empty) == []


def test_a_hive_split_in_its_own_right_does_not_stand_by() -> None:
    order = Order("part", 1, "three-frame", "mated", from_yard="Acacia", hive="A3")
    own = replace(STRONG, orders=(*STRONG.orders, order))
    assert [v.what.split(": ")[1] for v in judged(own, PLAN)] == ["it is split in its own right"] * 4


def test_eggs_come_from_queen_mothers_only() -> None:
    """B2 made strong as A3 could give 3 frames with eggs, were it a queen mother."""
    strong = with_count(STRONG, "B2", capped=6.0, open=5.0, queen_cells="none")
    plan = PLAN
    for kind, more in (("capped", 3), ("food", 2), ("shake", 2)):
        plan = with_row(plan, kind, ("B2", more), at="Borehole")
    plan = with_rule(plan, "Borehole", order=("B1", "B2"))
    assert judged(strong, plan) == []
    (fault,) = judged(strong, with_row(plan, "eggs", ("B2", 3), at="Borehole"))
    assert (fault.rule, fault.where) == ("R3", ("Borehole", "B2"))
    assert fault.what.endswith("frames with eggs: it is no queen mother")
    mother = with_hive(strong, "B2", queen_mother=True)
    assert judged(mother, with_row(plan, "eggs", ("B2", 3), at="Borehole")) == []
    assert [v.amount for v in judged(mother, plan)] == [3]


def test_without_a_way_to_be_sure_of_the_queen_only_bees_above_an_excluder_stand_by() -> None:
    sure = with_settings(STRONG, "", sure=Sure(look=False, hunt=False, supers=True))
    assert [v.amount for v in judged(sure, PLAN)] == [3, 3, 2, 2]
    above = with_hive(sure, "A3", excluder=True, supers=1)
    assert [v.amount for v in judged(above, PLAN)] == [3, 3, 2]


def test_bad_tempers_come_last_and_no_more_than_six_are_named() -> None:
    """Eight hives more as strong as A1, of which each could give 2 of any kind alone; six are named."""
    a1 = tiny_operation().hives[0]
    hives = tuple(replace(a1, id=f"H{n}") for n in range(8))
    of = replace(tiny_operation(), hives=(*tiny_operation().hives, *hives))
    named = tuple((f"H{n}", 2) for n in range(7))
    order = ("A1", "A2", *(h for h, _ in named[:6]))
    plan = tiny_plan()
    for kind in COULD:
        plan = with_row(plan, kind, *named[:6])
    plan = with_rule(plan, order=order)
    assert judged(of, plan) == []
    calm_last = with_hive(of, "H4", temper="bad")
    assert [v.where for v in judged(calm_last, plan)] == [("Acacia", "H4")] * 4
    seven = with_row(plan, "food", *named)
    assert [v.amount for v in judged(of, with_rule(seven, order=(*order, "H6")))] == [1]
