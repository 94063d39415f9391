"""The rest of a day planned again: worked through on the day at the equator (tests/tiny.py)."""

import json
from dataclasses import replace

import pytest

from routeplan.audit import audit, audited
from routeplan.field.log import log_of
from routeplan.field.notes import parse_notes_csv, parse_notes_json
from routeplan.field.state import State, state_of
from routeplan.operation.world import Operation
from routeplan.plan import Plan
from routeplan.planning.replan import plan_again
from tests.audit.sound_excluder import two_passes
from tests.field.test_state import HEAD, read, row
from tests.tiny import tiny_operation, tiny_plan

LEFT_ACACIA = row(at="10:33", stop=1, what="left")


def again(
    *rows: str, operation: Operation | None = None, plan: Plan | None = None, **more: int
) -> tuple[State, Plan]:
    """Plan again; the new plan must hold and hold on to all that is made."""
    state, faults = read(*rows, operation=operation, plan=plan, **more)  # type: ignore[arg-type]
    assert faults == []
    assert state is not None
    new = plan_again(state, 5.0)
    assert [v.sentence() for v in audit(state.operation, new)] == []
    assert {s.id for s in state.splits} <= {s.id for s in new.splits}
    assert new.done is not None
    assert new.stops[: new.done.stops] == tuple(
        replace(stop, empty=now.empty, drive_m=now.drive_m)
        for stop, now in zip(state.stops, new.stops, strict=False)
    )
    return state, new


def where(plan: Plan) -> dict[str, str]:
    return {s.id: s.to_yard for s in plan.splits}


def test_a_day_as_planned_stays_as_planned() -> None:
    _, new = again(LEFT_ACACIA)
    old = tiny_plan()
    assert [s.yard for s in new.stops] == [s.yard for s in old.stops]
    assert where(new) == where(old)
    assert new.stops[2].takes == old.stops[2].takes
    assert new.done is not None
    assert new.done.changed == ("Nothing else changes.",)
    # 10:33:00 for 10:33:30: all later by half a minute less
    assert new.totals.back_home == old.totals.back_home - 30
    assert (new.proof.count_status, new.totals.placed, new.unplaced) == ("feasible", 3, old.unplaced)


def test_nothing_done_yet_and_an_hour_late() -> None:
    _, new = again(at_s=11 * 3600)
    assert [s.yard for s in new.stops] == ["Acacia", "Borehole", "Cedar"]
    assert new.stops[0].arrive == 11 * 3600 + 701
    assert new.totals.leave_home == 11 * 3600


def test_a_locked_gate_sends_the_boxes_on() -> None:
    """Borehole cannot be entered: S1 and S2 go to Cedar, which is far enough; S3 would come from Borehole."""
    _, new = again(LEFT_ACACIA, row(stop=2, what="could_not", reason="gate locked"))
    assert where(new) == {"S1": "Cedar", "S2": "Cedar"}
    assert [s.yard for s in new.stops] == ["Acacia", "Cedar"]
    assert ("eggs", 1, "R8") in {(u.order, u.count, u.rule) for u in new.unplaced}
    assert new.done is not None
    assert new.done.changed[0] == "Borehole is left out: gate locked."
    assert "Boxes 1 and 2 go to Cedar in place of Borehole." in new.done.changed


def test_a_queenless_mother_makes_no_split_and_the_others_go_on() -> None:
    """B1 is the only queen mother: without it no queen can be raised."""
    state, new = again(
        LEFT_ACACIA,
        row(at="10:45", stop=2, what="arrived"),
        row(at="10:50", stop=2, hive="B1", what="found", queen="gone"),
    )
    assert where(new) == {"S1": "Borehole", "S2": "Borehole"}
    assert state.operation.hives[4].queen == "queenless"
    assert new.stops[1].yard == new.stops[2].yard == "Borehole"


def test_a_weak_donor_is_replaced_by_one_that_stands_by() -> None:
    """A2 holds too little: with A3 as strong as A1 was, it fills the box."""
    operation = tiny_operation()
    strong = replace(operation.hives[0], id="A3", row=4)
    operation = replace(operation, hives=(*operation.hives[:2], strong, *operation.hives[3:]))
    _, new = again(
        row(at="09:55", stop=1, what="arrived"),
        row(at="10:00", stop=1, hive="A2", what="found", capped=1, open=1, bees=5),
        operation=operation,
    )
    assert where(new) == where(tiny_plan())
    assert {t.hive for s in new.stops for t in s.takes if t.split in ("S1", "S2")} == {"A1", "A3"}
    assert new.done is not None
    assert any(line == "At Acacia hive A3 gives in place of A2." for line in new.done.changed)


def test_combs_above_an_excluder_are_set_down_where_no_visit_collects_them() -> None:
    operation, plan = two_passes()
    _, new = again(row(at="10:26", stop=1, what="left"), operation=operation, plan=plan)
    assert new.done is not None
    assert any("A2 at Acacia stand above an excluder" in line for line in new.done.changed)
    assert {way for stop in new.stops for _, way in stop.ways} == {"look"}


def test_boxes_from_a_yard_under_suspicion_go_back_at_once_where_the_truck_is_there() -> None:
    _, new = again(
        row(at="10:10", stop=1, box=1, what="split_made"),
        row(at="10:15", stop=1, hive="A3", what="found", health="suspect"),
    )
    assert where(new) == {"S1": "Acacia", "S2": "Cedar"}  # of the first priority: made at Borehole for S3
    assert new.done is not None
    assert [(k.split, k.yard) for k in new.done.kept] == [("S1", "Acacia")]
    assert "ask the inspector" in new.done.kept[0].why
    assert new.stops[1].places == ("S1",)


