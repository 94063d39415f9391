"""Why the day itself holds no more splits: places, minutes shut in, or hours. Tried, not guessed."""

from dataclasses import replace

from routeplan.planning.attempt import Attempt
from routeplan.planning.case import DAY_S, Case, with_hours
from routeplan.planning.limits import Clock
from routeplan.planning.order import Round
from routeplan.planning.stages import Outcome

NO_TIME = "not placed in the time given for planning; more time for planning may place it"
Why = tuple[str, str]
"""A rule and the reason in words."""


def out_of_time(case: Case, outcome: Outcome, priority: int, more: int, clock: Clock) -> Why:
    """Which limit of the day, left out, lets so many more of a priority be placed."""
    if not outcome.count_proved:
        return "R10", NO_TIME
    totals = dict(outcome.case.demand.totals) if outcome.found.best else {}
    wanted = case.wanting({**totals, priority: totals.get(priority, 0) + more})
    nights = with_hours(wanted, start=0, end=2 * DAY_S, hives_from=0, hives_until=2 * DAY_S)
    for rule, words, wider in (
        ("R7", "the truck has too few places", _with_places(wanted)),
        ("R9", "boxes would be shut in too long", with_hours(wanted, shut_in_s=DAY_S)),
        ("R8", "", nights),
    ):
        if wider is None or clock.over():
            continue
        attempt = Attempt(wider, clock.part(max(1.0, clock.left() / 2)), lambda stage, best, bound: None)
        if attempt.glance() and attempt.best is not None:
            return rule, words or _too_long(case, attempt.best)
    return "R8", "no order of visits fits the yards' hours, the hours for opening hives and the day together"


def _with_places(case: Case) -> Case | None:
    if case.places is None:
        return None
    crew = replace(case.operation.crew, places=None)
    return replace(case, operation=replace(case.operation, crew=crew))


def _too_long(case: Case, longer: Round) -> str:
    """Name the day's limit, how much a round with what is missing takes, and its dearest yard."""
    have, need = case.end - case.start, longer.paid_s
    detours = []
    for i, visit in enumerate(longer.order):
        before = longer.order[i - 1].yard + 1 if i else 0
        after = longer.order[i + 1].yard + 1 if i + 1 < len(longer.order) else 0
        y = visit.yard + 1
        detours.append((case.drive(before, y) + case.drive(y, after) - case.drive(before, after), visit.yard))
    detour, yard = max(detours)
    name = case.operation.yards[yard].id
    if need > have:
        words = f"the day has {_hours(have)}; a round with one more split takes {_hours(need)}, "
        words += f"{_hours(need - have)} too long"
    else:
        words = f"a round with one more split takes {_hours(need)} but does not fit the hours for opening "
        words += "hives or of the yards"
    return f"{words}; {name} alone costs {_hours(detour)} of driving in it"


def _hours(seconds: int) -> str:
    minutes = -(-seconds // 60)
    return f"{minutes // 60} h {minutes % 60:02d}" if minutes >= 60 else f"{minutes} min"
