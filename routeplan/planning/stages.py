"""First as many splits as possible, priority by priority; then the least that counts. Both with a proven
limit."""

from dataclasses import dataclass, replace

import numpy as np

from routeplan.planning.attempt import WAYS, Attempt, most_by_truck
from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.possible import Possible, most_possible
from routeplan.planning.remaining import remaining
from routeplan.planning.rounds import PLAIN, Found, Progress

FIRST_SHARE = 0.2
"""Share of the time left that looking for a first plan, by what counts and by the clock, may take each."""
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
    asked = tuple(sorted(case.demand.asked.items()))
    attempt = first_plan(case, clock, progress)
    if attempt.best is not None:
        found = attempt.settle(clock.left())
        return Outcome(case, found, case.size, True, Possible(asked, True))
    possible = most_possible(case, clock.share(20.0)) if case.size else Possible((), True)
    most_today = min(_most_by_day(case), most_by_truck(case)) if case.size else 0
    timed = case.by_the_clock()
    fixed: dict[int, int] = {}
    proved, best = True, attempt
    short = False
    for priority, most in possible.totals:
        most = case.demand.asked[priority] if short else most
        most = min(most, most_today - sum(fixed.values()))
        likely = max(1, attempt.likely - sum(fixed.values()))
        reached, sure = _most_of(timed, fixed, priority, most, likely, clock, progress)
        proved = proved and sure
        fixed[priority] = reached.case.size - sum(fixed.values()) if reached else 0
        short = short or fixed[priority] < most  # then what is possible of the others was told too low
        best = reached or best
    upper = min(sum(case.demand.asked.values()) if short else possible.size, most_today)
    placed = sum(fixed.values())
    if not placed:
        nothing = Found(None, 0, proved)
        return Outcome(case.wanting({}), nothing, 0 if proved else upper, proved, possible)
    if timed is not case:
        best = Attempt(case.wanting(fixed, clock), clock, progress).begin_with(best)
    found = best.settle(clock.left())
    return Outcome(best.case, found, placed if proved else upper, proved, possible)


def first_plan(case: Case, clock: Clock, progress: Progress) -> Attempt:
    """Begin a search with a first plan for all that is wanted: one that is good by what counts, else one that
    is quick."""
    attempt, timed = Attempt(case, clock, progress), case.by_the_clock()
    if not case.size or attempt.hopeless:
        return attempt
    attempt.clock = _first(clock)
    if not attempt.glance((PLAIN,) if timed is not case else WAYS) and timed is not case:
        quick = Attempt(timed, _first(clock), progress)
        if quick.glance():
            attempt.clock = _first(clock)
            attempt.begin_with(quick)
    attempt.clock = clock
    return attempt


def _first(clock: Clock) -> Clock:
    """The part of a clock's time for a first plan."""
    return clock.part(max(FIRST_SHARE * clock.left(), min(FIRST_S, clock.left() / 2)))


def _most_by_day(case: Case) -> int:
    """Most splits of any kind that the table alone leaves room for in the day."""
    ground = case.clock_ground()
    nothing = np.zeros_like(ground.room)
    table = remaining(replace(ground, due_from=nothing, due_to=nothing))
    n = np.arange(case.size + 1)
    fits = table.leave[0, 0, n, n] <= case.end - case.start
    return int(n[fits].max(initial=0))


def _glimpsed(
    case: Case, fixed: dict[int, int], priority: int, most: int, likely: int, clock: Clock, progress: Progress
) -> tuple[int, Attempt | None]:
    """Find a plan for as many splits of one priority as a quick look allows: as many as are likely, fewer and
    fewer until there is one, then by halving."""
    low, high, step, n = 0, most + 1, 1, min(most, likely)
    best: Attempt | None = None
    while high - low > 1 and not clock.over():
        attempt = Attempt(case.wanting({**fixed, priority: n}, clock), clock, progress, hurried=True)
        if attempt.glimpse():
            low, best = n, attempt
        else:
            high = n
        step *= 2
        n = (low + high) // 2 if best else max(1, n - step)
    return low, best


def _most_of(
    case: Case, fixed: dict[int, int], priority: int, most: int, likely: int, clock: Clock, progress: Progress
) -> tuple[Attempt | None, bool]:
    """Find the most splits of one priority that fit with those fixed; (attempt holding the plan, proved).

    A plan for fewer is at hand first, quickly; then more are tried from the most down, each until proved.
    """
    attempts: dict[int, Attempt] = {}
    low, seen = _glimpsed(case, fixed, priority, most, likely, clock, progress)
    if seen is not None:
        attempts[low] = Attempt(seen.case, clock, progress)
        attempts[low].best = seen.best
    share = clock.part(clock.left() / 2)
    proved = True
    for n in range(most, low, -1):
        if share.over():
            proved = False
            break
        if n not in attempts:
            attempts[n] = Attempt(case.wanting({**fixed, priority: n}, clock), clock, progress)
        if attempts[n].hopeless:
            continue
        found = attempts[n].settle(share.left() / 2, first_only=True)
        if found.best is not None:
            return attempts[n], proved
        proved = proved and found.proved
    return (attempts[low] if low else None), proved
