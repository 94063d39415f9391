"""Which yards to visit, in what order: best-first search over visit orders, counts left open.

A partial order knows its visits, the least work of its donors for every number of splits, and how many splits
can be down already at most; the table of what remains bounds every continuation. Complete orders go to the
exact judge. The smallest open bound is a proven bound at any moment.

Without a limit on places, hours or minutes shut in, making at a yard's first visit and placing at its last
loses nothing, so only such orders are walked ("plain"). A plain order that the judge finds dearer than its
counts alone shows that some such limit binds; then all orders are walked.
"""

import heapq
import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np

from routeplan.planning.boxes import least_hives
from routeplan.planning.case import Case
from routeplan.planning.judge import Judge, Order, Round, Visit
from routeplan.planning.limits import Clock
from routeplan.planning.quick import count_order, simple
from routeplan.planning.remaining import INF, Ground, Remaining
from routeplan.planning.yields import Ints, convolve

Progress = Callable[[str, int | None, int | None], None]
"""Called with (stage, best paid seconds or None, proven bound or None)."""

BEAM = 24
JUDGED_A_LEVEL = 4


@dataclass(frozen=True)
class Found:
    """The outcome of a search: the best round, a proven bound of the paid seconds, whether it is proved."""

    best: Round | None
    bound_s: int
    proved: bool


@dataclass(frozen=True)
class Part:
    """A partial order. `spent`: seconds of drive and set-up so far; `work[j]`: least seconds to make j splits.

    `down`: most splits that can be placed by now; `reach`: yards far enough from some visited donor; `spare`:
    for each table, multipliers that continuations may still use; `made_at`: yards that made splits.
    """

    order: Order
    spent: int
    work: Ints
    down: int
    reach: np.ndarray
    made_at: np.ndarray
    spare: tuple[int, ...]

    @property
    def last(self) -> int:
        """Index of the last place, 0 = home."""
        return self.order[-1].yard + 1 if self.order else 0