def test_boxes_aboard_from_a_yard_under_suspicion_are_the_last_visit() -> None:
    _, new = again(LEFT_ACACIA, row(yard="Acacia", hive="A3", what="found", health="suspect"))
    assert [s.yard for s in new.stops] == ["Acacia", "Borehole", "Cedar", "Acacia"]
    assert where(new) == {"S1": "Acacia", "S2": "Acacia", "S3": "Cedar"}


def test_boxes_that_go_back_take_their_places_on_the_truck_all_day() -> None:
    """The truck holds two full boxes: with S1 and S2 aboard to the end, S3 finds no place."""
    operation = replace(tiny_operation(), crew=replace(tiny_operation().crew, places=2))
    rows = (LEFT_ACACIA, row(yard="Acacia", hive="A3", what="found", health="suspect"))
    _, new = again(*rows, operation=operation)
    assert where(new) == {"S1": "Acacia", "S2": "Acacia"}


def test_a_split_that_was_placed_takes_its_yard_out_too() -> None:
    """S1 stands at Borehole when Acacia comes under suspicion: nothing is made at Borehole any more."""
    _, new = again(
        LEFT_ACACIA,
        row(at="11:00", stop=2, box=1, what="split_placed"),
        row(yard="Acacia", hive="A3", what="found", health="suspect"),
    )
    assert where(new) == {"S1": "Borehole", "S2": "Acacia"}
    assert new.done is not None
    assert new.done.traced == (("S1", "Borehole"),)


def test_where_no_yard_can_take_a_box_it_goes_back_and_says_so() -> None:
    """Both Borehole and Cedar are closed: no yard far enough is left."""
    _, new = again(
        LEFT_ACACIA,
        row(stop=2, what="could_not", reason="flooded"),
        row(stop=3, what="could_not", reason="flooded"),
    )
    assert where(new) == {"S1": "Acacia", "S2": "Acacia"}
    assert new.done is not None
    assert all("no yard far enough" in k.why for k in new.done.kept)


def test_too_late_to_keep_the_minutes_shut_in_is_said() -> None:
    """At 22 degrees a box may be shut in for 240 min: at 14:40 S1 and S2 have been for 247."""
    _, new = again(LEFT_ACACIA, at_s=14 * 3600 + 40 * 60)
    assert where(new) == where(tiny_plan())
    assert new.done is not None
    assert new.done.late == ("S1", "S2")
    assert any("shut in longer than the heat allows" in line for line in new.done.changed)


def test_what_is_done_and_breaks_a_rule_is_told_not_blamed() -> None:
    """S1 was placed at Dam, 3.34 km from its parents: the rest is planned all the same."""
    plan = tiny_plan()
    stops = (plan.stops[0], replace(plan.stops[1], yard="Dam"), plan.stops[2])
    state, new = again(
        LEFT_ACACIA,
        row(at="11:10", stop=2, box=1, what="split_placed"),
        plan=replace(plan, stops=stops),
    )
    assert where(new)["S1"] == "Dam"
    _, told = audited(state.operation, new)
    assert any(v.rule == "R5" and v.where[0] == "S1" for v in told)


@pytest.mark.parametrize("seconds", [0.5, 3.0])
def test_the_same_again(seconds: float) -> None:
    state, _ = read(LEFT_ACACIA)
    assert state is not None
    assert plan_again(state, seconds) == plan_again(state, seconds)


def test_again_after_again() -> None:
    """A plan made in mid-day is planned again: what was done before stays done."""
    state, new = again(LEFT_ACACIA)
    rows = (row(at="11:24", stop=2, what="left"),)
    _, last = again(*rows, plan=new)
    assert [s.yard for s in last.stops] == ["Acacia", "Borehole", "Cedar"]
    assert last.done is not None
    assert last.done.stops == 2
    assert where(last) == where(tiny_plan())
    assert state.stops[0].takes == last.stops[0].takes


def test_what_was_found_and_closed_before_stays_so_in_the_next_plan() -> None:
    """Of the notes about the first plan, the locked yard and the hive in doubt still hold for the third."""
    first = parse_notes_json(
        json.dumps(
            {
                "notes": 1,
                "plan": tiny_plan().id,
                "day": "2027-05-15",
                "entries": [
                    {"at": "10:33", "stop": 1, "yard": "Acacia", "what": "left"},
                    {"stop": 2, "yard": "Borehole", "what": "could_not", "value": "gate locked"},
                ],
            }
        )
    )[0]
    assert first is not None
    log, _ = log_of(tiny_operation(), tiny_plan(), [first])
    assert log is not None
    state, _ = state_of(tiny_operation(), tiny_plan(), log)
    assert state is not None
    second = plan_again(state, 5.0)
    assert [s.yard for s in second.stops] == ["Acacia", "Cedar"]
    then, _ = parse_notes_csv(HEAD + row(at="10:50", yard="Dam", what="found", health="clear"))
    assert then is not None
    log, _ = log_of(tiny_operation(), second, [first, then])
    assert log is not None
    state, _ = state_of(tiny_operation(), second, log)
    assert state is not None
    third = plan_again(state, 5.0)
    assert [s.yard for s in third.stops] == ["Acacia", "Cedar"]
    assert audit(state.operation, third) == []


def test_boxes_that_went_back_are_not_traced_again() -> None:
    state, new = again(LEFT_ACACIA, row(yard="Acacia", hive="A3", what="found", health="suspect"))
    assert state.quarantined == {"S1": "Acacia", "S2": "Acacia"}
    rows = (
        row(at="14:00", stop=4, what="left"),
        row(yard="Acacia", hive="A3", what="found", health="suspect"),
    )
    state, last = again(*rows, plan=new)
    assert (state.traced, state.quarantined, state.rest) == ({}, {}, ())
    assert where(last) == where(new)
