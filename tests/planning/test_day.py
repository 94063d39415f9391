"""Whole days: the one worked out by hand, and what must hold of every plan."""

import json
import time
from collections import Counter
from dataclasses import fields, replace
from random import Random

import pytest

from routeplan.audit import audit
from routeplan.operation.settings import Limits
from routeplan.operation.world import Kit, Operation, Order
from routeplan.plan import Plan, from_json, to_json
from routeplan.planning.solve import plan_day
from tests.planning.make import DAY_ALONE, ONE, hive, operation, yard
from tests.planning.proved import PLANNING_SECONDS, Day, operation_of, planned
from tests.seeded import bench_operation
from tests.tiny import tiny_operation, tiny_plan

SHORT: tuple[Day, ...] = (
    *(("small", s) for s in range(41) if s != 26),
    *(("rich", s) for s in range(31) if s != 4),
)
"""Seventy days; the two left out take many seconds to prove."""
LONG: tuple[Day, ...] = (*(("small", s) for s in range(400)), *(("rich", s) for s in range(400)))


def counts(plan: Plan) -> tuple[Counter[str], int, str, str]:
    """What two plans of one day must have in common, whichever of several best rounds is taken."""
    proof = plan.proof
    return Counter(s.order for s in plan.splits), plan.totals.counted_s, proof.status, proof.count_status


# --- the day worked out by hand -----------------------------------------------------------------------------


def test_the_day_worked_out_by_hand() -> None:
    plan, by_hand = plan_day(tiny_operation(), PLANNING_SECONDS), tiny_plan()
    for part in ("stops", "splits", "totals", "proof", "title", "day", "crew", "people"):
        assert getattr(plan, part) == getattr(by_hand, part), part
    assert [(u.order, u.count, u.rule) for u in plan.unplaced] == [("later", 1, "R1")]
    for mine, worked in zip(plan.hives, by_hand.hives, strict=True):
        assert (mine.yard, mine.hive) == (worked.yard, worked.hive)
        assert dict(mine.could) == {k: n for k, n in worked.could if n}
        assert sum(n for _, n in mine.gives) == sum(n for _, n in worked.gives)


def test_the_day_worked_out_by_hand_is_told_as_it_was_assumed() -> None:
    notes = " ".join(plan_day(tiny_operation(), PLANNING_SECONDS).notes)
    assert "Drive times are estimates" in notes
    assert "WGS-84 geodesic" in notes
    for absent in ("estimated, capped to open", "No number of places", "No temperature", "No stock"):
        assert absent not in notes


def test_what_is_not_known_is_told() -> None:
    tiny = tiny_operation()
    bare = replace(tiny, crew=replace(tiny.crew, places=None), stock=(), weather=())
    first = replace(bare.hives[0], count=replace(bare.hives[0].count, brood=7.0, capped=None, open=None))
    notes = " ".join(plan_day(replace(bare, hives=(first, *bare.hives[1:])), PLANNING_SECONDS).notes)
    for said in ("estimated, capped to open", "No number of places", "No temperature", "No stock"):
        assert said in notes


# --- every plan ---------------------------------------------------------------------------------------------


def faults(day: Day) -> list[str]:
    """Say what is wrong with the plan of one seeded operation."""
    one, plan = operation_of(day), planned(day)
    wrong = [v.sentence() for v in audit(one, plan)]
    proof, totals = plan.proof, plan.totals
    if not proof.bound_s <= proof.objective_s == (totals.counted_s if plan.splits else 0):
        wrong.append(f"bound {proof.bound_s}, objective {proof.objective_s}, counted {totals.counted_s}")
    if (proof.status == "optimal") != (bool(plan.splits) and proof.bound_s == proof.objective_s):
        wrong.append(f"{proof.status} with bound {proof.bound_s} of {proof.objective_s}")
    if (proof.count_status == "optimal") != (proof.most_splits == len(plan.splits)):
        wrong.append(f"count {proof.count_status}: {len(plan.splits)} of at most {proof.most_splits}")
    if proof.most_splits > totals.asked or (proof.status == "none") != (not plan.stops):
        wrong.append(f"{proof}, {len(plan.stops)} stops, {totals.asked} asked for")
    wrong += [f"nothing is done at stop {s.yard}" for s in plan.stops if not (s.makes or s.places)]
    if from_json(to_json(plan)) != plan:
        wrong.append("plan.json reads back as another plan")
    return [f"{day}: {w}" for w in wrong]


def test_plans_hold_and_claim_only_what_is_proved() -> None:
    assert [f for day in SHORT for f in faults(day)] == []
    assert sum(bool(planned(day).splits) for day in SHORT) >= 50
    assert sum(bool(planned(day).unplaced) for day in SHORT) >= 10


@pytest.mark.long
def test_many_plans_hold_and_claim_only_what_is_proved() -> None:
    assert [f for day in LONG for f in faults(day)] == []


def test_where_money_counts_the_cheapest_road_may_be_a_second_longer() -> None:
    """From home to one of its yards the quickest way leads past the other and is two kilometres longer."""
    day = ("tiny rich", 94)
    assert operation_of(day).settings.objective == "money"
    assert audit(operation_of(day), planned(day)) == []


def same_twice(days: tuple[Day, ...]) -> list[Day]:
    """Days of which a second plan is not the same to the letter."""
    return [
        day for day in days if to_json(plan_day(operation_of(day), PLANNING_SECONDS)) != to_json(planned(day))
    ]


def test_same_input_same_plan() -> None:
    assert same_twice(SHORT[::3]) == []


@pytest.mark.long
def test_same_input_same_plan_on_many() -> None:
    assert same_twice(LONG) == []


