"""Wishes for more of what hives give: frames of a kind, a queen mother, a whole hive."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from routeplan.colony.surplus import has_fresh_eggs
from routeplan.operation.world import Hive, Operation, Order
from routeplan.plan import Plan
from routeplan.planning.case import Case, usable
from routeplan.planning.richer import MOST_MORE, parts_with, poorest_wish, richer
from routeplan.planning.wishes import MOST_YARDS, Wish, nearest

KIND_WORDS = {
    "capped": ("capped frame, with its bees,", "capped frames, with their bees,"),
    "open": ("open frame, with its bees,", "open frames, with their bees,"),
    "eggs": ("frame of eggs, with its bees,", "frames of eggs, with their bees,"),
    "food": ("food frame", "food frames"),
    "shake": ("frame's bees to shake in", "frames' bees to shake in"),
}


def frame_wishes(operation: Operation, plan: Plan, order: Order, case: Case, kind: str) -> Iterator[Wish]:
    """More frames of a kind in one hive: in each yard the hive that needs the fewest more."""
    if order.hive is not None:
        parts = 1 + sum(s.order == order.id for s in plan.splits)
        n = parts_with(operation, order, parts, kind)
        if n is not None:
            yield _frame_wish(operation, (str(order.from_yard), order.hive), kind, n, n)
        return
    may = [y for y in operation.yards if usable(y, operation.day) and order.from_yard in (None, y.id)]
    tried = 0
    for yard in nearest(operation, plan, case, may):
        poorest = poorest_wish(operation, case.surplus, order, yard.id, kind)
        if poorest is not None and tried < MOST_YARDS:
            tried += 1
            key, n = poorest
            yield _frame_wish(operation, key, kind, n, max(n, MOST_MORE))


def hive_wishes(operation: Operation, plan: Plan, order: Order, case: Case) -> Iterator[Wish]:
    """One or two more hives like the one that gives the most brood in a yard of the plan, or could."""
    frame = operation.kit(order.kit).frame
    may = [y for y in operation.yards if usable(y, operation.day) and order.from_yard in (None, y.id)]
    for yard in nearest(operation, plan, case, may)[:MOST_YARDS]:
        hives = [h for h in operation.hives if h.yard == yard.id and frame in (None, h.frame)]
        could = {h.key: case.surplus[h.key].most for h in hives}
        best = max(
            hives, key=lambda h: (max(g.capped + g.open + g.food for g in could[h.key]), h.id), default=None
        )
        if best is not None and any(g.capped + g.open + g.food for g in could[best.key]):
            one = f"{{n}} more hive like {best.id} at {yard.id}"
            many = f"{{n}} more hives like {best.id} at {yard.id}"
            yield Wish(
                "hives", "hives", yard.id, one, many, _with_more_like(operation, best), 1, 3, 1, "frames"
            )


def _with_more_like(operation: Operation, hive: Hive) -> Callable[[int], Operation]:
    def changed(n: int) -> Operation:
        more = [replace(hive, id=f"{hive.id}, {i + 2}") for i in range(n)]
        return replace(operation, hives=tuple(sorted((*operation.hives, *more), key=lambda h: h.key)))

    return changed


def mother_wishes(operation: Operation, plan: Plan, order: Order, case: Case) -> Iterator[Wish]:
    """One more queen mother in a yard: the calm hive that holds most brood of those with fresh eggs."""
    may = [y for y in operation.yards if usable(y, operation.day) and order.from_yard in (None, y.id)]
    frame = operation.kit(order.kit).frame
    if not any(h.queen_mother for h in operation.hives):
        return  # then any calm hive above the middle is one
    for yard in nearest(operation, plan, case, may)[:MOST_YARDS]:
        hives = [
            h
            for h in operation.hives
            if h.yard == yard.id
            and frame in (None, h.frame)
            and h.temper != "bad"
            and not h.queen_mother
            and has_fresh_eggs(operation, h, case.surplus[h.key].count)
            and case.surplus[h.key].could.open
        ]
        if hives:
            best = max(hives, key=lambda h: (case.surplus[h.key].count.brood or 0.0, h.id))
            words = f"hive {best.id} at {yard.id} as one more queen mother"
            yield Wish("queen mother", "hives", yard.id, words, words, _with_mother(operation, best))


def _with_mother(operation: Operation, mother: Hive) -> Callable[[int], Operation]:
    def changed(n: int) -> Operation:
        return replace(
            operation,
            hives=tuple(replace(h, queen_mother=True) if h.key == mother.key else h for h in operation.hives),
        )

    return changed


def _frame_wish(operation: Operation, key: tuple[str, str], kind: str, least: int, most: int) -> Wish:
    one, many = (f"{{n}} more {words} in hive {key[1]} at {key[0]}" for words in KIND_WORDS[kind])
    what = {"shake": "bees", "eggs": "frames of eggs"}.get(kind, f"{kind} frames")

    def changed(n: int) -> Operation:
        return richer(operation, key, kind, n)

    return Wish(what, "frames", key[0], one, many, changed, least, most)
