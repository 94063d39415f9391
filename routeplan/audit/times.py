"""Rules about the clock: R8 windows, roads and the crew's day, R9 how long a split may be shut in."""

from collections.abc import Iterator

from routeplan.audit.case import Case
from routeplan.audit.violation import Violation, lasting, warm
from routeplan.operation.world import Operation
from routeplan.plan import Stop, clock

DRIVE_SLACK_S = 1
"""Seconds a drive may differ from ours, because of rounding."""
SAME_S = 1e-6
"""Below this two lengths of time are the same (minutes set as fractions)."""
DAY_NAMES = ("Mondays", "Tuesdays", "Wednesdays", "Thursdays", "Fridays", "Saturdays", "Sundays")


def hours(case: Case) -> Iterator[Violation]:
    """R8: yards are open, hives opened in their hours, the crew's day kept, no drive too short."""
    yield from _yards_open(case)
    yield from _hive_hours(case)
    yield from _crew_day(case)
    yield from _drives(case)


def _yards_open(case: Case) -> Iterator[Violation]:
    for i, stop in case.numbered:
        yard = case.yards.get(stop.yard)
        if yard is None:
            continue
        where, day = (yard.id,), case.operation.day
        if day.isoweekday() in yard.closed_days:
            text = f"stop {i} visits {yard.id}, closed on {DAY_NAMES[day.isoweekday() - 1]}"
            yield Violation("R8", text, 1, "visit", where)
        if yard.closed_until is not None and day < yard.closed_until:
            late = (yard.closed_until - day).days
            opens = yard.closed_until.isoformat()
            text = f"stop {i} visits {yard.id}, open again from {opens}: {late} d too early"
            yield Violation("R8", text, late, "days", where)
        if yard.opens_min is not None:
            begins = f"stop {i}: work at {yard.id} begins"
            yield from _before(begins, stop.arrive + stop.early_s, "it opens", yard.opens_min, where)
        if yard.closes_min is not None:
            yield from _after(f"stop {i} leaves {yard.id}", stop.depart, "it closes", yard.closes_min, where)


def hive_work_begins(stop: Stop) -> int:
    """Return the time of day at which the first hive of a stop is opened."""
    return stop.arrive + stop.early_s + stop.set_up_s + stop.fence_s + stop.place_s + stop.wait_s


def _hive_hours(case: Case) -> Iterator[Violation]:
    crew = case.operation.crew
    for i, stop in case.numbered:
        if not stop.opens and not stop.makes and not stop.sets:
            continue
        begin = hive_work_begins(stop)
        end = begin + stop.hive_s + stop.make_s
        at = f"stop {i} at {stop.yard}: work on hives"
        where = (stop.yard,)
        yield from _before(f"{at} begins", begin, "hive hours begin", crew.hives_from_min, where)
        yield from _after(f"{at} ends", end, "hive hours end", crew.hives_until_min, where)


def _crew_day(case: Case) -> Iterator[Violation]:
    crew, totals = case.operation.crew, case.plan.totals
    if case.plan.stops:
        yield from _before("the crew leaves home", totals.leave_home, "its day begins", crew.start_min, ())
        yield from _after("the crew is back", totals.back_home, "its day ends", crew.end_min, ())


def _before(what: str, at: int, limit: str, limit_min: int, where: tuple[str, ...]) -> Iterator[Violation]:
    early = limit_min * 60 - at
    if early > 0:
        text = f"{what} at {clock(at)}, {limit} at {clock(limit_min * 60)}: {lasting(early)} too early"
        yield Violation("R8", text, early, "s", where)


def _after(what: str, at: int, limit: str, limit_min: int, where: tuple[str, ...]) -> Iterator[Violation]:
    late = at - limit_min * 60
    if late > 0:
        text = f"{what} at {clock(at)}, {limit} at {clock(limit_min * 60)}: {lasting(late)} too late"
        yield Violation("R8", text, late, "s", where)


def drives(case: Case) -> Iterator[tuple[str | None, str | None, int, int]]:
    """Every drive of the plan: from, to (None is home), stated seconds and metres."""
    here: str | None = None
    for stop in case.plan.stops:
        yield here, stop.yard, stop.drive_s, stop.drive_m
        here = stop.yard
    yield here, None, case.plan.totals.home_drive_s, case.plan.totals.home_drive_m


def between(start: str | None, end: str | None) -> str:
    """Write a drive as people say it."""
    return f"from {start or 'home'} to {end or 'home'}"


def _drives(case: Case) -> Iterator[Violation]:
    for start, end, stated, _ in drives(case):
        if not {start, end} <= {None, *case.yards}:
            continue
        needed = case.roads.shortest(start, end)[0]
        if stated < needed - DRIVE_SLACK_S:
            text = (
                f"the drive {between(start, end)} is given as {lasting(stated)}, "
                f"it takes {lasting(needed)}: {lasting(needed - stated)} short"
            )
            yield Violation("R8", text, needed - stated, "s", tuple(y for y in (start, end) if y))


def shut_in(case: Case) -> Iterator[Violation]:
    """R9: from leaving the yard of its first bees to being opened, no split is shut in longer than heat
    allows."""
    warmest, limit = warmest_c(case.operation), shut_in_limit_s(case.operation)
    heat = (
        "no temperature given"
        if warmest is None
        else f"at {warm(warmest, case.operation.settings.temperature)}"
    )
    for split, _, placed in case.journeys():
        if placed.opened is None:
            continue
        first = case.plan.stops[case.with_bees[split.id][0] - 1]
        shut = placed.opened - first.depart
        if shut > limit + SAME_S:
            text = (
                f"split {split.id} is shut in {lasting(shut)} from {first.yard} to {placed.yard}; "
                f"at most {lasting(limit)} ({heat}): {lasting(shut - limit)} too long"
            )
            yield Violation("R9", text, shut - limit, "s", (split.id,))


def warmest_c(operation: Operation) -> float | None:
    """Return the day's warmest forecast anywhere, else the setting, else None."""
    of_day = [w.max_c for w in operation.weather if w.day == operation.day]
    return max(of_day) if of_day else operation.settings.shut_in.warmest_c


def shut_in_limit_s(operation: Operation) -> float:
    """Return the seconds a box may stay shut, by heat and by whether it is screened (common practice)."""
    rule, warmest = operation.settings.shut_in, warmest_c(operation)
    if warmest is None:
        minutes = rule.screened_min[1]
    else:
        steps = zip((20.0, 25.0, 30.0, 35.0), rule.screened_min, strict=True)
        minutes = next((most for below, most in steps if warmest < below), 0.0)
    if not rule.screened:
        minutes = 0.0 if warmest is not None and warmest >= 27.0 else minutes / 4
    return minutes * 60
