"""All orders where boxes may be of two yards, for one set of receiving yards: best first.

Orders are bounded by flows of units and cut by the clock. An order with one more visit is looked at only when
it is its turn by the bound that the table alone gives it, so most never are.
"""

import heapq
import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np

from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Visit
from routeplan.planning.remaining import INF
from routeplan.planning.unit_clock import HiveHours, Hours, UnitClock
from routeplan.planning.unit_flow import Flow, UnitFlows
from routeplan.planning.unit_table import UnitTable

OPEN = -1
"""In place of a check: a partial order to be opened, or to be gone on from by a visit."""
CHECKS = ("together", "soon", "whole")
"""How closely a complete order is looked at, one after the other: by all its hives together, in full for a
few seconds, in full."""
BEAM = 6
"""Partial orders kept of each length where a plan is looked for."""


@dataclass(frozen=True)
class Part:
    """A partial order of one set: counted seconds of drive and set-up, its hours, its flow for each table,
    and its bound."""

    order: Order
    spent_s: int
    hours: Hours
    flows: tuple[Flow, ...]
    bound_s: int


Look = Callable[[Order, int, int, str], tuple[int, bool]]
"""Look at a complete order one check closer, with so many seconds spent on the road and so many that its set
counts besides hives: a bound of it, and whether that is all there is to find out. "rough" in place of a check
only looks for a plan. A better plan is kept by whoever looks."""


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
    heap: list[tuple[int, int, int, Part, Visit | None]] = field(default_factory=list)
    _ties: Iterator[int] = field(default_factory=itertools.count)

    def __post_init__(self) -> None:
        self.flows = [UnitFlows(t) for t in self.tables]
        self.ground = self.tables[0].ground
        self.far = self.case.travel.far
        root = max(t.root for t in self.tables) + self.constant
        self.start = Part((), 0, self.clock.start(), tuple(f.start() for f in self.flows), root)
        self._push(root, OPEN, self.start)

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

    def _push(self, bound: int, check: int, part: Part, visit: Visit | None = None) -> None:
        heapq.heappush(self.heap, (bound, next(self._ties), check, part, visit))

    def _check(self, part: Part, check: int, bound: int) -> None:
        if not check and not self.hive_hours.in_time_whole(part.order):
            return
        home = int(self.ground.drive[part.order[-1].yard + 1, 0])
        closer, over = self.look(part.order, part.spent_s + home, self.constant, CHECKS[check])
        if over:
            self.unsure_s = min(self.unsure_s, max(bound, closer))
        elif closer < self.limit():
            self._push(max(bound, closer), check + 1, part)

    def _open(self, part: Part) -> None:
        """Push the order as it stands, and each visit more that may lead to a plan under the limit."""
        whole_s = self._whole_s(part)
        if whole_s < self.limit():
            self._push(whole_s, 0, part)
        for bound, visit in self._children(part):
            self._push(bound, OPEN, part, visit)

    def _step(self, part: Part, visit: Visit, bound: int) -> None:
        """Push an order with one more visit, once it is its turn by the bound it has without a look at it."""
        longer = self._extended(part, visit, bound)
        if longer is not None:
            self._push(longer.bound_s, OPEN, longer)

    def beam(self) -> list[Order]:
        """Walk level by level with the most promising orders only; return those that may be plans, the most
        promising first."""
        level, ends = [self.start], list[tuple[int, Order]]()
        while level:
            whole = [(self._whole_s(p), p.order) for p in level]
            ends += [end for end in whole if end[0] < self.limit() and self.hive_hours.in_time_whole(end[1])]
            steps = [(bound, i, visit) for i, p in enumerate(level) for bound, visit in self._children(p)]
            steps.sort(key=lambda step: step[:2])
            if not steps or min((whole_s for whole_s, _ in ends), default=INF) <= steps[0][0]:
                break
            grown = (self._extended(level[i], visit, bound) for bound, i, visit in steps[: 3 * BEAM])
            level = sorted((p for p in grown if p is not None), key=lambda p: p.bound_s)[:BEAM]
        return [order for _, order in sorted(ends, key=lambda end: end[0])]

    def _whole_s(self, part: Part) -> int:
        """Least an order counts as it stands; INF where it ends with hives: frames taken there are in no box
        placed."""
        if not part.order or part.order[-1].opens:
            return INF
        home = int(self.ground.drive[part.order[-1].yard + 1, 0])
        whole = max(f.whole(flow) for f, flow in zip(self.flows, part.flows, strict=True))
        return max(part.bound_s, part.spent_s + whole + home + self.constant)

    def _extended(self, part: Part, visit: Visit, bound: int) -> Part | None:
        """Return the order with one more visit, None where it leads to no plan under the limit."""
        last, order = part.order[-1].yard + 1 if part.order else 0, (*part.order, visit)
        if visit.opens and not self.hive_hours.in_time(order):
            return None
        may_place = any(v.opens and self.far[v.yard, visit.yard] for v in part.order)
        hours = self.clock.extend(part.hours, part.order, visit, may_place)
        if hours is None:
            return None
        flows = [
            f.within(f.extend(flow, visit, may_place), order)
            for f, flow in zip(self.flows, part.flows, strict=True)
        ]
        flows[0][:, hours >= INF] = INF
        set_up = self.ground.opening if visit.opens else self.ground.placing
        spent_s = part.spent_s + int(self.ground.drive[last, visit.yard + 1]) + set_up
        come = max(f.to_come(g, visit.yard + 1) for f, g in zip(self.flows, flows, strict=True))
        bound = max(bound, spent_s + come + self.constant)
        return Part(order, spent_s, hours, tuple(flows), bound) if bound < self.limit() else None

    def _children(self, part: Part) -> Iterator[tuple[int, Visit]]:
        """Yield (bound, visit) for the visits that may lead to a plan under the limit."""
        limit, ground, last = self.limit(), self.ground, part.order[-1].yard + 1 if part.order else 0
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
