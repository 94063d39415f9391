"""Small days with their exact answers, as the tests of bounds and cuts need them."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import pairwise

from routeplan.operation.world import Operation
from routeplan.plan import Plan
from routeplan.planning.attempt import Attempt
from routeplan.planning.case import Case, case_of
from routeplan.planning.judge import Judge, Verdict
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Visit
from routeplan.planning.rounds import Search
from routeplan.planning.solve import plan_day
from tests.oracle import exact
from tests.seeded import rich_operation, small_operation

TINY = tuple(range(44))
SMALL = (0, 2, 3, 4, 6, 8, 10, 12, 18, 21, 22, 23, 27, 33, 105)
RICH = (*range(28), 89, 98, 126, 128, 162, 173, 190, 208, 239, 245, 263)
BY_QUEEN = (0, 3, 6, 12, 16, 18, 19, 23, 31, 37)
"""Days of `small_operation`, and tiny ones of `rich_operation`, that are solved exactly in a second or so."""

FAR = 10**6
"""Seconds that no round reaches."""

EXACT_SECONDS = 8.0
PLANNING_SECONDS = 20.0


def by_queen(one: Operation) -> Operation:
    """The same where trips to look follow from the ways to a queen."""
    later = replace(one.settings.later, trips_by_queen=True)
    return replace(one, settings=replace(one.settings, later=later))


KINDS: dict[str, Callable[[int], Operation]] = {
    "tiny": lambda seed: small_operation(seed, tiny=True),
    "small": small_operation,
    "tiny rich": lambda seed: rich_operation(seed, tiny=True),
    "rich": rich_operation,
    "by queen": lambda seed: by_queen(rich_operation(seed, tiny=True)),
}
"""Seeded operations by kind; in rich ones more counts than the clock."""

Day = tuple[str, int]
"""Kind and seed."""

DAYS: tuple[Day, ...] = (
    *(("tiny", s) for s in TINY),
    *(("small", s) for s in SMALL),
    *(("tiny rich", s) for s in RICH),
    *(("by queen", s) for s in BY_QUEEN),
)


def operation_of(day: Day) -> Operation:
    """The operation of a day."""
    return KINDS[day[0]](day[1])


@cache
def planned(day: Day) -> Plan:
    """The plan of one day, made once."""
    return plan_day(operation_of(day), PLANNING_SECONDS)


@cache
def case_and_least(day: Day) -> tuple[Case, int] | None:
    """The case that wants what can be placed, and the least it counts; None: nothing, or not proved."""
    one = operation_of(day)
    truth = exact.best(one, EXACT_SECONDS)
    if isinstance(truth, exact.Unproved) or not any(n for _, n in truth.placed):
        return None
    return case_of(one).wanting({p: n for p, n in truth.placed if n}), truth.counted_s


def proved_days(days: tuple[Day, ...] = DAYS) -> list[tuple[Day, Case, int]]:
    """All days with an exact answer: day, case, least counted seconds."""
    found = ((day, case_and_least(day)) for day in days)
    return [(day, *answer) for day, answer in found if answer is not None]


def attempt_of(case: Case) -> Attempt:
    """An attempt at a case, with its tables sharpened by multipliers and memory."""
    attempt = Attempt(case, Clock(PLANNING_SECONDS), lambda stage, best, bound: None)
    attempt.sharpen()
    attempt.flows = attempt._in_parts()
    return attempt


@cache
def best_order(day: Day) -> tuple[Order, int]:
    """The order of visits the planner settles on, and its counted seconds.

    Where setting up takes no time, a visit may be called one that opens hives and open none: told as it is.
    """
    answer = case_and_least(day)
    assert answer is not None
    attempt = Attempt(answer[0], Clock(PLANNING_SECONDS), lambda stage, best, bound: None)
    attempt.glance()
    found = attempt.settle(PLANNING_SECONDS)
    assert found.best is not None
    visits = zip(found.best.order, found.best.counts.made, strict=True)
    return tuple(Visit(v.yard, any(made)) for v, made in visits), found.best.counted_s


def search_of(attempt: Attempt, way: str, below_s: int) -> Search:
    """A search that has no plan yet and must stay under some seconds, with all the attempt's tables."""
    return Search(
        case=attempt.case,
        ground=attempt.ground,
        tables=[*attempt.tables, attempt.plain_table],
        judge=attempt.judge,
        clock=attempt.clock,
        pace=attempt.pace,
        constant=attempt.constant,
        back_s=attempt.back_s,
        below_s=below_s,
        flows=attempt.flows if way == "free" else None,
        way=way,
    )


def spent_s(case: Case, order: Order) -> int:
    """Counted seconds of drive, set-up and leaving of an order."""
    places = [0, *(v.yard + 1 for v in order), 0]
    ups = sum(sum(case.opening if v.opens else case.placing) for v in order)
    return ups + sum(case.leg_s(a, b) for a, b in pairwise(places))


def judged(case: Case, order: Order, below_s: int = FAR) -> Verdict:
    """The verdict on an order by a fresh judge."""
    return Judge(case, Clock(20.0)).judge(order, spent_s(case, order), below_s)
