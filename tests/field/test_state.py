"""Where the day stands after some notes: worked out on the day at the equator (tests/tiny.py)."""

from dataclasses import replace

import pytest

from routeplan.audit import audited
from routeplan.field.log import log_of
from routeplan.field.notes import parse_notes_csv
from routeplan.field.state import State, state_of
from routeplan.operation.world import Operation
from routeplan.plan import Plan
from routeplan.planning.replan import plan_again
from tests.audit.edit import skipping
from tests.audit.sound_excluder import SOUND_EXCLUDER
from tests.tiny import tiny_operation, tiny_plan

HEAD = "at,stop,yard,hive,box,what,capped,open,food,bees,queen,queen_cells,health,to_yard,count,reason,note\n"
COLUMNS = HEAD.strip().split(",")


def row(**cells: object) -> str:
    return ",".join(str(cells.get(name, "")) for name in COLUMNS) + "\n"


def read(
    *rows: str,
    operation: Operation | None = None,
    plan: Plan | None = None,
    from_stop: int | None = None,
    at_s: int | None = None,
) -> tuple[State | None, list[str]]:
    notes, faults = parse_notes_csv(HEAD + "".join(rows))
    assert faults == []
    assert notes is not None
    operation, plan = operation or tiny_operation(), plan or tiny_plan()
    log, findings = log_of(operation, plan, [notes])
    if log is None:
        return None, [f.sentence() for f in findings]
    state, findings = state_of(operation, plan, log, from_stop, at_s)
    return state, [f.sentence() for f in findings]


def stand(*rows: str, **more: int) -> State:
    state, faults = read(*rows, **more)  # type: ignore[arg-type]
    assert faults == []
    assert state is not None
    return state


def test_nothing_written_nothing_done() -> None:
    state = stand()
    assert (state.stops, state.splits, state.yard, state.at_s) == ((), (), None, 34699)
    assert state.rest == ("S1", "S2", "S3")


def test_left_means_done_as_planned() -> None:
    state = stand(row(at="10:40", stop=1, what="left"))
    (stop,) = state.stops
    plan = tiny_plan()
    assert stop == replace(plan.stops[0], depart=38400, hive_s=1350 + 390, empty=0)
    assert [s.id for s in state.aboard] == ["S1", "S2"]
    assert (state.yard, state.at_s, state.rest) == ("Acacia", 38400, ("S3",))
    assert state.touched == {("Acacia", "A1"), ("Acacia", "A2")}


def test_a_later_stop_says_that_the_earlier_ones_are_done() -> None:
    state = stand(row(at="11:00", stop=2, what="arrived"))
    assert [s.yard for s in state.stops] == ["Acacia", "Borehole"]
    assert state.told == ("Stop 1, Acacia: nothing was written down, taken as done as planned.",)
    assert [s.id for s in state.aboard] == ["S1", "S2"]
    assert state.stops[1].arrive == state.stops[1].depart == 11 * 3600


def test_only_the_boxes_ticked_are_done() -> None:
    state = stand(
        row(at="10:20", stop=1, box=1, what="split_made"),
        row(at="10:40", stop=1, what="left"),
        row(at="11:10", stop=2, box=1, what="split_placed"),
    )
    assert [(s.id, s.made_at, s.placed_at, s.to_yard) for s in state.splits] == [("S1", 1, 2, "Borehole")]
    assert state.rest == ("S2", "S3")
    assert state.stops[1].opened == 11 * 3600 + 600


def test_frames_noted_stand_for_those_planned() -> None:
    state = stand(
        row(at="10:20", stop=1, hive="A1", box=1, what="frame_taken", capped=1, bees=2),
        row(stop=1, hive="A3", box=1, what="frame_taken", open=1, food=1),
        row(stop=1, box=1, what="split_made"),
    )
    takes = {(t.hive, t.kind, t.frames) for t in state.stops[0].takes}
    assert takes == {("A1", "capped", 1), ("A1", "shake", 2), ("A3", "open", 1), ("A3", "food", 1)}
    assert state.splits[0].donors == ("A1", "A3")
    assert state.touched == {("Acacia", "A1"), ("Acacia", "A3")}
    assert {(p.hive, p.combs) for p in state.stops[0].puts_back} == {("A1", 1), ("A3", 2)}


def test_open_frames_for_a_queen_to_be_raised_are_frames_of_eggs() -> None:
    state = stand(
        row(at="11:20", stop=2, hive="B1", box=3, what="frame_taken", capped=1, open=1, food=1, bees=2),
        row(stop=2, box=3, what="split_made"),
    )
    assert [t.kind for t in state.stops[1].takes if t.frames == 1] == ["capped", "eggs", "food"]


def test_a_hive_that_could_not_be_done_leaves_its_box_unmade() -> None:
    state = stand(
        row(at="10:20", stop=1, hive="A1", what="could_not", reason="full of wasps"),
        row(at="10:40", stop=1, what="left"),
    )
    assert [s.id for s in state.splits] == ["S2"]
    assert state.told == ("Box 1 was not made at Acacia: full of wasps.",)
    assert ("Acacia", "A1") in state.touched


