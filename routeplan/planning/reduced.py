"""The part of an operation that the rest of a day is planned over: yards on the way and some near by, of
their hives those that can give most, and what is left of room and stock.
"""

from collections import Counter
from dataclasses import dataclass, replace

from routeplan.colony.counts import count_on
from routeplan.colony.surplus import queen_mothers
from routeplan.field.state import State
from routeplan.field.used import stock_left
from routeplan.operation.settings import Settings
from routeplan.operation.world import (
    HEALTH_USABLE,
    QUEENS_NOT_LAYING,
    Hive,
    Operation,
    Order,
    Pair,
    Yard,
)
from routeplan.planning.case import usable
from routeplan.planning.travel import Travel, travel_of

MORE_DONORS, MORE_ROOM = 4, 4
"""Yards near the way that are looked at beside those of the plan: to make splits, and to place them."""
MOST_HIVES = 12
"""Hives of a yard that are looked at at least, the strongest first, beside those of the plan."""
Key = tuple[str, str]


@dataclass(frozen=True)
class Reduced:
    """The rest's operation and, for its yards, where they stand in the whole one; `mothers` of all yards."""

    operation: Operation
    yards: tuple[int, ...]
    travel: Travel
    mothers: frozenset[Key]

    def index(self, yard: str) -> int:
        """Where a yard stands in the rest's operation. Raises KeyError."""
        for i, one in enumerate(self.operation.yards):
            if one.id == yard:
                return i
        raise KeyError(yard)


def reduced(state: State, travel: Travel) -> Reduced:
    """Take out what the rest of the day needs."""
    operation = state.operation
    orders = rest_orders(state)
    chosen, donors = _yards(state, travel, orders)
    ids = {operation.yards[i].id for i in chosen}
    mothers = _mothers(operation)
    hives = _hives(state, {operation.yards[i].id for i in donors}, orders)
    hives = [
        replace(h, queen_mother=h.key in mothers, may_give=h.may_give and h.key not in state.touched)
        for h in hives
    ]
    if not any(h.queen_mother for h in hives):
        orders = tuple(o for o in orders if o.queen != "raise own" or o.hive)
    small = replace(
        operation,
        yards=tuple(_left_over(operation.yards[i], state) for i in chosen),
        hives=tuple(hives),
        orders=tuple(o for o in orders if {o.from_yard, o.to_yard} <= {None, *ids}),
        stock=stock_left(operation, (*state.splits, *state.begun)),
        pairs=(),
        settings=_in_one_pass(operation.settings),
    )
    exact = travel_of(replace(small, pairs=_pairs(operation, ids)))
    return Reduced(small, tuple(chosen), exact, frozenset(mothers))


def _in_one_pass(settings: Settings) -> Settings:
    """The rest of a day opens a hive once: nothing is set above an excluder any more."""
    return replace(settings, excluder=replace(settings.excluder, allowed=False))


def _pairs(operation: Operation, yards: set[str]) -> tuple[Pair, ...]:
    return tuple(p for p in operation.pairs if {p.yard, p.other} <= yards)


def rest_orders(state: State) -> tuple[Order, ...]:
    """What is still to be made: the orders with the splits of the plan that are not made."""
    planned = {s.id: s for s in state.plan.splits}
    left = Counter(planned[s].order for s in state.rest)
    orders = []
    for order in state.operation.orders:
        gone = order.hive is not None and (order.from_yard, order.hive) in state.touched
        if left[order.id] and not gone:
            orders.append(replace(order, count=left[order.id]))
    return tuple(orders)


