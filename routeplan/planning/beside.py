"""What stands beside a finished plan: standbys, take rules, cost, changes, other good plans, savings."""

from dataclasses import replace

from routeplan.colony.surplus import Surplus
from routeplan.operation.world import Operation
from routeplan.plan import Plan
from routeplan.planning.alternatives import Solve, alternatives_of
from routeplan.planning.changes import changes_of
from routeplan.planning.cost import cost_of
from routeplan.planning.limits import Clock
from routeplan.planning.savings import savings_of
from routeplan.planning.standby import standbys_of, take_rules_of

PART_CHANGES, PART_ALTERNATIVES = 0.5, 0.6
"""Parts of the time left for changes, and of the rest for other plans; savings have what then is left."""


def with_all_beside(
    operation: Operation,
    plan: Plan,
    surplus: dict[tuple[str, str], Surplus],
    clock: Clock,
    solve: Solve,
) -> Plan:
    """Return the plan with all that stands beside it.

    Standbys, take rules and cost take no time to speak of and are always there; the rest is tried until the
    clock is over, changes first.

    Parameters
    ----------
    solve : plans a changed operation within so many seconds, without these steps.
    """
    standbys = standbys_of(operation, surplus, plan)
    rules = take_rules_of(operation, plan, standbys)
    changes = changes_of(operation, plan, clock.part(PART_CHANGES * clock.left()))
    others = alternatives_of(operation, plan, clock.part(PART_ALTERNATIVES * clock.left()), solve)
    savings = savings_of(operation, plan, clock, solve)
    return replace(
        plan,
        standbys=standbys,
        take_rules=rules,
        cost=cost_of(operation, plan),
        changes=changes,
        alternatives=others,
        savings=savings,
    )
