"""What is due on a day, from the plans before it; days are common practice."""

from dataclasses import replace
from datetime import date, timedelta

from routeplan.operation.settings import Queens
from routeplan.output.due import due_lines, due_of
from tests.output import rich, sample

PLAN = sample.plan_of()
LATER = replace(rich.rich_plan(), day=PLAN.day + timedelta(7))
QUEENS = Queens()


def said(on: date) -> list[str]:
    return list(due_lines([PLAN, LATER], on, QUEENS))


def test_what_is_due_stands_first_yard_by_yard() -> None:
    """Day 7 of the first plan is the day of the second: cells at Birch, hives that gave."""
    lines = said(PLAN.day + timedelta(7))
    assert lines[0] == "Due on Saturday 16 May 2026:"
    shut = next((i for i, line in enumerate(lines) if not line.startswith(" ") and i), len(lines))
    assert [line for line in lines[1:shut] if not line.startswith("  ")] == [" Alder", " Birch", " Gorse"]
    cells = "  box 1 of Sat 9 May, Sat 16 May: count the queen cells, then close. If none: give a comb"
    assert any(line.startswith(cells) for line in lines[1:shut])


def test_days_on_which_nobody_opens_a_box_are_told() -> None:
    lines = said(PLAN.day + timedelta(20))
    at = lines.index("Not to be opened on Friday 29 May 2026:")
    assert "leave closed: the queen flies to mate" in "".join(lines[at:])


def test_the_weeks_before_and_after() -> None:
    on = PLAN.day + timedelta(9)
    lines = said(on)
    assert "In the week before, if not done yet:" in lines
    assert "In the seven days after:" in lines
    late = lines[
        lines.index("In the week before, if not done yet:") : lines.index("In the seven days after:")
    ]
    assert any("box 1 of Sat 9 May, Sat 16 May" in line for line in late)


def test_nothing_due_is_said() -> None:
    assert said(PLAN.day - timedelta(30)) == ["Nothing is due on Thursday 9 April 2026."]
    assert due_lines([], PLAN.day, QUEENS) == ("Nothing is due on Saturday 9 May 2026.",)


def test_every_look_is_due_on_its_days_and_no_other() -> None:
    for due in due_of([PLAN], QUEENS):
        line = f"  {due.look.who} of Sat 9 May, "
        for day, there in ((due.first, True), (due.last, True), (due.last + timedelta(1), False)):
            heading = "Not to be" if due.look.kind == "closed" else "Due on"
            lines = due_lines([PLAN], day, QUEENS)
            starts = [i for i, text in enumerate(lines) if text.startswith(heading)]
            part = lines[starts[0] + 1 :] if starts else ()
            ends = [i for i, text in enumerate(part) if not text.startswith(" ")]
            part = part[: ends[0]] if ends else part
            found = any(
                text.startswith(line) and due.look.words.replace("\u00a0", " ") in text for text in part
            )
            assert found is there
