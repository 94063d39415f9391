"""Which looks are done, by later rows of the hives table."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from routeplan.operation.settings import Queens
from routeplan.operation.world import Look
from routeplan.output.due import HOW, due_lines, due_of
from routeplan.plan import split_name
from tests.output import sample

PLAN = sample.plan_of()
QUEENS = Queens()
BIRCH = ("Birch", "0509-1")
"""Box 1 of 9 May raises its own queen: cells 7, doubt 14, closed 15-25, mites, eggs 28, doubt 35, sale 42."""


def after(days: int) -> date:
    return PLAN.day + timedelta(days)


def left(*seen: Look, of: str = "s1", until: int = 100) -> list[tuple[int, str]]:
    """First day and kind of what is left of one split."""
    dues = due_of([PLAN], QUEENS, seen, after(until))
    return [((due.first - PLAN.day).days, due.look.kind) for due in dues if of in due.look.splits]


ALL = [(7, "look"), (14, "doubt"), (15, "closed"), (26, "mites"), (28, "look"), (35, "doubt"), (42, "sale")]


def test_nothing_is_done_without_a_later_look() -> None:
    assert split_name(PLAN.day, 1) == BIRCH[1]
    assert left() == ALL
    assert left(Look(*BIRCH, after(0), eggs=True)) == ALL  # what was put in, as `record` writes it
    assert left(Look("Gorse", "0509-2", after(30), eggs=True)) == ALL  # another box


@pytest.mark.parametrize(("day", "done"), [(5, []), (6, [7]), (9, [7]), (13, [7, 14]), (27, [7, 14, 28])])
def test_a_look_does_what_was_due_by_then(day: int, done: list[int]) -> None:
    assert left(Look(*BIRCH, after(day))) == [step for step in ALL if step[0] not in done]


def test_eggs_end_what_is_looked_for_until_she_lays() -> None:
    ended = [(26, "mites"), (42, "sale")]
    assert left(Look(*BIRCH, after(24), eggs=True)) == ended
    assert left(Look(*BIRCH, after(4), eggs=True)) == ended
    assert left(Look(*BIRCH, after(3), eggs=True)) == ALL  # these came with the combs
    assert left(Look(*BIRCH, after(28), eggs=True), Look(*BIRCH, after(43))) == [(26, "mites")]
    assert left(Look(*BIRCH, after(28), eggs=True, treated_until=after(40))) == [(42, "sale")]


def test_eggs_of_a_test_frame_are_not_the_queens() -> None:
    given = Look(*BIRCH, after(24), test_frame=True)
    assert left(given, Look(*BIRCH, after(27), eggs=True)) == left(given, Look(*BIRCH, after(27)))
    assert left(given, Look(*BIRCH, after(28), eggs=True)) == [(26, "mites"), (42, "sale")]


def frames_due(*seen: Look, on: int) -> list[str]:
    lines = due_lines([PLAN], after(on), QUEENS, seen)
    due = lines[1 : next((i for i, line in enumerate(lines) if i and not line.startswith(" ")), len(lines))]
    return [line for line in due if "test frame in" in line] if lines[0].startswith("Due on") else []


def test_a_test_frame_is_looked_at_three_to_five_days_later() -> None:
    given = Look(*BIRCH, after(28), test_frame=True)
    assert [on for on in range(28, 40) if frames_due(given, on=on)] == [31, 32, 33]
    assert frames_due(given, on=31) == [
        "  test frame in hive 0509-1 of Sat 6 June, Tue 9 June to Thu 11 June: queen cells on the test "
        "frame? If there are: it has no queen, give one or unite it; none: she is there, look for eggs in a "
        "week."
    ]
    assert frames_due(given, Look(*BIRCH, after(30)), on=31) == []  # a day early is done too
    assert frames_due(given, Look(*BIRCH, after(29)), on=31) != []
    assert frames_due(given, Look(*BIRCH, after(33)), on=31) != []  # not yet known
    assert frames_due(given, Look("Heath", "0509-1", after(31)), on=31) != []


def test_a_test_frame_in_any_hive_is_told_and_only_with_its_day() -> None:
    other = Look("Nowhere", "H7", after(1), test_frame=True)
    assert frames_due(other, on=4)[0].startswith("  test frame in hive H7 of Sun 10 May, Wed 13 May to")
    assert frames_due(replace(other, test_frame=False), on=4) == []


def test_looks_after_the_day_asked_for_are_not_known_yet() -> None:
    assert left(Look(*BIRCH, after(28), eggs=True), until=27) == ALL


def test_a_split_that_was_moved_is_known_by_its_name() -> None:
    assert (7, "look") not in left(Look("Heath", BIRCH[1], after(8)))
    twice = (Look("Heath", BIRCH[1], after(8)), Look("Alder", BIRCH[1], after(8)))
    assert left(*twice) == ALL


def test_boxes_and_hives_not_looked_at_stay() -> None:
    seen = (Look("Heath", "0509-4", after(4)), Look("Alder", "A2", after(6), eggs=True))
    dues = due_of([PLAN], QUEENS, seen)
    told = {due.look.who for due in dues if due.first <= after(5)}
    assert {"box 5", "hives A1 and A3", "hives B1, B2 and B3"} <= told
    assert not any("A2" in who or who == "boxes 4–5" for who in told)


def test_how_to_tell_is_said_where_something_is_due() -> None:
    lines = due_lines([PLAN], after(7), QUEENS)
    assert lines[-1] == HOW
    assert HOW not in due_lines([PLAN], after(-30), QUEENS)
    seen = [Look(*BIRCH, after(7))]
    assert not any("box 1 of" in line for line in due_lines([PLAN], after(7), QUEENS, seen)[:4])
