"""The rest of a day with boxes of two yards: completed as planned, elsewhere, or given back; on the day at
the equator (S3 is begun at Acacia, completed at Borehole) and on small seeded days.
"""

from dataclasses import replace
from functools import cache

import pytest

from routeplan.audit import audited
from routeplan.audit.replan import lost
from routeplan.field.entries import Entry, Found
from routeplan.field.log import log_of
from routeplan.field.notes import Notes
from routeplan.field.state import State, state_of
from routeplan.operation.world import Operation
from routeplan.output.cards import cards
from routeplan.output.day import day_of
from routeplan.output.page import day_page
from routeplan.plan import HiveLine, Plan
from routeplan.planning.replan import plan_again
from routeplan.planning.solve import plan_day
from tests.audit.edit import skipping, with_yard
from tests.audit.sound_pooled import brood_first, food_first, food_without_bees
from tests.field.test_state import read, row
from tests.seeded import bench_operation
from tests.seeded_pooled import halved_operation, pooled_operation

LEFT_1, LEFT_2 = row(at="10:36", stop=1, what="left"), row(at="11:27", stop=2, what="left")
LOCKED = row(stop=2, what="could_not", reason="gate locked")


def again(*rows: str, operation: Operation | None = None, plan: Plan | None = None) -> tuple[State, Plan]:
    if operation is None or plan is None:
        operation, plan = food_first()
    state, faults = read(*rows, operation=operation, plan=skipping(operation, plan))
    assert faults == []
    assert state is not None
    new = plan_again(state, 2.0)
    assert audited(state.operation, new)[0] == []
    assert lost(new, state.entries, state.plan) == []
    return state, new


def sides(plan: Plan, split: str) -> tuple[str, str, str]:
    """Where a box is begun, completed and placed."""
    one = next(s for s in plan.splits if s.id == split)
    return one.begun_yard, one.from_yard, one.to_yard


@pytest.mark.parametrize("day", [food_first, food_without_bees, brood_first])
@pytest.mark.parametrize("rows", [(LEFT_1,), (LEFT_1, LEFT_2)], ids=["begun", "completed"])
def test_as_planned_it_stays_as_planned(day, rows: tuple[str, ...]) -> None:  # type: ignore[no-untyped-def]
    operation, plan = day()
    if day is brood_first:  # in whole minutes the crew comes a little late for bare brood
        limits = replace(operation.settings.limits, bare_brood_min=40.0)
        operation = replace(operation, settings=replace(operation.settings, limits=limits))
    _, new = again(*rows, operation=operation, plan=plan)
    assert sides(new, "S3") == ("Acacia", "Borehole", "Cedar")
    assert [s.yard for s in new.stops] == ["Acacia", "Borehole", "Cedar"]
    assert [t for s in new.stops for t in s.takes] == [t for s in plan.stops for t in s.takes]


def test_a_box_that_nowhere_can_be_completed_goes_back_to_the_yard_that_began_it() -> None:
    """Only Borehole has a queen mother. S1 and S2 go to Cedar, then the frame of S3 back to Acacia."""
    state, new = again(LEFT_1, LOCKED)
    assert new.done is not None
    (back,) = new.done.kept
    assert (back.split, back.yard) == ("S3", "Acacia")
    assert [s.yard for s in new.stops] == ["Acacia", "Cedar", "Acacia"]
    assert {s.id for s in new.splits} == {"S1", "S2"}
    assert not any(t.split == "S3" for s in new.stops for t in s.takes)
    assert [s.full for s in new.stops] == [3, 1, 0]
    assert any(
        line.startswith("Box 3 goes back to Acacia: it cannot be completed today")
        for line in new.done.changed
    )
    assert {u.order: u.count for u in new.unplaced}["eggs"] == 1
    assert state.begun


def test_the_sheet_says_what_is_given_back(given: tuple[State, Plan]) -> None:
    state, plan = given
    last = cards(day_of(state.operation, plan))[-1]
    assert last.job == "give back box 3: frames into the hives they came from"
    assert "give back box 3" in day_page(state.operation, plan)


