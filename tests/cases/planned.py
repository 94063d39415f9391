"""A plan made and audited, and what can be read from it."""

import math

from routeplan.audit import audit
from routeplan.operation.world import Operation, Place, Yard
from routeplan.plan import Plan, Unplaced
from routeplan.planning.solve import plan_day

PLACES = {
    "Creek": Place(45.1000, -75.4000),
    "Mill": Place(45.1200, -75.3770),
    "Ridge": Place(45.1390, -75.3480),
    "Orchard": Place(45.0480, -75.4650),
    "Far": Place(45.1000, -75.3000),
    "Edge": Place(45.1000, -75.3386),
}
"""Invented yards. Straight lines from Creek: Mill 1.78 mi, Ridge 3.70, Orchard 4.80, Far 4.89, Edge 3.003."""

SECONDS = 20.0


def at(name: str, **more: object) -> Yard:
    """One of the invented yards."""
    return Yard(name, PLACES[name], **more)  # type: ignore[arg-type]


def planned(operation: Operation, seconds: float = SECONDS) -> Plan:
    """Plan a day; the plan must hold against the audit and account for every split asked for."""
    plan = plan_day(operation, seconds)
    assert [v.sentence() for v in audit(operation, plan)] == []
    assert len(plan.splits) + sum(u.count for u in plan.unplaced) == sum(o.count for o in operation.orders)
    return plan


def why(plan: Plan) -> Unplaced:
    """The one line of what is not in the plan."""
    (line,) = plan.unplaced
    return line


def gives(plan: Plan) -> dict[str, dict[str, int]]:
    """What each hive that gives gives, by kind."""
    return {h.hive: dict(h.gives) for h in plan.hives if any(n for _, n in h.gives)}


def reasons(plan: Plan) -> dict[str, str]:
    """What holds each hive back."""
    return {h.hive: h.reason for h in plan.hives}


def visits(plan: Plan) -> list[str]:
    """Yards in the order of visits, with a star where hives are opened."""
    return [s.yard + ("*" if s.opens else "") for s in plan.stops]


def most_aboard(plan: Plan, nested: int) -> int:
    """Most places taken on any leg, the way out included."""
    loads = [s.full + math.ceil(s.empty / nested) for s in plan.stops]
    return max([math.ceil(len(plan.splits) / nested), *loads])
