"""The search where boxes may be of two yards: best first over orders of visits, bounded by units.

It begins with the best plan without such boxes, which is a plan here too. As without them, orders that make
at a yard's first visit and place at its last are walked first (PLAIN), none cut by the clock: without limits
on places, hours and minutes, others are never better, as beginning and completing a box take the same work
whichever comes first. Where such an order is dearer than its bare seconds, any visits are walked (FREE). A
visit at which nothing is taken or placed is needless, as drives are shortest already.
"""

import heapq
import itertools
from collections.abc import Iterator
from dataclasses import InitVar, dataclass

from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.openings import Ints
from routeplan.planning.order import Order, Round, Visit
from routeplan.planning.pooled_plans import PooledPlans, over_at
from routeplan.planning.remaining import INF
from routeplan.planning.rounds import FREE, PLAIN, Found, Progress
from routeplan.planning.units import (
    Choice,
    Costs,
    Together,
    Units,
    apart,
    best_choices,
    clock_costs,
    counted_costs,
    nothing_yet,
    tables,
    with_given,
    with_placed,
)

BEAM = 12
TABLES = 4
"""Tables of units that bound what counts."""
ROUGH_A_LEVEL = 4
"""Orders of one level of the beam that are judged, roughly."""


@dataclass(frozen=True)
class Part:
    """A partial order: counted seconds of drive and set-up, the earliest it can be over, and its bound."""

    order: Order
    spent_s: int
    clock_s: int
    earliest: int
    bound_s: int
    whole_s: int
    """Least counted seconds if it ends here; INF where it cannot."""
    given: tuple[Ints, ...]
    """By table, least seconds of having taken so many units by now."""
    placed: tuple[Ints, Ints, Ints]
    """Least seconds of having placed so many splits by now: what counts, by the clock, what counts where
    receiving is counted apart."""


