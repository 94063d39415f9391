"""Most splits, then the least that counts, where boxes may be of two yards: never worse than without."""

from dataclasses import replace

from routeplan.operation.world import Operation
from routeplan.planning.attempt import most_by_truck
from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.most import HOW_MANY
from routeplan.planning.order import Round
from routeplan.planning.pooled import PooledSearch
from routeplan.planning.pooled_least import PooledLeast
from routeplan.planning.possible import Possible, most_possible
from routeplan.planning.rounds import Found, Progress
from routeplan.planning.stages import Outcome, most_then_least
from routeplan.planning.units import Choice

ALONE_SHARE = 0.35
"""Share of the time for the plan in which each box is of one yard."""
MOST_ALONE = 0.85
"""Most of the time for it, where it has no plan of as many splits as it looks for in its share."""
COUNT_SHARE = 0.5
"""Share of the time left for placing more splits than that."""
POSSIBLE_S = 10.0
"""Most seconds for how many of each priority are possible whatever the time."""


def pooled_outcome(case: Case, clock: Clock, progress: Progress) -> Outcome:
    """Plan with boxes of one yard first; then with boxes of two, for more splits or less that counts.

    Combs are set above an excluder for boxes of one yard only; where they may be, the bound still holds for
    plans with both, and only then is a plan proved.
    """
    alone = _alone(case, clock, progress)
    one_visit = _in_one_visit(case)
    if one_visit is case:
        return _with_two(case, alone, clock, progress)
    outcome = _with_two(one_visit, alone, clock, progress)
    wider = replace(case, demand=outcome.case.demand)
    found, bound_s = outcome.found, 0
    if found.best is not None:
        bound_s = min(PooledSearch(wider, clock, progress).bound_s, found.best.counted_s)
    best_s = found.best.counted_s if found.best is not None else bound_s
    sure = outcome.count_proved and outcome.most_splits == sum(case.demand.asked.values())
    most = outcome.most_splits if sure else case.size
    found = Found(found.best, bound_s, found.best is not None and bound_s >= best_s)
    return replace(outcome, case=wider, found=found, most_splits=most, count_proved=sure)


def _alone(case: Case, clock: Clock, progress: Progress) -> Outcome:
    """Plan with boxes of one yard: for its share of the time, and on as long as there is no plan of as many
    splits as it looks for."""
    share, met = clock.part(ALONE_SHARE * clock.left()), []

    def told(stage: str, best: int | None, bound: int | None) -> None:
        if best is not None and stage != HOW_MANY:
            met.append(best)
        progress(stage, best, bound)

    def enough() -> bool:
        return clock.over() or (bool(met) and share.over())

    return most_then_least(_one_yard(case), Clock(MOST_ALONE * clock.left(), enough), told)


def _in_one_visit(case: Case) -> Case:
    """The same day without combs above an excluder; the same case where there are none."""
    if not any(o.in_two_passes for of_yard in case.donors for d in of_yard for o in d.options):
        return case
    donors = tuple(
        tuple(
            replace(d, options=options)
            for d in of_yard
            if (options := tuple(o for o in d.options if not o.in_two_passes))
        )
        for of_yard in case.donors
    )
    return replace(case, donors=donors)


def _with_two(case: Case, alone: Outcome, clock: Clock, progress: Progress) -> Outcome:
    """From a plan with boxes of one yard to a plan with boxes of two."""
    asked = case.demand.asked
    possible = Possible(tuple(sorted(asked.items())), True)
    placed = dict(alone.case.demand.totals) if alone.found.best else {}
    if placed == asked and alone.found.best is not None:
        return _least(case, placed, alone.found.best, case.size, True, possible, clock, progress)
    possible = most_possible(case, min(POSSIBLE_S, clock.left() / 8))
    most_today = min(possible.size, most_by_truck(case))
    fixed: dict[int, int] = {}
    search: PooledSearch | None = None
    proved, more = True, False
    share = clock.part(COUNT_SHARE * clock.left())
    for priority, most in possible.totals:
        most = min(asked[priority] if more else most, most_today - sum(fixed.values()))
        least = 0 if more else placed.get(priority, 0)
        reached, found, sure = _most_of(case, fixed, priority, least, most, share, progress)
        proved, fixed[priority] = proved and sure, reached
        if found is not None:
            search, more = found, True
    total = sum(fixed.values())
    upper = total if proved else most_today
    start = search if search is not None and more else None
    if not total:
        return Outcome(case.wanting({}), Found(None, 0, proved), upper, proved, possible)
    best = alone.found.best if start is None else start.plans.best
    return _least(case, fixed, best, upper, proved, possible, clock, progress)


def _one_yard(case: Case) -> Case:
    """The same day where each box is of one yard."""
    operation: Operation = case.operation
    limits = replace(operation.settings.limits, yards_per_split=1)
    settings = replace(operation.settings, limits=limits)
    return replace(case, operation=replace(operation, settings=settings))


def _with_totals(case: Case, totals: dict[int, int]) -> Case:
    """The same day with other totals; what yards can make of whole boxes is not asked here."""
    return replace(case, demand=case.demand.with_totals(totals))


def _most_of(
    case: Case,
    fixed: dict[int, int],
    priority: int,
    least: int,
    most: int,
    clock: Clock,
    progress: Progress,
) -> tuple[int, PooledSearch | None, bool]:
    """Find the most splits of one priority beside those fixed, more than the `least` at hand: (how many, the
    search that found it, whether more are proved to be impossible)."""
    searches: dict[int, PooledSearch] = {}
    choices: list[Choice] | None = None
    low, proved = least, True
    for n in range(most, least, -1):
        if clock.over():
            return least, None, False
        totals = _with_totals(case, {**fixed, priority: n})
        searches[n] = PooledSearch(totals, clock, progress, choices=choices)
        choices = searches[n].choices or choices
        if searches[n].glance(clock.part(clock.left() / 4)):
            low = n
            break
    for n in range(most, low, -1):
        if clock.over():
            return low, searches.get(low), False
        found = searches[n].settle(clock.left() / 2, first_only=True)
        if found.best is not None:
            return n, searches[n], proved
        proved = proved and found.proved
    return low, searches.get(low), proved


def _least(
    case: Case,
    totals: dict[int, int],
    best: Round | None,
    most: int,
    proved: bool,
    possible: Possible,
    clock: Clock,
    progress: Progress,
) -> Outcome:
    """From a plan at hand to the one that counts least with boxes of two yards."""
    wanted = _with_totals(case, totals)
    if best is not None:
        least = PooledLeast(wanted, clock, progress, best)
        found = least.settle()
        if found is not None:
            return Outcome(wanted, found, most, proved, possible)
        best = least.plans.best
    found = PooledSearch(wanted, clock, progress, best=best).settle(clock.left())
    return Outcome(wanted, found, most, proved, possible)
