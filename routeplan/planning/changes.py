"""What would let one more split be made where something is missing: each change is tried, not guessed."""

from collections.abc import Iterator
from dataclasses import dataclass

from routeplan.operation.world import Operation, Order
from routeplan.plan import Change, Plan
from routeplan.planning.alternatives import least_s
from routeplan.planning.case import Case, case_of
from routeplan.planning.hive_wishes import KIND_WORDS, frame_wishes, hive_wishes, mother_wishes
from routeplan.planning.limits import Clock
from routeplan.planning.possible import RULES, most_possible
from routeplan.planning.stages import first_plan
from routeplan.planning.stay_put import distance_statement, stay_operations, stay_sentence
from routeplan.planning.wishes import (
    Wish,
    donor_wish,
    hour_wishes,
    parts_of_whole,
    place_wish,
    room_wishes,
    stock_wishes,
    wanting,
)

MOST = 10
"""Changes told: nobody weighs more."""
TRY_S = 4.0
"""Most seconds for one try."""


def changes_of(operation: Operation, plan: Plan, clock: Clock) -> tuple[Change, ...]:
    """Find single changes that would let one more split be made, where something asked for is missing.

    Returns
    -------
    At most ten, each with the least amount found, tried together with all splits of the plan. A distance is
    only stated (more = 0). Nothing is said of what could not be tried in time.
    """
    found: dict[tuple[str, str], Change] = {}
    missing = _missing(operation, plan) if clock.left() > least_s(operation) else []
    for order in missing:
        if clock.over():
            break
        for change in _for_order(operation, plan, order, clock, named=len(missing) > 1):
            found.setdefault((change.what, change.where), change)
            if len(found) == MOST:
                return tuple(found.values())
    return tuple(found.values())


def _missing(operation: Operation, plan: Plan) -> list[Order]:
    """One order for each kind of split that is short, the first priority first."""
    short = {u.order for u in plan.unplaced}
    kinds: dict[object, Order] = {}
    for o in sorted(operation.orders, key=lambda o: (o.priority, o.id)):
        if o.id in short:
            alike = (o.priority, o.kit, o.queen, o.from_yard, o.to_yard, o.hive)
            kinds.setdefault((o.from_yard, o.hive) if o.break_up else alike, o)
    return list(kinds.values())


def places_all(operation: Operation, clock: Clock) -> bool:
    """Whether a plan that places all that is asked for is found; False proves nothing."""
    case = case_of(operation, clock)
    if clock.over() or most_possible(case, clock.share(1.0)).size < case.size:
        return False
    return first_plan(case, clock, lambda stage, best, bound: None, any_does=True).best is not None


@dataclass(frozen=True)
class _Tries:
    """Trying changes for one more split of an order."""

    operation: Operation
    plan: Plan
    order: Order
    clock: Clock
    named: bool

    def works(self, changed: Operation, more: int = 1) -> bool:
        """Whether so many more of the order are placed under the change."""
        wanted = wanting(changed, self.plan, self.order, more)
        return self.clock.left() > least_s(changed) and places_all(wanted, self.clock.part(TRY_S))

    def least(self, wish: Wish) -> Change | None:
        """Find the least amount that works, by halving; None when the most does not."""
        amounts = wish.amounts()
        if not self.works(wish.changed(amounts[-1])):
            return None
        low, high = 0, len(amounts) - 1
        while low < high and not self.clock.over():
            middle = (low + high) // 2
            if self.works(wish.changed(amounts[middle])):
                high = middle
            else:
                low = middle + 1
        return self._change(wish, amounts[high])

    def _change(self, wish: Wish, amount: int) -> Change:
        if self.order.break_up:
            hive, parts = self.order.hive, parts_of_whole(self.operation, self.order)
            words = f"{wish.words(amount)} would let hive {hive} at {self.order.from_yard} be broken up."
            return Change(wish.what, amount, wish.unit, wish.where, sum(o.count for o in parts), words)
        missing = self.order.count - sum(s.order == self.order.id for s in self.plan.splits)
        more = 1
        while more < missing and self.works(wish.changed(amount), more + 1):
            more += 1
        splits = f"{more} more split{'s' if more > 1 else ''}"
        of = f" of order {self.order.id}" if self.named else ""
        sentence = f"{wish.words(amount)} would let {splits}{of} be made."
        return Change(wish.what, amount, wish.unit, wish.where, more, sentence)


def _for_order(operation: Operation, plan: Plan, order: Order, clock: Clock, named: bool) -> Iterator[Change]:
    """Changes for one more split of an order; none where only time for planning may be short."""
    case = case_of(wanting(operation, plan, order, 1), clock.part(TRY_S))
    short = _is_short(case, clock)
    if not short and plan.proof.count_status != "optimal":
        return
    tries = _Tries(operation, plan, order, clock, named)
    helps = {rule for rule in RULES if short and _helps(case, rule, clock)}
    wishes = _for_what_is_short(operation, plan, order, case, helps) if short else _for_the_day(tries, case)
    yield from _tried(tries, wishes)
    if "distance" in helps:
        statement = distance_statement(operation, plan, case)
        if statement is not None:
            yield statement
    if operation.settings.stay_put:
        yield from _staying(tries, case)


def _tried(tries: _Tries, wishes: Iterator[Wish]) -> Iterator[Change]:
    """Try wishes one by one."""
    units: set[str] = set()
    for wish in wishes:
        if tries.clock.over():
            return
        change = tries.least(wish) if wish.unless not in units else None
        if change is not None:
            units.add(change.unit)
            yield change


def _for_what_is_short(
    operation: Operation, plan: Plan, order: Order, case: Case, helps: set[str]
) -> Iterator[Wish]:
    """What may help where something is short whatever the time: only what is short."""
    if helps & {"stock", "room"}:
        yield from stock_wishes(operation, order)
    for kind in KIND_WORDS:
        if kind in helps or order.hive is not None or not helps:
            yield from frame_wishes(operation, plan, order, case, kind)
    if "eggs" in helps:
        yield from mother_wishes(operation, plan, order, case)
    if order.hive is None and (not helps or helps & set(KIND_WORDS)):
        yield from hive_wishes(operation, plan, order, case)
    if "room" in helps:
        yield from room_wishes(operation, plan, order, case)


def _for_the_day(tries: _Tries, case: Case) -> Iterator[Wish]:
    """What may help where frames, distances, room and stock would do, but not in one day's round."""
    yield from hour_wishes(tries.operation)
    if (place := place_wish(tries.operation)) is not None:
        yield place
    yield donor_wish(tries.operation)
    yield from room_wishes(tries.operation, tries.plan, tries.order, case)


def _is_short(case: Case, clock: Clock) -> bool:
    """Whether frames, distances, room and stock alone forbid it."""
    return most_possible(case, clock.share(1.0)).size < case.size


def _helps(case: Case, rule: str, clock: Clock) -> bool:
    """Whether leaving one rule out would allow it; not said where there is no time to ask."""
    return clock.left() >= 1.0 and most_possible(case, clock.share(1.0), frozenset((rule,))).size >= case.size


def _staying(tries: _Tries, case: Case) -> Iterator[Change]:
    """The first yard in which the split could stay."""
    for yard, stays in stay_operations(tries.operation, tries.plan, tries.order, case):
        if not tries.clock.over() and places_all(stays, tries.clock.part(TRY_S)):
            yield Change("stay put", 1, "splits", yard, 1, stay_sentence(yard))
            return
