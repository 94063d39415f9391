"""The proof where boxes may be of two yards, split up by which yards receive splits.

As without such boxes (`receivers.py`): what receiving costs is a constant once the yards that receive are
fixed, and the table of units may know what the truck holds. Sets are opened by the least any plan with them
counts; within one, orders are walked best first with all limits on the clock, each bounded by flows of units.
"""

import heapq
import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np

from routeplan.planning.after import least_to_hold
from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Visit
from routeplan.planning.receivers import Receivers, ground_of, receivers_under
from routeplan.planning.remaining import INF, Ground, Ints
from routeplan.planning.unit_clock import HiveHours, Hours, UnitClock, service_s
from routeplan.planning.unit_flow import Flow, UnitFlows
from routeplan.planning.unit_prices import priced
from routeplan.planning.unit_table import UnitGround, UnitTable, unit_table
from routeplan.planning.units import givers, making_s, units_of_splits

TURN_S = 60
"""Counted seconds a set's bound may rise over that of the next before that has its turn."""
STEPS = 5
"""Steps of prices for one set."""
NODES = 150
"""Partial orders of a set looked at before prices are worth their time."""
OPEN = -1
"""In place of a check: a partial order to be opened, or to be gone on from by a visit."""
CHECKS = ("together", "soon", "whole")
"""How closely a complete order is looked at, one after the other: by all its hives together, in full for a
few seconds, in full."""


@dataclass(frozen=True)
class UnitsOfCase:
    """What all sets of one case share: by choice of weights, least seconds by yard for units given (`least`),
    and what is down and held by units and splits still to come; by the first choice, hive work by the clock
    (`service`) and in all (`hours`); `making_s`: least seconds of making and placing."""

    least: tuple[Ints, ...]
    down: tuple[np.ndarray, ...]
    holds: tuple[np.ndarray, ...]
    service: Ints
    hours: HiveHours
    making_s: int


def units_of_case(case: Case, choices: list[tuple[int, ...]]) -> UnitsOfCase:
    """Work out what the sets of a case share."""
    least, down, holds = [], [], []
    for weights in choices:
        units = units_of_splits(case, weights)
        least.append(givers(case, weights, units, False))
        rows = _aboard(case, units)
        down.append(rows[0])
        holds.append(rows[1])
    making, saved = making_s(case, case.base_place_s)
    service, hours = service_s(case, choices[0]), HiveHours(case, choices[0])
    return UnitsOfCase(tuple(least), tuple(down), tuple(holds), service, hours, making - saved)


def _aboard(case: Case, units: list[int]) -> tuple[np.ndarray, np.ndarray]:
    """With m units to be given and p splits to be placed, whether those placed can have their frames, and
    whether the truck holds what is aboard: [m, p].

    The boxes that all units given by now are in are as few as can be where the largest splits are filled.
    """
    size, every = len(units), sum(units)
    given, placed = every - np.arange(every + 1)[:, None], size - np.arange(size + 1)[None, :]
    least_for = np.concatenate([[0], np.cumsum(units)])
    most_in = np.concatenate([[0], np.cumsum(units[::-1])])
    down = least_for[placed] <= given
    if case.places is None:
        return down, np.ones_like(down)
    nest = case.operation.crew.empties_per_place
    begun = np.maximum(np.searchsorted(most_in, given), placed)
    return down, nest * (begun - placed) + size - begun <= nest * case.places


@dataclass(frozen=True)
class _Part:
    """A partial order of one set: counted seconds of drive and set-up, its hours, its flow for each table,
    and its bound."""

    order: Order
    spent_s: int
    hours: Hours
    flows: tuple[Flow, ...]
    bound_s: int


Look = Callable[[Order, int, int, str], tuple[int, bool]]
"""Look at a complete order one check closer, with so many seconds spent on the road and so many that its set
counts besides hives: a bound of it, and whether that is all there is to find out. A better plan is kept by
whoever looks."""