@dataclass
class Search:
    """One search for a fixed number of splits."""

    case: Case
    ground: Ground
    tables: list[Remaining]
    judge: Judge
    clock: Clock
    constant: int = 0
    below_s: int = INF
    plain: bool = True
    progress: Progress = lambda stage, best, bound: None
    best: Round | None = None
    strained: bool = False
    unsure_s: int = INF
    nodes: int = 0
    heap: list[tuple[int, int, str, object]] = field(default_factory=list)
    _ties: Iterator[int] = field(default_factory=itertools.count)

    def __post_init__(self) -> None:
        self.simple = simple(self.case)
        self.most = self.ground.most
        self.twice = self.case.operation.settings.limits.visits_per_yard

    # --- partial orders -------------------------------------------------------------------------------------

    def start(self) -> Part:
        """Return the empty order at home."""
        work = np.full(self.ground.size + 1, INF, dtype=np.int64)
        work[0] = 0
        spare = tuple(int(t.made_price @ self.most + t.placed_price @ self.ground.room) for t in self.tables)
        nowhere = np.zeros(self.ground.yards, dtype=bool)
        return Part((), 0, work, 0, nowhere, nowhere, spare)

    def extend(self, part: Part, visit: Visit) -> Part:
        """Return the order with one more visit."""
        y = visit.yard
        order = (*part.order, visit)
        leg = int(self.ground.drive[part.last, y + 1])
        spent = part.spent + leg + (self.ground.opening if visit.opens else self.ground.placing)
        work, reach, made_at = part.work, part.reach, part.made_at
        if visit.opens:
            least = self.ground.least[y].copy()
            least[0] = INF
            work = convolve(work, least)
            reach = reach | self.ground.far[y]
            made_at = made_at.copy()
            made_at[y] = True
        spare = tuple(
            s - self._used_up(t, part.order, visit) for s, t in zip(part.spare, self.tables, strict=True)
        )
        return Part(order, spent, work, self._down(order), reach, made_at, spare)

    def _used_up(self, table: Remaining, before: Order, visit: Visit) -> int:
        """Multipliers that no continuation can use any more after this visit."""
        y = visit.yard
        made, placed = int(table.made_price[y]), int(table.placed_price[y])
        been = [v for v in before if v.yard == y]
        opened = any(v.opens for v in been)
        most, room = int(self.most[y]), int(self.ground.room[y])
        if self.plain:
            if not been:
                return made * most + (0 if visit.opens else placed * room)
            return placed * room if opened else 0
        last = len(been) + 1 >= self.twice
        if not last:
            return made if visit.opens and most else 0
        earlier = sum(1 for v in been if v.opens)
        return made * max(0, most - earlier) + placed * room

    def _down(self, order: Order) -> int:
        """Most splits that can be placed by the end of this order: never less than the truth."""
        total = 0
        last = {v.yard: i for i, v in enumerate(order)}
        for y, j in last.items():
            if self.ground.room[y]:
                made = sum(int(self.most[v.yard]) for v in order[:j] if v.opens and self.ground.far[v.yard, y])
                total += min(int(self.ground.room[y]), made)
        return min(total, self.ground.size)

    def bound(self, part: Part) -> int:
        """Least paid seconds of any completion of a partial order."""
        j = np.flatnonzero(part.work < INF)
        if not len(j):
            return INF
        n = self.ground.size
        down = np.minimum(j, part.down)
        best = 0
        for table, spare in zip(self.tables, part.spare, strict=True):
            state = int(table.memory.of(part.made_at)[part.last - 1]) if part.order else 0
            to_come = table.leave[part.last, state, n - j, n - down]
            best = max(best, int((part.work[j] + to_come).min()) - spare)
        return min(INF, part.spent + best + self.constant)

    def children(self, part: Part) -> Iterator[tuple[int, Visit]]:
        """Yield (bound, next visit) for every visit that may lead to a plan under the best one."""
        n, limit = self.ground.size, self.limit()
        j = np.flatnonzero(part.work < INF)
        down = np.minimum(j, part.down)
        legs = self.ground.drive[part.last, 1:] + part.spent + self.constant
        with_hives = np.zeros(self.ground.yards, dtype=np.int64)
        without = np.zeros(self.ground.yards, dtype=np.int64)
        for table, spare in zip(self.tables, part.spare, strict=True):
            work = part.work[j][:, None]
            m, p = (n - j)[:, None], (n - down)[:, None]
            z, state = np.arange(self.ground.yards)[None, :], table.memory.of(part.made_at)[None, :]
            with_hives = np.maximum(with_hives, (work + table.making[m, p, z, state]).min(axis=0) + legs - spare)
            without = np.maximum(without, (work + table.placing[m, p, z, state]).min(axis=0) + legs - spare)
        with_hives[self.most == 0] = INF
        without[(self.ground.room == 0) | ~part.reach] = INF
        for v in part.order:
            self._forbid(part, v, with_hives, without)
        if part.order:
            with_hives[part.order[-1].yard] = without[part.order[-1].yard] = INF
        for y in np.flatnonzero(with_hives < limit):
            yield int(with_hives[y]), Visit(int(y), True)
        for y in np.flatnonzero(without < limit):
            yield int(without[y]), Visit(int(y), False)

    def _forbid(self, part: Part, v: Visit, with_hives: Ints, without: Ints) -> None:
        """Leave out visits of a yard that was visited before where they cannot be better."""
        been = [w for w in part.order if w.yard == v.yard]
        if len(been) >= self.twice:
            with_hives[v.yard] = without[v.yard] = INF
        elif self.plain:
            with_hives[v.yard] = INF
            if not v.opens:
                without[v.yard] = INF

    # --- complete orders ------------------------------------------------------------------------------------

    def limit(self) -> int:
        """Paid seconds that a plan must stay under."""
        return min(self.below_s, self.best.paid_s if self.best else INF)

    def least_paid(self, part: Part) -> int:
        """Least paid seconds of an order that ends here, INF when it cannot hold all splits."""
        if part.down < self.ground.size or part.work[-1] >= INF:
            return INF
        return int(part.spent + part.work[-1] + self.ground.drive[part.last, 0]) + self.constant

    def look(self, part: Part, least_s: int) -> None:
        """Judge a complete order; keep it if it is the best so far."""
        found, sure = self._quick(part.order), True
        if found is None:
            verdict = self.judge.judge(part.order, self.limit())
            found, sure = verdict.found, verdict.sure
            if not sure:
                self.unsure_s = min(self.unsure_s, max(least_s, verdict.at_least_s))
            if self.plain and (found is None or found.paid_s > least_s):
                self.strained = True
        if found is not None and found.paid_s < self.limit():
            self.best = found
            self.report()

    def _quick(self, order: Order) -> Round | None:
        if not self.simple:
            return None
        counted = count_order(self.case, order, self.ground.least)
        if counted is None or counted.paid_s >= self.limit():
            return None
        boxes = {}
        for visit, q in zip(order, counted.made, strict=True):
            if q:
                y = visit.yard
                one = int(self.case.fill_s[0] + self.case.make_s[y, 0] + self.case.base_place_s[0])
                opening = (int(self.ground.least[y, q]) - q * one,)
                try:
                    hives = least_hives(self.case, y, 0, q, self.clock.share(5.0))
                    filled = self.judge.fill(y, ((q,),), opening, hives)
                except TimeoutError:
                    return None
                if filled is None:
                    return None
                boxes[y] = filled
        moved = tuple((i, j, 0, n) for (i, j), n in sorted(counted.moved.items()))
        made = tuple((q,) for q in counted.made)
        return Round(order, made, moved, boxes, counted.leave_home, counted.paid_s)

    # --- the search -----------------------------------------------------------------------------------------

    def beam(self, width: int = BEAM) -> None:
        """Walk level by level with the most promising orders only, for a first plan."""
        level = [self.start()]
        while level and not self.clock.over():
            offers = [(b, k, v) for k, part in enumerate(level) for b, v in self.children(part)]
            offers.sort(key=lambda o: (o[0], o[1], o[2].yard, o[2].opens))
            parts = [self.extend(level[k], v) for _, k, v in offers[: 3 * width]]
            rated = [(self.bound(p), i, p) for i, p in enumerate(parts)]
            level = [p for b, _, p in sorted(rated, key=lambda r: r[:2]) if b < self.limit()][:width]
            ends = [(self.least_paid(p), i) for i, p in enumerate(level)]
            for least_s, i in sorted(ends)[:JUDGED_A_LEVEL]:
                if least_s < self.limit() and not self.clock.over():
                    self.look(level[i], least_s)

    def run(self, first_only: bool = False) -> Found:
        """Search until the best plan is proved, the clock is over, or (first_only) a plan is there."""
        root = self.bound(self.start())
        self._push(root, "open", self.start())
        while self.heap and self.heap[0][0] < self.limit():
            if self.clock.over() or (first_only and self.best):
                break
            if self.plain and self.strained:
                break
            bound, _, what, item = heapq.heappop(self.heap)
            self._step(bound, what, item)
        open_s = self.heap[0][0] if self.heap else INF
        bound_s = min(open_s, self.unsure_s, self.limit())
        return Found(self.best, bound_s, bound_s >= self.limit() and not (self.plain and self.strained))

    def _step(self, bound: int, what: str, item: object) -> None:
        if what == "end":
            part: Part = item  # type: ignore[assignment]
            self.look(part, bound)
            return
        if what == "next":
            before, visit = item  # type: ignore[misc]
            part = self.extend(before, visit)
            bound = max(bound, self.bound(part))
            if bound < self.limit():
                self._push(bound, "open", part)
            return
        part = item  # type: ignore[assignment]
        self.nodes += 1
        if self.nodes % 200 == 0:
            self.report(bound)
        least_s = self.least_paid(part)
        if least_s < self.limit():
            self._push(least_s, "end", part)
        for child, visit in self.children(part):
            self._push(max(bound, child), "next", (part, visit))

    def _push(self, bound: int, what: str, item: object) -> None:
        heapq.heappush(self.heap, (bound, next(self._ties), what, item))

    def report(self, bound: int | None = None) -> None:
        """Tell the progress."""
        self.progress("search", self.best.paid_s if self.best else None, bound)