def test_given_up_it_is_brought_back_until_it_is_there() -> None:
    """Planned again on the way to Cedar, S3 still goes back; planned again at home it is back."""
    state, new = again(LEFT_1, LOCKED)
    notes = Notes((Entry("left", 12 * 60 + 10, 2, place="test"),))
    second = _next(state, new, notes)
    assert second.done is not None
    assert [(k.split, k.yard) for k in second.done.kept] == [("S3", "Acacia")]
    assert [s.yard for s in second.stops] == ["Acacia", "Cedar", "Acacia"]
    home = Notes((Entry("left", 13 * 60, 3, place="test"),))
    third = _next(state, new, home)
    assert third.done is not None
    assert third.done.kept == ()


def _next(state: State, plan: Plan, notes: Notes) -> Plan:
    log, faults = log_of(state.operation, plan, [notes])
    assert log is not None, faults
    later, faults = state_of(state.operation, plan, log)
    assert later is not None, faults
    new = plan_again(later, 2.0)
    assert audited(later.operation, new)[0] == []
    return new


def test_any_other_yard_may_complete_it() -> None:
    """B1 stands in Dam now; Borehole's gate is locked: S3 is completed at Dam."""
    operation, plan = food_first()
    hive = next(h for h in operation.hives if h.id == "B1")
    operation = replace(operation, hives=(*operation.hives, replace(hive, yard="Dam", id="D1")))
    operation = with_yard(operation, "Dam", room=0)
    plan = replace(plan, hives=(*plan.hives, HiveLine("Dam", "D1", (), (), "")))
    _, new = again(LEFT_1, LOCKED, operation=operation, plan=plan)
    assert sides(new, "S3")[:2] == ("Acacia", "Dam")
    assert new.done is not None
    assert new.done.kept == ()


def test_bees_of_the_first_yard_still_say_where_it_may_stand() -> None:
    """Cedar is said to be 4 km from Acacia: S3 has bees from there, so that it can stand nowhere."""
    operation, plan = food_without_bees()
    noted = row(at="10:30", stop=1, hive="A1", box=3, what="frame_taken", food=1, bees=1)
    _, new = again(noted, LEFT_1, operation=operation, plan=plan)
    assert new.done is not None
    assert [k.split for k in new.done.kept] == ["S3"]
    _, new = again(LEFT_1, operation=operation, plan=plan)
    assert sides(new, "S3") == ("Acacia", "Borehole", "Cedar")


def test_a_suspect_yard_pulls_what_has_its_frames() -> None:
    suspect = row(yard="Acacia", hive="A3", what="found", health="suspect")
    _, new = again(LEFT_1, suspect)
    assert new.done is not None
    assert {(k.split, k.yard) for k in new.done.kept} == {
        ("S1", "Acacia"),
        ("S2", "Acacia"),
        ("S3", "Acacia"),
    }
    other = row(yard="Borehole", hive="B2", what="found", health="suspect")
    _, new = again(LEFT_1, LEFT_2, other)
    assert new.done is not None
    assert ("S3", "Borehole") in {(k.split, k.yard) for k in new.done.kept}


def test_an_order_of_one_yard_is_completed_in_no_other() -> None:
    operation, plan = food_first()
    orders = tuple(replace(o, from_yard="Acacia") if o.id == "eggs" else o for o in operation.orders)
    state, faults = read(LEFT_1, operation=replace(operation, orders=orders), plan=skipping(operation, plan))
    assert faults == []
    assert state is not None
    new = plan_again(state, 2.0)
    assert new.done is not None
    assert [k.split for k in new.done.kept] == ["S3"]


@cache
def seeded(seed: int) -> tuple[Operation, Plan]:
    operation = (
        pooled_operation(seed, tiny=True)
        if seed < 100
        else halved_operation(bench_operation(8, 60, 5, seed), seed)
    )
    return operation, plan_day(operation, 8.0)