@dataclass
class SetSearch:
    """All orders for one set of receiving yards, best first."""

    case: Case
    tables: list[UnitTable]
    constant: int
    clock: UnitClock
    hive_hours: HiveHours
    look: Look
    limit: Callable[[], int]
    nodes: int = 0
    unsure_s: int = INF
    heap: list[tuple[int, int, int, _Part, Visit | None]] = field(default_factory=list)
    _ties: Iterator[int] = field(default_factory=itertools.count)

    def __post_init__(self) -> None:
        self.flows = [UnitFlows(t) for t in self.tables]
        self.ground = self.tables[0].ground
        self.far = self.case.travel.far
        root = max(t.root for t in self.tables) + self.constant
        start = _Part((), 0, self.clock.start(), tuple(f.start() for f in self.flows), root)
        self._push(root, OPEN, start)

    def run(self, until_s: int, most_nodes: int, clock: Clock) -> int:
        """Look at orders until all left count `until_s` or more, or at so many; return a proven bound of the
        set."""
        while self.heap and self.heap[0][0] < min(self.limit(), until_s) and not clock.over():
            if self.nodes >= most_nodes:
                break
            bound, _, check, part, visit = heapq.heappop(self.heap)
            if visit is not None:
                self._step(part, visit, bound)
            elif check == OPEN:
                self.nodes += 1
                self._open(part)
            else:
                self._check(part, check, bound)
        return self.bound_s

    @property
    def bound_s(self) -> int:
        """The least that any order not looked at to its end counts."""
        return min(self.heap[0][0] if self.heap else INF, self.unsure_s)

    @property
    def exhausted(self) -> bool:
        """Whether nothing under the limit is left to look at."""
        return not self.heap or self.heap[0][0] >= self.limit()

    def _push(self, bound: int, check: int, part: _Part, visit: Visit | None = None) -> None:
        heapq.heappush(self.heap, (bound, next(self._ties), check, part, visit))

    def _check(self, part: _Part, check: int, bound: int) -> None:
        if not check and not self.hive_hours.in_time_whole(part.order):
            return
        home = int(self.ground.drive[part.order[-1].yard + 1, 0])
        closer, over = self.look(part.order, part.spent_s + home, self.constant, CHECKS[check])
        if over:
            self.unsure_s = min(self.unsure_s, max(bound, closer))
        elif closer < self.limit():
            self._push(max(bound, closer), check + 1, part)

    def _open(self, part: _Part) -> None:
        """Push the order as it stands, if it ends with placing only (frames taken at the last visit are in no
        box placed), and each visit more that may lead to a plan under the limit."""
        if part.order and not part.order[-1].opens:
            home = int(self.ground.drive[part.order[-1].yard + 1, 0])
            whole = max(f.whole(flow) for f, flow in zip(self.flows, part.flows, strict=True))
            whole = max(part.bound_s, part.spent_s + whole + home + self.constant)
            if whole < self.limit():
                self._push(whole, 0, part)
        last = part.order[-1].yard + 1 if part.order else 0
        for bound, visit in self._children(part, last):
            self._push(bound, OPEN, part, visit)

    def _step(self, part: _Part, visit: Visit, bound: int) -> None:
        """Push an order with one more visit, once it is its turn by the bound it has without a look at it."""
        last, order = part.order[-1].yard + 1 if part.order else 0, (*part.order, visit)
        if visit.opens and not self.hive_hours.in_time(order):
            return
        may_place = any(v.opens and self.far[v.yard, visit.yard] for v in part.order)
        hours = self.clock.extend(part.hours, part.order, visit, may_place)
        if hours is None:
            return
        flows = [
            f.within(f.extend(flow, visit, may_place), order)
            for f, flow in zip(self.flows, part.flows, strict=True)
        ]
        flows[0][:, hours >= INF] = INF
        set_up = self.ground.opening if visit.opens else self.ground.placing
        spent_s = part.spent_s + int(self.ground.drive[last, visit.yard + 1]) + set_up
        come = max(f.to_come(g, visit.yard + 1) for f, g in zip(self.flows, flows, strict=True))
        bound = max(bound, spent_s + come + self.constant)
        if bound < self.limit():
            self._push(bound, OPEN, _Part(order, spent_s, hours, tuple(flows), bound))

    def _children(self, part: _Part, last: int) -> Iterator[tuple[int, Visit]]:
        """Yield (bound, visit) for the visits that may lead to a plan under the limit."""
        limit, ground = self.limit(), self.ground
        spent = part.spent_s + ground.drive[last, 1:] + self.constant
        making, placing = spent.copy(), spent.copy()
        most_s = limit - part.spent_s - self.constant
        for f, flow in zip(self.flows, part.flows, strict=True):
            opened, placed = f.next(flow, last, most_s)
            making, placing = np.maximum(making, spent + opened), np.maximum(placing, spent + placed)
        twice = self.case.operation.settings.limits.visits_per_yard
        reached = np.zeros(ground.yards, dtype=bool)
        for v in part.order:
            if v.opens:
                reached |= self.far[v.yard]
        for y in range(ground.yards):
            if y + 1 == last or sum(v.yard == y for v in part.order) >= twice:
                continue
            if self.case.donors[y] and making[y] < limit:
                yield max(part.bound_s, int(making[y])), Visit(y, True)
            if ground.room[y] and reached[y] and placing[y] < limit:
                yield max(part.bound_s, int(placing[y])), Visit(y, False)


