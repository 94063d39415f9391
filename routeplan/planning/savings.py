"""What one more person, place on the truck, excluder or donor yard would save: tried, with the same splits
placed."""

from collections.abc import Iterator
from dataclasses import replace

from routeplan.operation.world import Hive, Operation, Stock
from routeplan.plan import Plan, Saving
from routeplan.planning.alternatives import ONE_S, Solve, least_s
from routeplan.planning.case import usable
from routeplan.planning.limits import Clock
from routeplan.planning.travel import flying_m
from routeplan.planning.wishes import wanting


def savings_of(operation: Operation, plan: Plan, clock: Clock, solve: Solve) -> tuple[Saving, ...]:
    """Try what one more of something would save in seconds that count, with the same splits placed.

    Parameters
    ----------
    solve : plans a changed operation within so many seconds.

    Returns
    -------
    Savings found; nothing is said where no better plan was found and none is proved not to be.
    """
    if not plan.splits:
        return ()
    more = list(_more(wanting(operation, plan), plan))
    savings = []
    for n, (what, changed) in enumerate(more):
        seconds = clock.share(max(ONE_S, clock.left() / (len(more) - n)))
        if seconds < least_s(operation):
            break
        made = solve(changed, seconds)
        if len(made.splits) < len(plan.splits):
            continue
        proved = made.proof.status == plan.proof.status == "optimal"
        saves_s = plan.totals.counted_s - made.totals.counted_s
        if saves_s > 0 or (proved and saves_s == 0):
            savings.append(Saving(what, saves_s, proved))
    return tuple(savings)


def _more(operation: Operation, plan: Plan) -> Iterator[tuple[str, Operation]]:
    crew = operation.crew
    yield "one more person", replace(operation, crew=replace(crew, people=crew.people + 1))
    if crew.places is not None:
        wider = replace(crew, places=crew.places + 1)
        yield "one more place on the truck", replace(operation, crew=wider)
    if operation.two_passes_allowed and sum(len(s.sets) for s in plan.stops) == operation.counted("excluder"):
        more = replace(operation, stock=(*operation.stock, Stock("excluder", "", 1)))
        yield "one more excluder", more
    yield from _donor_yard(operation, plan)


def _donor_yard(operation: Operation, plan: Plan) -> Iterator[tuple[str, Operation]]:
    """The nearest yard that gives nothing because its counts are old, else because its hives may not give."""
    last = operation.settings.limits.count_last_days

    def old(hive: Hive) -> bool:
        seen = hive.count.inspected
        return hive.may_give and seen is not None and (operation.day - seen).days > last

    def kept(hive: Hive) -> bool:
        return not hive.may_give and not old(replace(hive, may_give=True))

    idle = {y.id for y in operation.yards if usable(y, operation.day)} - {s.from_yard for s in plan.splits}
    for held, words in ((old, "as if counted on the day"), (kept, "if its hives may give")):
        yards = {h.yard for h in operation.hives if h.yard in idle and held(h)}
        if yards:
            yard = min(yards, key=lambda y: (_from_stops_m(operation, plan, y), y))
            freed = tuple(_free(operation, h) if h.yard == yard and held(h) else h for h in operation.hives)
            yield f"frames from {yard}, {words}", replace(operation, hives=freed)
            return


def _free(operation: Operation, hive: Hive) -> Hive:
    """A hive that may give, its old figures taken as those of the day."""
    last, seen = operation.settings.limits.count_last_days, hive.count.inspected
    old = seen is not None and (operation.day - seen).days > last
    count = replace(hive.count, inspected=operation.day) if old else hive.count
    return replace(hive, may_give=True, count=count)


def _from_stops_m(operation: Operation, plan: Plan, yard: str) -> float:
    """Metres to the nearest stop of the plan, as the bee flies."""
    place = operation.yard(yard).stop
    return min(flying_m(place, operation.yard(s.yard).stop) for s in plan.stops)
