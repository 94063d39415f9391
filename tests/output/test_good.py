"""What counts, what would help, other good plans and money, as they are shown."""

import shlex
from dataclasses import replace

import pytest

from routeplan.operation.settings import Costs
from routeplan.output.day import day_of
from routeplan.output.good import counts, proof_lines, times, totals
from routeplan.output.helps import changes, fallbacks, savings
from routeplan.output.money import amount, money
from routeplan.output.others import command, more_or_less, others
from routeplan.plan import Cost
from tests.output import rich, sample

PLAN = rich.rich_plan()
DAY = day_of(rich.OPERATION, PLAN)
PLAIN = day_of(sample.OPERATION, sample.plan_of())


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_what_counts_adds_up() -> None:
    signs = {"": 1, "+": 1, "−": -1, "=": 0}
    rows = counts(PLAN)
    assert [sign for sign, _, _ in rows] == ["", "+", "+", "−", "="]
    assert sum(signs[sign] * seconds for sign, _, seconds in rows) == rows[-1][2] == PLAN.totals.counted_s
    money_too = replace(PLAN, totals=replace(PLAN.totals, road_s=60, stuff_s=120))
    assert len(counts(money_too)) == 7


def test_the_day_s_time_adds_up_fence_and_all() -> None:
    assert sum(seconds for _, seconds in times(PLAN)) == PLAN.totals.paid_s
    assert ("Setting up fences", 2700) in times(PLAN)
    assert "Setting up fences" not in dict(times(PLAIN.plan))
    spent, paid, rest = totals(DAY)
    assert len(spent) == 7
    assert plain(paid) == "5 h 22 min"
    assert [name for name, _ in rest] == ["Road", "Hives opened", "Frames taken"]


def test_where_only_the_day_counts_nothing_else_is_said() -> None:
    t = PLAN.totals
    day_only = replace(t, later_s=0, against_s=0, due_s=0, counted_s=t.paid_s)
    bare = replace(PLAN, totals=day_only)
    assert counts(bare) == ()
    assert proof_lines(bare)[1] == "No plan with 8 splits takes less paid time: proved."
    assert proof_lines(PLAN)[1] == "No plan with 8 splits comes to less in all (see “What counts”): proved."


def test_a_gap_is_on_what_counts() -> None:
    line = plain(proof_lines(PLAIN.plan)[1])
    assert line.startswith(
        "4 h 19 min in all (see “What counts”); no plan with as many splits can come to less"
    )
    assert "within 1.2 % of the best possible" in line


def test_single_changes_and_what_is_only_stated() -> None:
    assert changes(DAY) == (
        "1 more open frame, with its bees, in hive B3 at Birch: 1 more split.",
        "Room for 1 more at Heath: 1 more split.",
    )
    assert fallbacks(DAY) == (
        "The farthest yard with room is Moor, 4.12 km from Alder.",
        "A fallback, not a success: 1 split could stay at Alder.",
    )
    assert changes(PLAIN) == fallbacks(PLAIN) == savings(PLAIN) == ()


def test_what_one_more_would_save() -> None:
    assert [plain(line) for line in savings(DAY)] == [
        "One more person: 42 min less in all, today and after: proved.",
        "One more place on the truck saves nothing: proved.",
        "Frames from Gorse, if its hives may give: 15 min less in all, today and after, as far as was tried.",
    ]


@pytest.mark.parametrize(
    ("seconds", "written"),
    [(540, "9 min more"), (-3960, "1 h 6 min less"), (29, "as long"), (-29, "as long")],
)
def test_more_or_less(seconds: int, written: str) -> None:
    assert plain(more_or_less(seconds)) == written


