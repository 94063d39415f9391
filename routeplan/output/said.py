"""What is said of a plan in a few lines where there is no page: for a terminal."""

from routeplan.operation.world import Operation
from routeplan.output import helps, measures, money, others
from routeplan.output.day import day_of
from routeplan.output.page import headline
from routeplan.plan import Plan

LATER = "In the weeks after: {time} for {trips} to {yards}."
OTHER = "Or {differs}: {takes}"
MONEY = "Money: {total} in all, {per_split} a split."


def lines(operation: Operation, plan: Plan) -> tuple[str, ...]:
    """Return the headline, the weeks after, other good plans and the money, one line each."""
    day = day_of(operation, plan)
    said = [headline(day)]
    going = [(row.yard, row.trips + row.feeding_trips + row.cell_trips) for row in plan.after]
    trips = sum(n for _, n in going)
    if trips:
        said.append(
            LATER.format(
                time=measures.span(plan.totals.later_s),
                trips=measures.counted(trips, "trip"),
                yards=measures.joined(yard for yard, n in going if n),
            )
        )
    for alternative, other in zip(plan.alternatives, others.others(day), strict=True):
        said.append(OTHER.format(differs=alternative.differs, takes=other.takes))
    cost = money.money(day)
    if cost is not None:
        said.append(MONEY.format(total=cost.total, per_split=cost.per_split))
    return tuple(_plain(line) for line in said)


def beside(operation: Operation, plan: Plan) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return the single changes that would place more, and what is only stated: (heading, lines)."""
    day = day_of(operation, plan)
    parts = (("One of these would help", helps.changes(day)), ("To know, no advice", helps.fallbacks(day)))
    return tuple((heading, tuple(_plain(line) for line in lines)) for heading, lines in parts if lines)


def _plain(line: str) -> str:
    return line.replace(measures.HARD, " ")