@dataclass
class PooledSearch:
    """One search for the totals of a case, under `below_s` counted seconds."""

    case: Case
    clock: Clock
    progress: Progress
    best: InitVar[Round | None] = None
    below_s: InitVar[int] = INF
    choices: list[Choice] | None = None

    def __post_init__(self, best: Round | None, below_s: int) -> None:
        self.plans = PooledPlans(self.case, self.clock, self.progress, best, below_s)
        self.costs = counted_costs(self.case)
        self.clock_costs = clock_costs(self.case)
        self.apart_costs = apart(self.case, self.costs)
        if self.choices is None:
            self.choices = best_choices(self.case, self.costs, TABLES, self.clock.part(self.clock.left() / 4))
        self.tables = self._tables(self.costs, self.choices)
        self.times = self._tables(self.clock_costs, [Choice(c.weights) for c in self.choices[:1]])
        self.ties = itertools.count()
        self.together = Together(self.case)
        self.bound_s = self.plans.bound_s = max((t.root for t in self.tables), default=0)

    def _tables(self, costs: Costs, choices: list[Choice]) -> list[Units]:
        return [t for c in choices if (t := tables(self.case, costs, c)) is not None]

    @property
    def hopeless(self) -> bool:
        """Whether by the tables no plan fits the day, or none exists."""
        day_s = self.case.end - self.case.start
        return self.bound_s >= INF or any(t.root > day_s for t in self.times)

    # --- partial orders -------------------------------------------------------------------------------------

    def start(self) -> Part:
        """Return the empty order at home."""
        given = tuple(nothing_yet(t.all) for t in (*self.tables, *self.times))
        nothing = nothing_yet(self.case.size)
        return Part((), 0, 0, self.case.start, self.bound_s, INF, given, (nothing,) * 3)

    def extend(self, part: Part, visit: Visit, timed: bool = True) -> Part | None:
        """Return the order with one more visit; None where it takes more than the day, or (timed) is over too
        late."""
        case, order, y = self.case, (*part.order, visit), visit.yard
        last = part.order[-1].yard + 1 if part.order else 0
        earliest = over_at(case, part.order, part.earliest, visit) if timed else part.earliest
        if earliest is None:
            return None
        work = sum(case.opening if visit.opens else case.placing)
        spent = part.spent_s + int(self.costs.drive[last, y + 1]) + work
        clock_s = part.clock_s + case.drive(last, y + 1) + work
        given, placed = part.given, part.placed
        if visit.opens and not any(v.opens and v.yard == y for v in part.order):
            every = (*self.tables, *self.times)
            given = tuple(with_given(g, t.least[y]) for g, t in zip(given, every, strict=True))
        if self._places_first(part.order, y):
            costs = (self.costs, self.clock_costs, self.apart_costs)
            placed = tuple(with_placed(case, c, p, y) for c, p in zip(costs, placed, strict=True))  # type: ignore[assignment]
        n = len(self.tables)
        timed_s = [t.bound(clock_s, g, placed[1], y + 1) for t, g in zip(self.times, given[n:], strict=True)]
        if max(timed_s, default=0) > case.end - case.start:
            return None
        bounds = [
            t.bound(spent, g, placed[2 if t.choice.receive_apart else 0], y + 1)
            for t, g in zip(self.tables, given, strict=False)
        ]
        together = self.together.least_s(order)
        least = max((int(g[-1]) for g in given[:n]), default=0)
        least = least if together is None else max(least, together + self.costs.saved_s)
        whole = spent + int(placed[0][-1]) + int(self.costs.drive[y + 1, 0]) + least + self.costs.constant
        bound = max([part.bound_s, *bounds])
        return Part(order, spent, clock_s, earliest, bound, min(INF, whole), given, placed)

    def _places_first(self, before: Order, y: int) -> bool:
        """Whether yard y may be placed at now, and could not be before: something was made already."""
        opened = next((i for i, v in enumerate(before) if v.opens), len(before))
        return opened < len(before) and not any(v.yard == y for v in before[opened + 1 :])

    def children(self, part: Part, way: str) -> Iterator[Visit]:
        """Yield the next visits worth a look."""
        twice = self.case.operation.settings.limits.visits_per_yard
        for y in range(len(self.case.room)):
            been = [v for v in part.order if v.yard == y]
            if len(been) >= twice or (part.order and part.order[-1].yard == y):
                continue
            opened = any(v.opens for v in been)
            if way == PLAIN and been and not opened:
                continue
            if self.case.donors[y] and not (way == PLAIN and been):
                yield Visit(y, True)
            if self.case.room[y] and any(v.opens for v in part.order):
                yield Visit(y, False)

    # --- plans ----------------------------------------------------------------------------------------------

    def beam(self, way: str, clock: Clock) -> None:
        """Walk level by level with the most promising orders only, for a first plan."""
        level = [self.start()]
        while level and not clock.over():
            grown = [p for part in level for v in self.children(part, way) if (p := self.extend(part, v))]
            grown.sort(key=lambda p: (p.bound_s, len(p.order), str(p.order)))
            level = [p for p in grown if p.bound_s < self.plans.limit()][:BEAM]
            ends = sorted((p for p in grown if p.whole_s < self.plans.limit()), key=lambda p: p.whole_s)
            for part in ends[:ROUGH_A_LEVEL]:
                if not clock.over():
                    self.plans.look(part.order)

    def _promising(self, order: Order) -> bool:
        part: Part | None = self.start()
        for visit in order:
            part = self.extend(part, visit) if part else None
        return part is not None and part.whole_s < self.plans.limit()

    def glance(self, clock: Clock) -> bool:
        """Look for a plan by the beam, both ways; return whether there is one."""
        for way in () if self.hopeless else (PLAIN, FREE):
            if not clock.over():
                self.beam(way, clock)
        return self.plans.best is not None

    # --- the search -----------------------------------------------------------------------------------------

    def settle(self, seconds: float, first_only: bool = False) -> Found:
        """Search until proved, for so many seconds, or (first_only) until there is a plan."""
        clock = self.clock.part(seconds)
        if self.hopeless:
            return Found(None, self.bound_s, True)
        if not first_only:
            looking = clock.part(clock.left() / 3)
            if self.plans.best is not None:
                self.plans.look(self.plans.best.order)
                self.plans.near(looking, self._promising)
            self.glance(looking)
            self.plans.near(looking, self._promising)
        for way in (PLAIN, FREE):
            if first_only and self.plans.best:
                break
            if self._run(way, clock, first_only) or clock.over():
                break
        limit = self.plans.limit()
        return Found(self.plans.best, min(self.bound_s, limit), self.bound_s >= limit)

    def _run(self, way: str, clock: Clock, first_only: bool) -> bool:
        """Walk all orders of one way, best first; return whether the best plan is proved by it."""
        heap: list[tuple[int, int, str, Part]] = [(self.bound_s, next(self.ties), "open", self.start())]
        strained, unsure = INF, INF
        while heap and heap[0][0] < min(self.plans.limit(), strained if way == PLAIN else INF):
            if clock.over() or (first_only and self.plans.best is not None):
                break
            bound, _, what, part = heapq.heappop(heap)
            if what == "open":
                for visit in self.children(part, way):
                    grown = self.extend(part, visit, timed=way != PLAIN)
                    if grown is not None and grown.bound_s < self.plans.limit():
                        heapq.heappush(heap, (grown.bound_s, next(self.ties), "open", grown))
                        end = max(grown.whole_s, grown.bound_s)
                        if end < self.plans.limit():
                            heapq.heappush(heap, (end, next(self.ties), "end", grown))
            elif what == "end":
                bare = bound if first_only else max(bound, self._bare(part))
                if bare < self.plans.limit():
                    heapq.heappush(heap, (bare, next(self.ties), "bare", part))
            else:
                word = self.plans.judge.weigh(part.order, self.plans.limit())
                if word.found is not None and word.found.counted_s < self.plans.limit():
                    self.plans.keep(word.found)
                if not word.sure:
                    unsure = min(unsure, max(bound, word.at_least_s))
                if word.found is None or word.found.counted_s > bound:
                    strained = min(strained, bound)
        top = heap[0][0] if heap else INF
        proved_to = min(top, unsure, self.plans.limit(), strained if way == PLAIN else INF)
        self.bound_s = self.plans.bound_s = max(self.bound_s, proved_to)
        return self.bound_s >= self.plans.limit()

    def _bare(self, part: Part) -> int:
        home = int(self.costs.drive[part.order[-1].yard + 1, 0])
        return self.plans.judge.bare_s(part.order, part.spent_s + home, self.plans.limit())