def test_a_plan_quicker_today_says_what_the_longer_day_gains() -> None:
    quick, other = others(DAY)
    assert quick.differs == "The quickest day: splits to Moor rather than Heath"
    assert plain(quick.takes) == "9 min less today, 1 h 6 min more over four weeks; all counted 57 min more."
    assert plain(quick.against) == (
        "This plan has Heath rather than Moor: 9 min more today, 1 h 6 min less over four weeks."
    )
    assert (quick.stops, quick.receiving) == ("Alder, Birch, Gorse, Moor", "Birch 2, Gorse 3, Moor 3")
    assert " ".join(quick.command) == 'routeplan plan FOLDER --avoid "Heath"'
    assert (other.against, other.command) == ("", ())
    assert quick.proof.endswith("proved.")
    assert other.proof.endswith("not proved.")
    assert others(PLAIN) == ()


def test_other_donors_are_named_when_the_receiving_yards_are_the_same() -> None:
    same = replace(
        rich.ALTERNATIVES[0], receiving=(("Birch", 2), ("Gorse", 3), ("Heath", 3)), giving=(("Moor", 8),)
    )
    line = others(day_of(rich.OPERATION, replace(PLAN, alternatives=(same,))))[0].against
    assert line.startswith("This plan has Alder and Birch rather than Moor: ")
    equal = replace(same, giving=(("Alder", 5), ("Birch", 3)))
    line = others(day_of(rich.OPERATION, replace(PLAN, alternatives=(equal,))))[0].against
    assert line.startswith("This plan against it: ")


@pytest.mark.parametrize(
    "name", ["Mill", "O'Shea's \"old\" gate", "Creek`s", "${alert(1)}", "C:\\2026", "a b; rm c"]
)
def test_the_command_can_be_pasted_whatever_a_yard_is_called(name: str) -> None:
    """POSIX shell words (IEEE Std 1003.1, 2.2 Quoting), split by the standard library."""
    assert shlex.split(" ".join(command((name, "Q")))) == [
        *("routeplan", "plan", "FOLDER", "--avoid", name, "--avoid", "Q")
    ]


def test_money_has_two_decimals_and_the_currency_as_given() -> None:
    """Case A26: 0.68 a km, 25 an hour, 84 km and 3.2 h: 57.12 + 80.00 = 137.12, for 6 splits 22.85 each."""
    cost = Cost("$ CA", 57.12, 80.0, 0.0, 0.0, 0.0, 0.0, 137.12, 22.85, 10.5, (("Alder", 126.62),))
    settings = replace(rich.OPERATION.settings, costs=Costs("$ CA", 0.68, 25.0))
    shown = money(day_of(replace(rich.OPERATION, settings=settings), replace(PLAN, cost=cost)))
    assert shown is not None
    assert [(name, plain(value)) for name, value in shown.rows] == [
        ("Road today", "57.12 $ CA"),
        ("Paid hours today", "80.00 $ CA"),
    ]
    assert (plain(shown.total), plain(shown.per_split)) == ("137.12 $ CA", "22.85 $ CA")
    assert [name for name, _ in shown.yards] == ["Alder", "Drive home"]
    assert plain(shown.prices) == "At 0.68 $ CA a kilometre and 25.00 $ CA an hour."
    miles = replace(settings, units="mi")
    in_miles = money(day_of(replace(rich.OPERATION, settings=miles), replace(PLAN, cost=cost)))
    assert in_miles is not None
    # The international mile is 1.609344 km exactly: 0.68 x 1.609344 = 1.0944.
    assert plain(in_miles.prices) == "At 1.09 $ CA a mile and 25.00 $ CA an hour."
    assert (plain(amount(1234.5, "")), money(PLAIN)) == ("1 234.50", None)


def test_the_sample_s_money_adds_up() -> None:
    cost = PLAN.cost
    assert cost is not None
    parts = cost.drive + cost.hours + cost.later + cost.queens + cost.combs + cost.sugar
    assert parts == pytest.approx(cost.total, abs=0.04)
    by_yard = sum(value for _, value in cost.yards) + cost.home
    assert by_yard == pytest.approx(cost.drive + cost.hours + cost.later, abs=0.04)
