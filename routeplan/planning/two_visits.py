"""What two visits of a yard mean where combs may be set above an excluder at one and collected at the other.

Such a hive is opened at both: `Case.yields` holds what a yard makes when every hive is opened at one visit
only, `Case.twice` what it makes when its hives may be opened at two. A table of the search does not know how
often a yard is visited. It takes the less of the two, the second with the least that a second visit costs
(Ground.at_two_visits): whatever a plan collects and places at a yard's second visit may for the bound be made
at its first, and be placed at a visit for placing only.
"""

from dataclasses import replace

from routeplan.operation.world import Operation
from routeplan.planning.demand import Demand
from routeplan.planning.limits import Clock
from routeplan.planning.openings import INF, Ints
from routeplan.planning.work import Work
from routeplan.planning.yields import Donors, YardYield, usual_s, yields_of

Kinds = dict[str, tuple[Donors, ...]]
"""Kinds of donors by yard."""
Yields = tuple[tuple[YardYield, ...], ...]


def worth_it(operation: Operation, kinds: Kinds) -> Kinds:
    """Leave two passes out in yards whose hives, as many as there are excluders, cannot save what set-up for
    hives takes beyond set-up for placing."""
    if not operation.two_passes_allowed:
        return kinds
    work, excluders = Work(operation), operation.counted("excluder") or 0
    least_s = work.set_up_s(True) + work.leave_s(True) - work.set_up_s(False) - work.leave_s(False)
    found = {}
    for yard, of_yard in kinds.items():
        saved = sorted((_saved_s(work, d) for d in of_yard for _ in d.hives), reverse=True)
        found[yard] = of_yard if sum(saved[:excluders]) > max(0, least_s) else at_one_visit(of_yard)
    return found


def _saved_s(work: Work, donors: Donors) -> int:
    """Most seconds that two passes save at one hive; more than any day where there is no other way."""
    found = [0]
    for two in (o for o in donors.options if o.in_two_passes):
        alike = [o for o in donors.options if (o.give, o.mixed) == (two.give, two.mixed)]
        one = [usual_s(work, o) for o in alike if not o.in_two_passes and o.way != "supers"]
        found.append(min(one, default=INF) - usual_s(work, two))
    return max(found)


def at_one_visit(kinds: tuple[Donors, ...]) -> tuple[Donors, ...]:
    """Leave out what takes two visits."""
    left = (replace(d, options=tuple(o for o in d.options if not o.in_two_passes)) for d in kinds)
    return tuple(d for d in left if d.options)


def both_yields(
    operation: Operation, demand: Demand, kinds: Kinds, fill_s: Ints, base_place: Ints, clock: Clock | None
) -> tuple[Yields, Yields]:
    """Return what the yards make with every hive opened once, and with hives opened at two visits."""
    once = {yard: at_one_visit(of_yard) for yard, of_yard in kinds.items()}
    yields = yields_of(operation, demand, once, fill_s, base_place, clock)
    twice = {
        yard: of_yard if any(d.in_two_passes for d in of_yard) else () for yard, of_yard in kinds.items()
    }
    if not any(twice.values()):
        return yields, yields
    more = yields_of(operation, demand, twice, fill_s, base_place, clock)
    return yields, tuple(
        two if twice[yard.id] else one for yard, one, two in zip(operation.yards, yields, more, strict=True)
    )
