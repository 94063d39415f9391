"""The independent judge of a plan: every rule again, from the operation and the plan alone.

Nothing here is shared with planning: distances, roads, counts on the day and lengths of work are all
worked out a second time, so that a fault in one shows in the other.
"""

from collections.abc import Callable, Iterator

from routeplan.audit.after import after, counted
from routeplan.audit.broken_up import broken_up
from routeplan.audit.case import Case
from routeplan.audit.cost import cost
from routeplan.audit.could import could
from routeplan.audit.excluder import excluders, passes, waits
from routeplan.audit.figures import figures
from routeplan.audit.floors import floors
from routeplan.audit.form import form
from routeplan.audit.giving import donors, health, keep_back, kit_met
from routeplan.audit.placing import accounted, distance, load, room
from routeplan.audit.pooling import bare_frames, begun_boxes
from routeplan.audit.queens import own_right, queens_along, stocked, sure_of_her
from routeplan.audit.replan import done_part, facts, kept_rules, without_exceptions
from routeplan.audit.roads import Roads
from routeplan.audit.sale import ready
from routeplan.audit.skips import skips
from routeplan.audit.standby import standbys
from routeplan.audit.stock import put_back
from routeplan.audit.sums import sums
from routeplan.audit.times import hours, shut_in
from routeplan.audit.violation import Violation
from routeplan.operation.world import Operation
from routeplan.plan import Plan

Rule = Callable[[Case], Iterator[Violation]]

RULES: tuple[tuple[str, Rule], ...] = (
    ("form", form),
    ("form", begun_boxes),
    ("R1", keep_back),
    ("R2", kit_met),
    ("R3", donors),
    ("R4", health),
    ("R5", distance),
    ("R6", room),
    ("R7", load),
    ("R8", hours),
    ("R8", sure_of_her),
    ("R9", shut_in),
    ("R9", bare_frames),
    ("R10", accounted),
    ("R11", put_back),
    ("R12", queens_along),
    ("R12", own_right),
    ("R12", broken_up),
    ("R12", stocked),
    ("R13", figures),
    ("R13", sums),
    ("R13", could),
    ("R13", counted),
    ("R13", cost),
    ("R14", after),
    ("R15", passes),
    ("R15", waits),
    ("R15", excluders),
    ("R16", floors),
    ("R16", ready),
    ("R3", standbys),
    ("R18", skips),
)
"""Every rule with its function, in the order violations are listed."""


FIGURES = ("form", "R13", "R14")
"""Rules about what a plan says of itself."""


def audit(operation: Operation, plan: Plan) -> list[Violation]:
    """Return everything the plan does that it may not; an empty list is a plan that holds.

    Parameters
    ----------
    operation : the tables the plan was made from; of a plan made in mid-day, with what was found since.
    plan : a plan, made here or edited by hand. Nothing in it is believed.

    Returns
    -------
    list of Violation, in the order of RULES. Drive times may be 1 s a leg short; all else is exact.
    """
    return audited(operation, plan)[0]


def audited(operation: Operation, plan: Plan) -> tuple[list[Violation], list[Violation]]:
    """Return what the plan does that it may not, and rules that what is done already has broken.

    The latter is empty but for a plan made in mid-day (see audit/replan.py).
    """
    roads = Roads(operation)
    found = _all(Case(operation, plan, roads))
    if plan.done is None:
        return found, []
    told: list[Violation] = []
    if found:
        found, told = facts(found, _all(Case(operation, done_part(plan), roads)))
    told = [v for v in told if v.rule not in FIGURES]  # how long things took is no fault
    return [*without_exceptions(found, plan), *kept_rules(Case(operation, plan, roads))], told


def _all(case: Case) -> list[Violation]:
    return [violation for _, rule in RULES for violation in rule(case)]


__all__ = ["RULES", "Rule", "Violation", "audit", "audited"]
