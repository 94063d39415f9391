"""One crew's day from an operation: the one entrance to planning."""

from collections.abc import Callable

from routeplan.operation.world import Operation
from routeplan.plan import Plan
from routeplan.planning.case import case_of
from routeplan.planning.day import plan_of
from routeplan.planning.limits import Clock
from routeplan.planning.rounds import Progress
from routeplan.planning.short import why_unplaced
from routeplan.planning.stages import most_then_least

RESERVE_S = 1.5
"""Seconds kept for naming frames and reasons at the end."""


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
    progress : called with (stage, best paid seconds, proven bound).
    stopped : asked now and then; True ends the search with the best plan so far.

    Returns
    -------
    Plan with status "optimal" only where proved; status "none" and no stops when nothing can be placed.
    """
    whole = Clock(seconds)
    search = Clock(max(0.7 * seconds, seconds - RESERVE_S), stopped)
    case = case_of(operation, search)
    outcome = most_then_least(case, search, progress)
    unplaced = why_unplaced(case, outcome, Clock(whole.left(), stopped))
    return plan_of(outcome, unplaced, case.size, Clock(max(0.2, whole.left())))