def shuffled(one: Operation, seed: int) -> Operation:
    """The same operation with rows of yards, hives and orders in another order."""
    rng = Random(seed)
    mixed = {f.name: getattr(one, f.name) for f in fields(one)}
    for name in ("yards", "hives", "orders", "kits", "stock", "pairs"):
        mixed[name] = tuple(rng.sample(mixed[name], len(mixed[name])))
    return Operation(**mixed)


def changed_by_order_of_rows(days: tuple[Day, ...]) -> list[str]:
    """Days whose plan has other splits or counts otherwise when rows are in another order."""
    wrong = []
    for day in days:
        mine, other = planned(day), plan_day(shuffled(operation_of(day), day[1]), PLANNING_SECONDS)
        if mine.proof.status != "feasible" and mine.proof.count_status == "optimal":
            a, b = counts(mine), counts(other)
            if (a[0].total(), *a[1:]) != (b[0].total(), *b[1:]):
                wrong.append(f"{day}: {a} and {b}")
    return wrong


def test_order_of_rows_changes_nothing() -> None:
    assert changed_by_order_of_rows(SHORT[::3]) == []


@pytest.mark.long
def test_order_of_rows_changes_nothing_on_many() -> None:
    assert changed_by_order_of_rows(LONG) == []


# --- nothing to do, and nothing possible --------------------------------------------------------------------


def test_days_on_which_nothing_can_be_planned() -> None:
    near = operation((yard("Y", 0.0), yard("Z", 4.0)), (hive("H"),))
    days = {
        "no order": replace(near, orders=()),
        "no hive": replace(near, hives=()),
        "no yard far enough": near,
        "one yard": operation((yard("Y", 3.0),), (hive("H"),)),
        "no kit in this format": operation(
            (yard("Y", 3.0), yard("Z", 9.0)), (hive("H"),), kits=(replace(ONE, frame="medium"),)
        ),
    }
    for what, day in days.items():
        plan = plan_day(day, 5.0)
        assert (plan.proof.status, plan.stops, plan.splits) == ("none", (), ()), what
        assert audit(day, plan) == [], what
        assert sum(u.count for u in plan.unplaced) == sum(o.count for o in day.orders), what
        assert all(u.reason for u in plan.unplaced), what


def test_what_the_first_cannot_have_is_left_for_the_second() -> None:
    """By frames B's brood and F's food make the first split, but one split may have one donor only.

    So nothing of priority 1 can be made; the second needs brood frames alone, and B has them.
    """
    brood = Kit("brood", capped=1, open=1, shakes=1, drawn=1)
    one = operation(
        (yard("Y", 10.0, room=0), yard("Z", 20.0)),
        (
            hive("B", "Y", capped=4.0, open=3.0, food=2.2),
            hive("F", "Y", capped=3.0, open=2.0, food=3.0),
        ),
        (Order("A", 1, ONE.name, "mated"), Order("C", 1, brood.name, "mated", priority=2)),
        (ONE, brood),
        settings=replace(DAY_ALONE, limits=Limits(donors_per_split=1)),
    )
    plan = plan_day(one, PLANNING_SECONDS)
    assert [s.order for s in plan.splits] == ["C"]
    assert [(u.order, u.count) for u in plan.unplaced] == [("A", 1)]
    assert (plan.proof.most_splits, plan.proof.count_status) == (1, "optimal")


# --- time and interruption ----------------------------------------------------------------------------------


@pytest.mark.parametrize("asked_before", [0, 1, 5, 50, 500])
@pytest.mark.parametrize("day", [("small", 1), ("small", 2), ("small", 6), ("rich", 0), ("rich", 6)])
def test_stopped_by_hand_there_is_a_sound_plan_or_none(day: Day, asked_before: int) -> None:
    asked = iter(range(10**9))
    one, whole = operation_of(day), planned(day)
    plan = plan_day(one, PLANNING_SECONDS, stopped=lambda: next(asked) >= asked_before)
    assert audit(one, plan) == []
    assert sum(u.count for u in plan.unplaced) + len(plan.splits) == sum(o.count for o in one.orders)
    assert plan.totals.counted_s >= whole.totals.counted_s or len(plan.splits) < len(whole.splits)
    if plan.proof.status == "optimal" and len(plan.splits) == len(whole.splits):
        assert plan.totals.counted_s == whole.totals.counted_s


def test_progress_tells_seconds_that_only_get_better() -> None:
    told: list[tuple[int | None, int | None]] = []
    plan = plan_day(
        bench_operation(8, 40, 6), PLANNING_SECONDS, lambda stage, best, bound: told.append((best, bound))
    )
    best = [b for b, _ in told if b is not None]
    assert best == sorted(best, reverse=True)
    assert best[-1] == plan.totals.counted_s


@pytest.mark.long
@pytest.mark.parametrize("regime", ["small yards", "four clusters", "600 min day"])
def test_a_hard_day_ends_in_time(regime: str) -> None:
    one = bench_operation(40, 1000, 25, regime=regime)
    began = time.monotonic()
    plan = plan_day(one, 3.0)
    assert time.monotonic() - began < 3.0 + 2.0
    assert audit(one, plan) == []
    assert (plan.proof.status == "optimal") == (plan.proof.bound_s == plan.proof.objective_s > 0)


def test_plan_json_of_a_plan_made_here_is_plain() -> None:
    body = json.loads(to_json(planned(("small", 6)), {"seconds": 1.0}))
    assert body["run"] == {"seconds": 1.0}
    assert json.loads(to_json(planned(("small", 6)))) == {k: v for k, v in body.items() if k != "run"}