@dataclass(order=True)
class _Open:
    """A set still open: the least its plans count, and how far it is looked into."""

    bound_s: int
    rank: int
    of: Receivers = field(compare=False)
    tables: list[UnitTable] = field(compare=False, default_factory=list)
    search: SetSearch | None = field(compare=False, default=None)
    priced: bool = field(compare=False, default=False)


@dataclass
class PooledSets:
    """The search for one set of totals, split up by receiving yards."""

    case: Case
    ground: Ground
    choices: list[tuple[int, ...]]
    look: Look
    limit: Callable[[], int]
    tell: Callable[[int], None]

    def __post_init__(self) -> None:
        self.shared = units_of_case(self.case, self.choices)

    def run(self, clock: Clock) -> int | None:
        """Search until proved or out of time; return a proven bound, None where there are too many sets or no
        time to tell them apart."""
        try:
            return self._run(clock)
        except TimeoutError:
            return None

    def _run(self, clock: Clock) -> int | None:
        anywhere, constant = self.unit_ground(0, None)
        least_s = unit_table(anywhere, clock=clock).root + constant
        sets = receivers_under(self.case, self.ground, self.limit() - least_s)
        if sets is None:
            return None
        heap = [_Open(least_s + of.fixed_s, i, of) for i, of in enumerate(sets)]
        heapq.heapify(heap)
        floor_s = INF
        while heap and heap[0].bound_s < self.limit() and not clock.over():
            one = heapq.heappop(heap)
            self.tell(min(one.bound_s, floor_s))
            bound_s, over = self._further(one, clock, (heap[0].bound_s if heap else INF) + TURN_S)
            one.bound_s = max(one.bound_s, bound_s)
            if over:
                floor_s = min(floor_s, one.bound_s)
            elif one.bound_s < self.limit():
                heapq.heappush(heap, one)
        return min(heap[0].bound_s if heap else INF, floor_s, self.limit())

    def unit_ground(self, choice: int, yards: tuple[int, ...] | None) -> tuple[UnitGround, int]:
        """The ground of a set under one choice of weights, and what its plans count besides."""
        ground, shared = ground_of(self.case, self.ground, yards), self.shared
        cells_s = least_to_hold(ground.cell, ground.room, self.case.cells)
        of = UnitGround(
            ground.drive,
            shared.least[choice],
            np.minimum(ground.room, self.case.size),
            ground.carry,
            ground.due_to,
            ground.opening,
            ground.placing,
            shared.down[choice],
            shared.holds[choice],
        )
        return of, shared.making_s + cells_s

    def _further(self, one: _Open, clock: Clock, until_s: int) -> tuple[int, bool]:
        """Look one step further into a set; return its bound and whether nothing more is to be found out."""
        grounds = [self.unit_ground(c, one.of.yards) for c in range(len(self.choices))]
        constant = grounds[0][1] + one.of.fixed_s
        try:
            if not one.tables:
                one.tables = [unit_table(grounds[0][0], clock=clock)]
                return one.tables[0].root + constant, False
            if one.search is None:
                one.tables += [unit_table(ground, clock=clock) for ground, _ in grounds[1:]]
                one.search = self._begin(one, constant)
            elif one.search.nodes >= NODES and not one.priced:
                one.priced, before = True, one.tables[0]
                one.tables[0] = priced(before, self.limit() - constant, STEPS, clock)
                if one.tables[0] is not before:
                    one.search = self._begin(one, constant)
        except TimeoutError:
            return one.bound_s, True
        bound_s = one.search.run(until_s, INF if one.priced else NODES, clock)
        return bound_s, one.search.exhausted

    def _begin(self, one: _Open, constant: int) -> SetSearch:
        shared = self.shared
        clock = UnitClock(self.case, self.choices[0], one.tables[0].ground, shared.service)
        return SetSearch(self.case, one.tables, constant, clock, shared.hours, self.look, self.limit)
