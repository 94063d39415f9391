"""The best plan of a search where boxes may be of two yards, and the orders judged for a better one."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Round, Visit, orderly
from routeplan.planning.remaining import INF
from routeplan.planning.rounds import Progress
from routeplan.planning.two_yard_judge import MOST_S, TwoYardJudge


@dataclass
class PooledPlans:
    """Keeps the best plan under `below_s` counted seconds.

    `judged`: orders looked at roughly; `closed`: orders weighed in full, and what no better plan of theirs
    that may be left counts less than. `bound_s`: what no plan counts less than, as far as it is told on.
    """

    case: Case
    clock: Clock
    progress: Progress
    best: Round | None = None
    below_s: int = INF
    bound_s: int = 0
    judged: set[Order] = field(default_factory=set)
    closed: dict[Order, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.judge = TwoYardJudge(self.case, self.clock)

    def limit(self) -> int:
        """Counted seconds that a plan must stay under."""
        return min(self.below_s, self.best.counted_s if self.best else INF)

    def keep(self, found: Round | None) -> bool:
        """Keep a plan if it is the best so far, and say whether it is."""
        if found is None or found.counted_s >= self.limit():
            return False
        self.best = found
        self.tell()
        return True

    def tell(self) -> None:
        """Tell how far the search is."""
        self.progress("two yards", self.best.counted_s if self.best else None, self.bound_s)

    def look(self, order: Order) -> bool:
        """Judge an order roughly; return whether that gave the best plan so far."""
        if order in self.judged or not orderly(order, self.case.operation.settings.limits.visits_per_yard):
            return False
        self.judged.add(order)
        return self.keep(self.judge.rough(order, self.limit()))

    def weigh(self, order: Order, most_s: float = MOST_S) -> int:
        """Judge an order in full, for so many seconds at most; return what no plan of it still open counts
        less than, INF: none is."""
        if self.closed.get(order, 0) < INF:
            word = self.judge.weigh(order, self.limit(), most_s)
            self.keep(word.found)
            self.closed[order] = max(self.closed.get(order, 0), INF if word.sure else word.at_least_s)
        return self.closed[order]

    def near(self, clock: Clock, promising: Callable[[Order], bool]) -> None:
        """Look for better plans near the best: a visit more, fewer, elsewhere, or two changed places."""
        better = self.best is not None
        while better and not clock.over():
            assert self.best is not None
            better = False
            for order in near_orders(self.best.order, self.case):
                if clock.over():
                    break
                if order not in self.judged and promising(order) and self.look(order):
                    better = True
                    break


def over_at(case: Case, order: Order, earliest: int, visit: Visit) -> int | None:
    """Return the earliest an order can be over with one more visit, from the earliest without it; None where
    that is too late."""
    y = visit.yard
    last = order[-1].yard + 1 if order else 0
    set_up, leaving = case.opening if visit.opens else case.placing
    begin = max(earliest + case.drive(last, y + 1), int(case.opens[y]))
    at_hives = max(begin + set_up, case.hives_from) if visit.opens else begin + set_up
    over = at_hives + leaving
    late = over > int(case.closes[y]) or over + case.drive(y + 1, 0) > case.end
    return None if late or (visit.opens and at_hives > case.hives_until) else over


def near_orders(order: Order, case: Case) -> Iterator[Order]:
    """Orders a step away, in a fixed order."""
    n = len(order)
    for i in range(n):
        yield order[:i] + order[i + 1 :]
    for i in range(n):
        if case.donors[order[i].yard]:
            yield (*order[:i], Visit(order[i].yard, not order[i].opens), *order[i + 1 :])
    for i in range(n):
        for j in range(i + 1, n):
            swapped = list(order)
            swapped[i], swapped[j] = swapped[j], swapped[i]
            yield tuple(swapped)
    for i in range(n):
        rest = order[:i] + order[i + 1 :]
        for j in range(n):
            if j != i:
                yield (*rest[:j], order[i], *rest[j:])
    for y in range(len(case.room)):
        for opens in (True, False):
            if case.donors[y] if opens else case.room[y]:
                for i in range(n + 1):
                    yield (*order[:i], Visit(y, opens), *order[i:])