def test_nothing_done_yet_it_is_planned_as_it_was() -> None:
    _, new = again()
    assert sides(new, "S3") == ("Acacia", "Borehole", "Cedar")


@pytest.mark.parametrize("seed", [0, 8, 14, 20, 30, 34, 101, 102, 103])
def test_nothing_changes_without_need(seed: int) -> None:
    """After every visit as planned no split is lost and no worse way is taken."""
    operation, plan = seeded(seed)
    for stop in range(len(plan.stops)):
        notes = Notes((Entry("left", (plan.stops[stop].depart + 59) // 60, stop + 1, place="test"),))
        log, _ = log_of(operation, plan, [notes])
        assert log is not None
        state, faults = state_of(operation, plan, log)
        assert state is not None, faults
        new = plan_again(state, 1.0)
        assert audited(state.operation, new)[0] == [], (seed, stop)
        assert {s.id for s in new.splits} == {s.id for s in plan.splits}, (seed, stop)
        assert new.totals.counted_s <= plan.totals.counted_s + 300 + 60, (seed, stop)


# --- broken twins of the audit ------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def given() -> tuple[State, Plan]:
    """S3 was begun at Acacia and goes back there last."""
    return again(LEFT_1, LOCKED)


def of_rule(state: State, plan: Plan, rule: str) -> list[str]:
    return [v.what for v in audited(state.operation, plan)[0] if v.rule == rule]


def test_twin_not_brought_back(given: tuple[State, Plan]) -> None:
    state, plan = given
    found = of_rule(state, replace(plan, stops=plan.stops[:-1]), "R17")
    assert "box S3 is to go back to Acacia and is not brought there" in found


def test_twin_brought_back_before_the_others(given: tuple[State, Plan]) -> None:
    state, plan = given
    first, cedar, back = plan.stops
    twin = replace(plan, stops=(first, replace(cedar, yard="Dam", places=()), back, cedar))
    assert any(
        "box S3 goes back to Acacia before 1 other visit" in what for what in of_rule(state, twin, "R17")
    )


def test_twin_its_place_on_the_truck_and_the_time_it_takes(given: tuple[State, Plan]) -> None:
    state, plan = given
    first, cedar, back = plan.stops
    twin = replace(plan, stops=(first, replace(cedar, full=0), replace(back, place_s=0)))
    found = of_rule(state, twin, "R13")
    assert any("leaving stop 2 at Cedar: full boxes" in what for what in found)
    assert any("stop 3 at Acacia: placing boxes is given as" in what for what in found)


def test_twin_frames_nowhere(given: tuple[State, Plan]) -> None:
    """The box is in no list any more: what was written down says that it has frames."""
    state, plan = given
    assert plan.done is not None
    twin = replace(plan, done=replace(plan.done, kept=()))
    noted = (Entry("frame_taken", stop=1, hive="A1", box=3, found=Found(food=1.0)),)
    assert lost(plan, noted, state.plan) == []
    assert [v.what for v in lost(twin, noted, state.plan)] == ["split S3 has frames from Acacia and is lost"]


def test_twin_sent_on_in_doubt() -> None:
    """A box begun in a yard under suspicion is completed and placed elsewhere."""
    state, plan = again(LEFT_1)
    ill = with_yard(state.operation, "Acacia", health="suspected")
    found = [v.what for v in audited(ill, plan)[0] if v.rule == "R17"]
    assert any("split S3 has frames from Acacia, where health is in doubt" in what for what in found)


def test_twin_too_near_to_the_yard_that_began_it() -> None:
    """Dam is 3.34 km from Acacia."""
    state, plan = again(LEFT_1)
    stops = (*plan.stops[:2], replace(plan.stops[2], yard="Dam"))
    found = of_rule(state, replace(plan, stops=stops), "R5")
    assert any("split S3 from Acacia stands at Dam" in what for what in found)
    assert any("split S3 from Borehole stands at Dam" in what for what in found)
