"""A hive that holds a little more of one kind, as if looked at on the day; which hive needs least more."""

from dataclasses import replace

from routeplan.colony.counts import count_on
from routeplan.colony.own_right import cannot_part, why_not_whole
from routeplan.colony.surplus import (
    Give,
    Surplus,
    gives_nothing,
    has_fresh_eggs,
    queen_mothers,
    surplus_of,
)
from routeplan.operation.world import Hive, Operation, Order
from routeplan.planning.standby import allows

MOST_MORE = 6
"""Frames of a kind, at most, by which one hive is made richer: more is another hive."""

Key = tuple[str, str]


def richer(operation: Operation, key: Key, kind: str, n: int) -> Operation:
    """Return the operation with a hive that holds n more of a kind, the bees on them too.

    Parameters
    ----------
    kind : "capped", "open", "eggs" (open frames with fresh eggs), "food" or "shake" (a frame of bees each).
    """
    hives = tuple(_richer_hive(operation, h, kind, n) if h.key == key else h for h in operation.hives)
    return replace(operation, hives=hives)


def _richer_hive(operation: Operation, hive: Hive, kind: str, n: int) -> Hive:
    """Write down what the hive holds on the day, and n more of the kind."""
    there, bees = count_on(hive, operation.day), operation.settings.bees
    carried = {"food": bees.per_food_frame, "shake": bees.per_shake}.get(kind, bees.per_brood_frame)

    def plus(value: float | None, more: float) -> float | None:
        return None if value is None else value + more

    count = replace(
        hive.count,
        inspected=None,
        brood=None,
        bees=plus(there.bees, n * carried),
        capped=plus(there.capped, n if kind == "capped" else 0),
        open=plus(there.open, n if kind in ("open", "eggs") else 0),
        food=plus(there.food, n if kind == "food" else 0),
        eggs_seen=True if has_fresh_eggs(operation, hive, there) else None,
    )
    return replace(hive, count=count)


def poorest_wish(
    operation: Operation, surplus: dict[Key, Surplus], order: Order, yard: str, kind: str
) -> tuple[Key, int] | None:
    """Return the hive of a yard that needs the fewest more of a kind to give more of it, and how many."""
    hives = _may_give(operation, surplus, order, yard, kind)
    if not hives:
        return None
    for n in range(1, MOST_MORE + 1):
        few = replace(operation, hives=tuple(_richer_hive(operation, h, kind, n) for h in hives))
        after = surplus_of(few)
        gains = [h for h in hives if _gains(surplus[h.key], after[h.key], kind)]
        if gains:
            best = min(gains, key=lambda h: (h.temper == "bad", -(h.count.bees or 0.0), h.id))
            return best.key, n
    return None


def _may_give(
    operation: Operation, surplus: dict[Key, Surplus], order: Order, yard: str, kind: str
) -> list[Hive]:
    """Hives that nothing but their counts holds back."""
    settings, health = operation.settings, operation.yard(yard).health
    own_right = {(o.from_yard, o.hive) for o in operation.orders if o.hive}
    frame = operation.kit(order.kit).frame
    mothers: set[Key] = set()
    if kind == "eggs":
        mothers = queen_mothers(operation, [surplus[h.key].count for h in operation.hives])
    return [
        h
        for h in operation.hives
        if h.yard == yard
        and frame in (None, h.frame)
        and h.key not in own_right
        and not gives_nothing(settings, h, surplus[h.key].count, health)
        and (kind != "eggs" or h.key in mothers)
    ]


def _gains(before: Surplus, after: Surplus, kind: str) -> bool:
    """Whether a richer hive may give what it could not give before, with some of the kind in it."""
    field = "open" if kind == "eggs" else kind
    return any(getattr(give, field) and not allows(before, give) for give in after.most)


def parts_with(operation: Operation, order: Order, parts: int, kind: str) -> int | None:
    """Return how many more of a kind the hive of an order needs to be split into so many parts, or to be
    broken up into all its own; None if it is not a matter of that kind."""
    kit, key = operation.kit(order.kit), (str(order.from_yard), str(order.hive))
    part = Give(kit.capped, kit.open, kit.food, kit.shakes)
    for n in range(1, MOST_MORE + 1):
        (hive,) = [h for h in richer(operation, key, kind, n).hives if h.key == key]
        if order.break_up:
            held = why_not_whole(operation, hive)
        else:
            held = cannot_part(operation, hive, part, parts, order.queen)
        if not held:
            return n
    return None