def test_what_was_found_stands_for_what_was_recorded() -> None:
    state = stand(
        row(at="11:00", stop=2, hive="B1", what="found", capped="2½", queen="gone", queen_cells=1),
    )
    (hive,) = [h for h in state.operation.hives if h.id == "B1"]
    before = next(h for h in tiny_operation().hives if h.id == "B1")
    assert (hive.queen, hive.count.queen_cells, hive.count.capped) == ("queenless", "charged", 2.5)
    assert (hive.count.inspected, hive.count.bees) == (tiny_operation().day, before.count.bees)
    assert hive.count.open == pytest.approx(3.0)  # steady: what was counted three days ago


def test_a_stop_that_could_not_be_done_is_closed_today() -> None:
    state = stand(row(at="10:40", stop=1, what="left"), row(stop=2, what="could_not", reason="locked"))
    assert state.skipped == {2: "locked"}
    assert state.yard == "Acacia"
    yard = state.operation.yard("Borehole")
    assert yard.closed_until is not None
    assert yard.closed_until > state.operation.day


def test_suspicion_is_for_the_yard_and_follows_its_frames() -> None:
    """S1 was placed at Borehole, S2 is still aboard when A1's yard comes under suspicion."""
    state = stand(
        row(at="10:40", stop=1, what="left"),
        row(at="11:10", stop=2, box=1, what="split_placed"),
        row(yard="Acacia", hive="A3", what="found", health="suspect"),
    )
    assert state.operation.yard("Acacia").health == "suspected"
    assert state.operation.yard("Borehole").health == "suspected"
    assert (state.traced, state.quarantined) == ({"S1": "Borehole"}, {"S2": "Acacia"})
    assert "Box 1 stands at Borehole and has frames from Acacia" in state.told[-1]


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ([row(stop=9, what="left")], "the plan has no stop 9."),
        ([row(stop=1, yard="Dam", what="left")], "stop 1 is Acacia, not Dam."),
        ([row(yard="Dam", what="left")], "Dam is no stop of the plan."),
        ([row(stop=1, hive="B1", what="hive_done")], "there is no hive B1 at Acacia."),
        ([row(box=9, what="split_made")], "no box of the plan has number 9."),
        ([row(at="10:40", stop=1, what="left"), row(at="10:30", stop=1, what="left")], "is earlier than"),
        ([row(stop=2, box=3, what="split_placed")], "box 3 is placed at Borehole, but was not made before."),
        ([row(stop=1, hive="A1", box=1, what="frame_taken", capped=1)], "box 1 has frames in it"),
        (
            [row(stop=1, hive="A1", what="could_not"), row(stop=1, box=1, what="split_made")],
            "box 1 was to get frames of hive A1 at Acacia, which could not be done.",
        ),
    ],
)
def test_notes_that_do_not_fit_are_faults(rows: list[str], said: str) -> None:
    state, faults = read(*rows)
    assert state is None
    assert any(said in fault for fault in faults), faults


def test_the_time_and_the_stop_may_be_given() -> None:
    state = stand(from_stop=1, at_s=11 * 3600)
    assert ([s.yard for s in state.stops], state.at_s) == (["Acacia"], 11 * 3600)
    assert state.stops[0].depart == tiny_plan().stops[0].depart


def test_a_box_that_a_closed_hive_gave_to_is_not_forgotten() -> None:
    """A1 gave to box 1 (S1), which is neither closed nor given up: its frames would be nowhere."""
    begun = (row(at="10:00", stop=1, what="arrived"), row(at="10:15", stop=1, hive="A1", what="hive_done"))
    state, faults = read(*begun)
    assert state is None
    assert any("box 1 has frames in it and is not made." in fault for fault in faults)
    given_up = row(at="10:20", stop=1, box=1, what="could_not", reason="box broken")
    assert any(
        line.startswith("Box 1 is given up: its frames go back") for line in stand(*begun, given_up).told
    )
    made = row(at="10:20", stop=1, box=1, what="split_made")
    assert [s.id for s in stand(*begun, made).splits] == ["S1"]


def test_a_box_not_ticked_at_a_stop_left_is_said_to_go_back() -> None:
    told = stand(
        row(at="10:15", stop=1, hive="A1", what="hive_done"),
        row(at="10:20", stop=1, hive="A2", what="hive_done"),
        row(at="10:25", stop=1, box=1, what="split_made"),
        row(at="10:30", stop=1, what="left"),
    ).told
    assert [line for line in told if "go back" in line] == [
        "Box 2 is given up: its frames go back into the hives they came from."
    ]


def test_combs_above_an_excluder_are_told_and_looked_over_like_others() -> None:
    operation, plan = SOUND_EXCLUDER["a hive worked in two passes"]()
    left = row(at="10:40", stop=1, what="left")
    state, faults = read(left, operation=operation, plan=skipping(operation, plan))
    assert faults == []
    assert state is not None
    assert any("hive A2 at Acacia stand above an excluder" in line for line in state.told)
    new = plan_again(state, 1.0)
    violations, told = audited(state.operation, new)
    assert violations == []
    assert [v.rule for v in told] == ["R15"]
    assert [dict(s.ways)["A2"] for s in new.stops[1:] if "A2" in s.opens] == ["look"]
