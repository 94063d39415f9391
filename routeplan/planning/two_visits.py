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
from routeplan.planning.yields import Donors, Ints, YardYield, yields_of

Kinds = dict[str, tuple[Donors, ...]]
"""Kinds of donors by yard."""
Yields = tuple[tuple[YardYield, ...], ...]


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
