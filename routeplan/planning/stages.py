"""First as many splits as possible, priority by priority; then the least that counts. Both with a proven
limit."""

from dataclasses import dataclass

import numpy as np

from routeplan.planning.attempt import WAYS, Attempt, most_by_truck
from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.most import Most
from routeplan.planning.most_by_hours import most_by_hours
from routeplan.planning.possible import Possible, most_possible
from routeplan.planning.remaining import remaining
from routeplan.planning.rounds import PLAIN, Found, Progress

FIRST_SHARE = 0.2
"""Share of the time left that looking for a first plan, by what counts and by the clock, may take each."""
POSSIBLE_S, POSSIBLE_SHARE = 20.0, 0.3
"""Most seconds, and most of the time left, for how many splits are possible whatever the time."""
HOURS_SHARE = 0.15
"""Share of the time left that a limit by the hours for opening hives may take, each time one is asked for."""
LESS_SHARE, FAR_SHARE = 0.35, 0.75
"""Share of the time left that looking for what counts less than a plan on time may take; the same where not
all fit and what is found stays far above the limit."""
COUNT_SHARE = 0.5
"""Share of the time left that looking for the most splits may take where not all fit."""
FIRST_S = 3.0
"""Seconds that looking for a first plan may take in any case, up to half of what is left."""


@dataclass(frozen=True)
class Outcome:
    """What planning found: the case with the totals placed, its best round, and how far both are proved."""

    case: Case
    found: Found
    most_splits: int
    count_proved: bool
    possible: Possible


def most_then_least(case: Case, clock: Clock, progress: Progress) -> Outcome:
    """Place as many splits as possible, then in the least paid time.

    Returns
    -------
    Outcome; its found.best is None when not a single split can be placed (or none was found in time).
    """
    most = Most(case.by_the_clock(), clock, progress)
    if case.size and most.all_on_time(_first(clock)):
        attempt = first_plan(case, clock, progress, most)
        if attempt.best is not None:
            found = attempt.settle(clock.left())
            asked = tuple(sorted(case.demand.asked.items()))
            return Outcome(case, found, case.size, True, Possible(asked, True))
    possible = (
        most_possible(case, clock.share(min(POSSIBLE_S, POSSIBLE_SHARE * clock.left())))
        if case.size
        else Possible((), True)
    )
    upper, proved = _as_many(most, possible, clock, progress)
    if most.best is None:
        nothing = Found(None, 0, proved)
        return Outcome(case.wanting({}), nothing, 0 if proved else upper, proved, possible)
    attempt = Attempt(case.wanting(most.totals, clock), clock, progress)
    attempt.clock = clock.part(LESS_SHARE * clock.left())
    attempt.begin_with(most.best, clock.part(FAR_SHARE * clock.left()))
    attempt.clock = clock
    return Outcome(attempt.case, attempt.settle(clock.left()), upper, proved, possible)


def first_plan(
    case: Case, clock: Clock, progress: Progress, most: Most | None = None, any_does: bool = False
) -> Attempt:
    """Begin a search with a first plan for all that is wanted: one on time and what counts less than that,
    else one found by what counts. Where `any_does` one on time is left as it is."""
    attempt, timed = Attempt(case, clock, progress), case.by_the_clock()
    if not case.size or attempt.hopeless:
        return attempt
    quick = (most or Most(timed, clock, progress)).begin(_first(clock))
    if quick is not None and any_does:
        attempt.best = attempt.judge.as_it_is(quick)
    elif quick is not None:
        attempt.clock = clock.part(LESS_SHARE * clock.left())
        attempt.begin_with(quick)
    else:
        attempt.clock = _first(clock)
        attempt.glance((PLAIN,) if timed is not case else WAYS)
    attempt.clock = clock
    return attempt


def _first(clock: Clock) -> Clock:
    """The part of a clock's time for a first plan."""
    return clock.part(max(FIRST_SHARE * clock.left(), min(FIRST_S, clock.left() / 2)))


def _most_by_day(case: Case) -> int:
    """Most splits of any kind that the table alone leaves room for in the day."""
    ground = case.clock_ground()
    table = remaining(ground.without_dues())
    n = np.arange(case.size + 1)
    fits = table.leave[0, 0, n, n] <= case.end - case.start
    return int(n[fits].max(initial=0))


def _as_many(most: Most, possible: Possible, clock: Clock, progress: Progress) -> tuple[int, bool]:
    """Find the most splits, one priority after the other; (upper limit of all splits, whether it is proved
    that no more can be placed, the first priorities first)."""
    case = most.case
    asked, today = case.demand.asked, min(_most_by_day(case), most_by_truck(case)) if case.size else 0
    share = clock.part(COUNT_SHARE * clock.left())
    most.begin(share)
    if most.best is None and possible.size:
        most.few(clock)
    if sum(most.totals.values()) < today:
        today = _by_hours(case, {}, tuple(asked), today, clock)
    fixed: dict[int, int] = {}
    proved, short = True, False
    for priority, limit in possible.totals:
        limit = min(asked[priority] if short else limit, today - sum(fixed.values()))
        on_time = limit
        if most.totals[priority] < limit:
            on_time = _by_hours(case, fixed, (priority,), limit, clock)
        time = share if most.best else clock  # as long as there is no plan at all
        if most.totals[priority] < on_time and most.grow(fixed, priority, on_time, time) < on_time:
            time = (share if most.best else clock).part(time.left() / 2)
            proved = _more(most, fixed, priority, on_time, time, progress) and proved
        fixed[priority] = most.totals[priority]
        short = short or fixed[priority] < limit  # then what is possible of the others was told too low
    placed = sum(fixed.values())
    return placed if proved else min(sum(asked.values()) if short else possible.size, today), proved


def _by_hours(case: Case, fixed: dict[int, int], wanted: tuple[int, ...], most: int, clock: Clock) -> int:
    """The limit by the hours for opening hives, as far as its share of the time tells."""
    return most_by_hours(case, fixed, wanted, most, clock.part(HOURS_SHARE * clock.left()))


def _more(
    most: Most, fixed: dict[int, int], priority: int, limit: int, clock: Clock, progress: Progress
) -> bool:
    """Look for more splits of a priority beside those fixed, one by one up to a limit; return whether it is
    proved that there are no more.

    Where so many fit that some do not take a queen out of a hive, one split of such a plan can be left out
    and it still is one: then what is proved for a number holds for all above it.
    """
    demand, proved = most.case.demand, True
    queens = sum(b.count for b in demand.batches if b.priority == priority and b.takes_queen)
    for n in range(most.totals[priority] + 1, limit + 1):
        if clock.over():
            return False
        wanted = {**fixed, priority: n}
        attempt = Attempt(most.case.wanting(wanted, clock), _first(clock), progress)
        attempt.glance()
        attempt.clock = clock
        found = Found(attempt.best, 0, True)
        if not attempt.best and not attempt.hopeless:
            found = attempt.settle(clock.left(), first_only=True)
        if found.best is not None:
            most.best, proved = found.best, True
        elif found.proved and n > queens:
            return proved
        proved = proved and (found.best is not None or found.proved)
    return proved
