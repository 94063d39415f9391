"""One crew's day from an operation: the entrances to planning."""

from collections.abc import Callable
from dataclasses import replace

from routeplan.operation.world import Operation
from routeplan.plan import Plan
from routeplan.planning.alternatives import alternatives_of
from routeplan.planning.case import case_of
from routeplan.planning.changes import changes_of
from routeplan.planning.cost import cost_of
from routeplan.planning.day import plan_of
from routeplan.planning.limits import Clock
from routeplan.planning.parts import pools
from routeplan.planning.rounds import Progress
from routeplan.planning.savings import savings_of
from routeplan.planning.short import why_unplaced
from routeplan.planning.skips import skips_of
from routeplan.planning.stages import most_then_least
from routeplan.planning.standby import standbys_of, take_rules_of
from routeplan.planning.two_yard_stages import pooled_outcome

RESERVE_S = 1.5
"""Seconds kept for naming frames and reasons at the end."""
SEARCH_SHARE = 0.75
"""Share of the time that the plan itself may take where it is looked at from other sides too."""
MOST_ASIDE_S = 24.0
"""Most seconds spent on looking at a plan from other sides."""


def _quiet(stage: str, best: int | None, bound: int | None) -> None:
    """Tell nobody."""


def plan_day(
    operation: Operation,
    seconds: float = 60.0,
    progress: Progress = _quiet,
    stopped: Callable[[], bool] = lambda: False,
) -> Plan:
    """Plan one crew's day.

    Parameters
    ----------
    operation : complete and valid (no findings of level error).
    seconds : time limit; kept within about 2 s.
    progress : called with (stage, best counted seconds, proven bound).
    stopped : asked now and then; True ends the search with the best plan so far.

    Returns
    -------
    Plan with standbys, take rules and costs; status "optimal" only where proved, "none" and no stops when
    nothing can be placed.
    """
    whole = Clock(seconds)
    search = Clock(max(0.7 * seconds, seconds - RESERVE_S), stopped)
    case = case_of(operation, search)
    outcome = (
        pooled_outcome(case, search, progress) if pools(case) else most_then_least(case, search, progress)
    )
    unplaced = why_unplaced(case, outcome, Clock(whole.left(), stopped))
    plan = plan_of(outcome, unplaced, case.size, Clock(max(0.2, whole.left())))
    standbys = standbys_of(operation, case.surplus, plan)
    rules = take_rules_of(operation, plan, standbys)
    return replace(
        plan,
        standbys=standbys,
        take_rules=rules,
        skips=skips_of(operation, plan),
        cost=cost_of(operation, plan),
    )


def plan_in_full(
    operation: Operation,
    seconds: float = 60.0,
    progress: Progress = _quiet,
    stopped: Callable[[], bool] = lambda: False,
) -> Plan:
    """Plan one crew's day and look at the plan from other sides, within the same seconds.

    Returns
    -------
    The plan of `plan_day` with what would let more be placed, other good plans, and what one more of
    something would save; these are as many as there is time for.
    """
    whole = Clock(seconds, stopped)
    plan = plan_day(operation, SEARCH_SHARE * seconds, progress, stopped)
    aside = whole.part(min(whole.left(), MOST_ASIDE_S))
    if not plan.splits:
        return replace(plan, changes=changes_of(operation, plan, aside))
    progress("what would help", plan.totals.counted_s, plan.proof.bound_s)
    changes = changes_of(operation, plan, aside.part(aside.left() / 2))
    progress("other good plans", plan.totals.counted_s, plan.proof.bound_s)
    others = alternatives_of(operation, plan, aside.part(0.65 * aside.left()), _solve)
    progress("what one more would save", plan.totals.counted_s, plan.proof.bound_s)
    savings = savings_of(operation, plan, aside.part(aside.left()), _solve)
    return replace(plan, changes=changes, alternatives=others, savings=savings)


def _solve(operation: Operation, seconds: float) -> Plan:
    return plan_day(operation, seconds)
