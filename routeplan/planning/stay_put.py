"""When no yard is far enough: how far the best one is; the split that stays, a fallback and no success."""

from collections.abc import Iterator
from dataclasses import replace

from routeplan.operation import units
from routeplan.operation.world import Kit, Operation, Order, Pair, Yard
from routeplan.plan import Change, Plan
from routeplan.planning.case import Case, usable
from routeplan.planning.wishes import wanting

EXTRA_SHAKES = 2
"""Shakes of bees more for a split that stays: its flying bees go back to the parent (common practice)."""


def distance_statement(operation: Operation, plan: Plan, case: Case) -> Change | None:
    """Say how far the farthest yard with room is, from a yard whose hives give, where that is too near."""
    taken = {y.id: sum(s.to_yard == y.id for s in plan.splits) for y in operation.yards}
    near = []
    for a, giving in enumerate(operation.yards):
        for b, taking in enumerate(operation.yards):
            roomy = taking.takes_splits and usable(taking, operation.day)
            roomy = roomy and (taking.room is None or taking.room > taken[taking.id])
            if a != b and case.donors[a] and roomy and not case.travel.far[a, b]:
                near.append((float(case.travel.flying[a, b]), giving.id, taking.id))
    if not near:
        return None
    metres, giving_id, taking_id = max(near)
    settings = operation.settings
    far, least = (units.distance(m, settings.units) for m in (metres, settings.minimum_distance_m))
    words = (
        f"The farthest yard with room is {taking_id}, {far} from {giving_id}; at least {least} are asked. "
        "From so near the flying bees drift home to their old stand and the split is left weak."
    )
    return Change("distance", round(metres), "m", taking_id, 0, words)


def stay_operations(
    operation: Operation, plan: Plan, order: Order, case: Case
) -> Iterator[tuple[str, Operation]]:
    """Operations in which one more split of an order stays in the yard where it is made, with extra shakes.

    All splits of the plan are asked for too. The old stand is written as a place of its own in the same spot,
    far enough by word, with room for one.
    """
    placed = wanting(operation, plan)
    if order.hive is not None and (order.break_up or any(o.id == order.id for o in placed.orders)):
        return  # its hive is split already, or nothing of it stays
    kit = operation.kit(order.kit)
    fuller = replace(kit, name=f"{kit.name}, stays", shakes=kit.shakes + EXTRA_SHAKES)
    for yard, donors in zip(operation.yards, case.donors, strict=True):
        stood = sum(s.to_yard == yard.id for s in plan.splits)
        roomy = yard.takes_splits and (yard.room is None or yard.room > stood)
        if donors and roomy and order.from_yard in (None, yard.id) and order.to_yard in (None, yard.id):
            yield yard.id, _staying_at(placed, yard, replace(order, count=1, kit=fuller.name), fuller)


def _staying_at(placed: Operation, yard: Yard, order: Order, kit: Kit) -> Operation:
    stand = replace(yard, id=f"{yard.id}, old stand", room=1)
    stays = replace(order, id=f"{order.id}, stays", from_yard=yard.id, to_yard=stand.id)
    by_word = Pair(yard.id, stand.id, flying_m=placed.settings.minimum_distance_m)
    return replace(
        placed,
        yards=tuple(sorted((*placed.yards, stand), key=lambda y: y.id)),
        kits=tuple(sorted((*placed.kits, kit), key=lambda k: k.name)),
        orders=tuple(sorted((*placed.orders, stays), key=lambda o: o.id)),
        pairs=(*placed.pairs, by_word),
    )


def stay_sentence(yard: str) -> str:
    """Say how a split stays in its yard."""
    return (
        f"A fallback, not a success: 1 split could stay at {yard}, on the old stand of a hive that gave to "
        f"it; that hive gets a new stand. Shake in the bees of {EXTRA_SHAKES} more frames, and look the next "
        "day whether enough bees have stayed."
    )
