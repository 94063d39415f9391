"""Boxes of two yards in field notes: S3 (box 3) is begun at Acacia (A1), completed at Borehole (B1)."""

import pytest

from routeplan.field.state import State
from routeplan.plan import Take
from tests.audit.sound_pooled import brood_first, food_first
from tests.field.test_state import read, row
from tests.tiny import tiny_operation, tiny_plan

LEFT_1 = row(at="10:40", stop=1, what="left")


def stand(*rows: str, bare: bool = False) -> State:
    operation, plan = brood_first() if bare else food_first()
    state, faults = read(*rows, operation=operation, plan=plan)
    assert faults == []
    assert state is not None
    return state


def faults_of(*rows: str) -> str:
    operation, plan = food_first()
    state, faults = read(*rows, operation=operation, plan=plan)
    assert state is None
    return " ".join(faults)


def test_begun_as_planned_is_aboard_with_part_of_its_frames() -> None:
    state = stand(LEFT_1)
    (box,) = state.begun
    assert (box.id, box.begun_at, box.begun_yard, box.begun_donors) == ("S3", 1, "Acacia", ("A1",))
    assert (box.made_at, box.placed_at, box.from_yard) == (0, 0, "")
    assert state.stops[0].begins == ("S3",)
    assert state.stops[0].full == 3
    assert [s.id for s in state.aboard] == ["S1", "S2"]
    assert state.rest == ()


def test_completed_as_planned() -> None:
    state = stand(LEFT_1, row(at="11:30", stop=2, what="left"))
    assert state.begun == ()
    box = state.splits[2]
    assert (box.begun_at, box.made_at, box.from_yard, box.donors) == (1, 2, "Borehole", ("B1",))


def test_frames_without_bees_stay_without() -> None:
    taken = row(at="10:20", stop=1, hive="A1", box=3, what="frame_taken", capped=1)
    takes = [t for t in stand(taken, LEFT_1, bare=True).stops[0].takes if t.split == "S3"]
    assert takes == [Take("A1", "capped", 1, "S3", bees=False)]


def test_frames_noted_stand_for_those_of_their_stop_alone() -> None:
    """A2 gave in place of A1; at Borehole all was as planned."""
    taken = row(at="10:20", stop=1, hive="A2", box=3, what="frame_taken", food=1)
    state = stand(taken, LEFT_1, row(at="11:30", stop=2, what="left"))
    assert [t.hive for t in state.stops[0].takes if t.split == "S3"] == ["A2"]
    kinds = [t.kind for t in state.stops[1].takes if t.split == "S3"]
    assert kinds == ["capped", "eggs", "shake"]


def test_begun_in_the_yard_it_stands_in_when_its_hives_are_done() -> None:
    here = row(at="10:00", stop=1, what="arrived")
    assert stand(here).begun == ()
    done = row(at="10:20", stop=1, hive="A1", what="hive_done")
    made = row(at="10:25", stop=1, box=1, what="split_made")
    assert [s.id for s in stand(here, done, made).begun] == ["S3"]


def test_what_was_not_begun_is_not_completed() -> None:
    state = stand(
        row(at="10:30", stop=1, box=3, what="could_not", reason="box broken"),
        LEFT_1,
        row(at="11:30", stop=2, what="left"),
    )
    assert (state.begun, state.rest) == ((), ("S3",))
    assert state.told == (
        "Box 3 was not begun at Acacia: box broken.",
        "Box 3 was not made at Borehole: it was not begun.",
    )
    assert "box 3 is made at Borehole, and was not begun" in faults_of(
        row(at="10:30", stop=1, box=3, what="could_not"),
        row(at="11:20", stop=2, box=3, what="split_made"),
    )


def test_not_completed_it_stays_aboard_until_it_is_brought_back() -> None:
    not_here = row(at="11:20", stop=2, box=3, what="could_not", reason="no eggs")
    state = stand(LEFT_1, not_here, row(at="11:30", stop=2, what="left"))
    assert [s.id for s in state.begun] == ["S3"]
    assert state.told == ("Box 3 was not completed at Borehole: no eggs.",)
    back = row(stop=1, box=3, what="could_not", reason="brought back")
    assert stand(LEFT_1, back, not_here).begun == ()


def test_a_box_planned_for_one_yard_may_be_completed_elsewhere() -> None:
    """Box 2 has a frame of A2 when Acacia is left and gets the rest from B1."""
    state = stand(
        row(at="10:20", stop=1, hive="A2", box=2, what="frame_taken", capped=1),
        row(stop=1, box=1, what="split_made"),
        LEFT_1,
        row(at="11:20", stop=2, hive="B1", box=2, what="frame_taken", open=1, food=1, bees=2),
        row(stop=2, box=2, what="split_made"),
    )
    two = next(s for s in state.splits if s.id == "S2")
    assert (two.begun_yard, two.begun_donors, two.from_yard, two.donors) == (
        "Acacia",
        ("A2",),
        "Borehole",
        ("B1",),
    )
    assert [s.id for s in state.begun] == ["S3"]


def test_where_boxes_are_of_one_yard_they_are_finished_or_given_up() -> None:
    taken = row(at="10:20", stop=1, hive="A1", box=1, what="frame_taken", capped=1)
    made = row(at="10:30", stop=1, box=2, what="split_made")
    _, faults = read(taken, made, LEFT_1, operation=tiny_operation(), plan=tiny_plan())
    assert any("box 1 has frames in it and is not made." in fault for fault in faults)


def test_frames_at_three_stops_are_a_fault() -> None:
    third = row(at="12:00", stop=3, hive="", box=3, what="split_placed")
    assert "box 3 is placed at Cedar, but was not made before." in faults_of(
        LEFT_1, row(at="11:20", stop=2, box=3, what="could_not"), third
    )
    assert "box 3 got frames at Borehole too and is not made there." in faults_of(
        LEFT_1, row(at="11:20", stop=2, hive="B1", box=3, what="frame_taken", capped=1)
    )


@pytest.mark.parametrize(
    ("yard", "back"), [("Acacia", {"S1": "Acacia", "S2": "Acacia", "S3": "Acacia"}), ("Borehole", {})]
)
def test_suspicion_follows_the_frames_of_boxes_begun(yard: str, back: dict[str, str]) -> None:
    state = stand(LEFT_1, row(yard=yard, what="found", health="suspect"))
    assert state.quarantined == back


def test_suspicion_of_either_yard_pulls_a_box_of_two() -> None:
    left = row(at="11:30", stop=2, what="left")
    for yard in ("Acacia", "Borehole"):
        state = stand(LEFT_1, left, row(yard=yard, what="found", health="suspect"))
        assert state.quarantined["S3"] == yard
