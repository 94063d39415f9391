"""What must be known before leaving."""

from routeplan.operation.world import Yard
from routeplan.output import day as days
from routeplan.output import measures, words
from routeplan.output.day import Day
from routeplan.output.season_said import season_said
from routeplan.plan import Stop, Take


def before(day: Day) -> tuple[str, ...]:
    """Return what must be known before leaving."""
    operation, plan, say = day.operation, day.plan, words.BEFORE
    lines = []
    for yard in operation.yards:
        if days.job(day, yard) == "health":
            lines.append(say["health"].format(yard=yard.id, health=yard.health))
    if away := plan.totals.asked - plan.totals.placed:
        lines.append(say["missing"].format(count=measures.counted(away, "split")))
    lines += season_said(day)
    for yard in operation.yards:
        lines += _hours_that_matter(day, yard)
    for stop in plan.stops:
        lines += [_queen_goes(day, stop, take) for take in stop.takes if take.kind == "queen"]
    if fenced := [s.yard for s in plan.stops if s.fence_s]:
        lines.append(say["fence"].format(yards=measures.joined(fenced)))
    if cells := sum(s.queen == "ripe cell" for s in plan.splits):
        when = measures.days_after(plan.day, 1, 1)
        lines.append(say["cells"].format(count=measures.counted(cells, "ripe cell"), when=when))
    unit = operation.settings.temperature
    if mated := sum(s.queen == "mated" for s in plan.splits):
        kept = measures.temperatures(*words.QUEENS_KEPT_C, unit)
        lines.append(say["queens"].format(count=measures.counted(mated, "mated queen"), heat=kept))
    if plan.splits:
        heat = days.warmest(operation)
        stated = (
            words.HEAT_NOT_STATED.format(degrees=measures.temperatures(20, 25, unit))
            if heat is None
            else words.HEAT_STATED.format(degrees=measures.temperature(heat, unit))
        )
        limit = measures.span(60 * days.shut_in_limit_min(operation))
        lines += [say["shut_in"].format(minutes=limit, heat=stated), say["last_look"]]
    return tuple(lines)


def _queen_goes(day: Day, stop: Stop, take: Take) -> str:
    return words.BEFORE["parents"].format(hive=take.hive, yard=stop.yard, box=day.boxes[take.split])


def _hours_that_matter(day: Day, yard: Yard) -> list[str]:
    """Say when a yard opens or closes where the plan comes within an hour of it."""
    stops, say, near = [s for s in day.plan.stops if s.yard == yard.id], words.BEFORE, 3600
    lines = []
    if yard.opens_min is not None and any(s.arrive < 60 * yard.opens_min + near for s in stops):
        lines.append(say["opens"].format(yard=yard.id, time=measures.clock(60 * yard.opens_min)))
    if yard.closes_min is not None and any(s.depart > 60 * yard.closes_min - near for s in stops):
        lines.append(say["closes"].format(yard=yard.id, time=measures.clock(60 * yard.closes_min)))
    return lines