def _yards(state: State, travel: Travel, orders: tuple[Order, ...]) -> tuple[list[int], set[int]]:
    """Indices of the yards looked at, in the operation's order, and of those whose hives are."""
    operation = state.operation
    index = {y.id: i for i, y in enumerate(operation.yards)}
    named = [s.yard for s in (*state.plan.stops, *state.stops)]
    named += [y for o in orders for y in (o.from_yard, o.to_yard) if y]
    named += [*state.quarantined.values(), *state.traced.values()]
    chosen = {index[y] for y in named}
    on_way = [index[y] + 1 for y in named] + [0]
    near = travel.quick_s[:, on_way].min(axis=1)[1:]
    gives = _givers(state)
    able = [i for i, y in enumerate(operation.yards) if usable(y, operation.day) and i not in chosen]
    donors = sorted((i for i in able if gives[i]), key=lambda i: (near[i] - 60 * min(gives[i], 20), i))
    takers = [i for i in able if operation.yards[i].takes_splits and operation.yards[i].room != 0]
    takers.sort(key=lambda i: (near[i], i))
    unmade = set(state.rest)
    unmade |= {s.id for s in state.begun}
    giving = {index[s.yard] for s in state.plan.stops if unmade & {*s.makes, *s.begins}}
    giving |= {index[o.from_yard] for o in orders if o.from_yard}
    giving |= set(donors[:MORE_DONORS] if orders or state.begun else ())
    return sorted(chosen | giving | set(_enough_room(state, takers))), giving


def _enough_room(state: State, takers: list[int]) -> list[int]:
    """The nearest yards that take splits, until they have room for all there are to place."""
    room = 0
    chosen: list[int] = []
    for i in takers:
        if len(chosen) >= MORE_ROOM and (
            room >= len(state.aboard) + len(state.begun) + len(state.rest) or len(chosen) >= 3 * MORE_ROOM
        ):
            break
        has = state.operation.yards[i].room
        room += len(state.plan.splits) if has is None else has
        chosen.append(i)
    return chosen


def _givers(state: State) -> list[int]:
    """By yard, about how many frames of brood its hives can spare."""
    operation, keep = state.operation, state.operation.settings.keep_back
    index = {y.id: i for i, y in enumerate(operation.yards)}
    spare = [0.0] * len(operation.yards)
    for hive in operation.hives:
        spare[index[hive.yard]] += min(3.0, max(0.0, _strength(operation, hive) - keep.brood))
    return [int(n) for n in spare]


def _strength(operation: Operation, hive: Hive) -> float:
    """Frames of brood recorded, 0 where nothing may leave."""
    count = hive.count
    if not hive.may_give or hive.health not in HEALTH_USABLE or hive.queen in QUEENS_NOT_LAYING:
        return 0.0
    if count.queen_cells == "charged" or count.bees is None or count.bees < operation.settings.keep_back.bees:
        return 0.0
    return (count.capped or 0.0) + (count.open or 0.0) if count.brood is None else count.brood


def _hives(state: State, yards: set[str], orders: tuple[Order, ...]) -> list[Hive]:
    """The hives looked at: those of the plan and its standbys, and the strongest."""
    plan, operation = state.plan, state.operation
    named: set[Key] = {(s.yard, h) for s in plan.stops for h in s.opens}
    named |= {(row.yard, h) for row in plan.standbys for h, _ in row.hives}
    named |= {(o.from_yard or "", o.hive or "") for o in orders}
    kept: set[Key] = set()
    by_yard: dict[str, list[Hive]] = {}
    for hive in operation.hives:
        if hive.yard in yards:
            by_yard.setdefault(hive.yard, []).append(hive)
    for here in by_yard.values():
        rank = sorted(here, key=lambda h: (-_strength(operation, h), h.boxes + h.supers, h.id))
        kept |= {h.key for h in rank[:MOST_HIVES]}
    return [h for h in operation.hives if h.yard in yards and h.key in kept | named]


def _mothers(operation: Operation) -> set[Key]:
    counts = [count_on(hive, operation.day) for hive in operation.hives]
    return queen_mothers(operation, counts)


def _left_over(yard: Yard, state: State) -> Yard:
    """A yard with the room that is left, and its fence if one was set up."""
    here = sum(s.to_yard == yard.id for s in state.splits if s.placed_at)
    room = None if yard.room is None else max(0, yard.room - here)
    return replace(yard, room=room, fence=True if here and yard.bear else yard.fence)
