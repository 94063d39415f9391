"""From a plan to the one that counts least where boxes may be of two yards, set by set of receiving yards."""

from dataclasses import replace

import numpy as np

from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Round
from routeplan.planning.pooled_plans import PooledPlans, over_at
from routeplan.planning.pooled_sets import PooledSets
from routeplan.planning.receivers import Receivers, dear
from routeplan.planning.remaining import INF
from routeplan.planning.rounds import Found, Progress
from routeplan.planning.unit_table import unit_table
from routeplan.planning.units import Together, making_s, units_of_splits

MOST_UNITS = 120
"""Units of larger tables take too long."""
WEIGHTS = (
    (1, 1, 1, 0, 0, 0),
    (1, 0, 0, 0, 0, 0),
    (0, 0, 0, 0, 1, 0),
    (1, 1, 1, 1, 0, 0),
    (0, 1, 1, 0, 0, 0),
    (0, 0, 0, 1, 0, 0),
    (2, 1, 1, 0, 0, 0),
)
"""Weights of frames tried, in the order of the kinds of a need: the most promising first."""
CHOICES_S = 2.0
"""Most seconds for choosing weights."""
SOON_S = 2.0
"""Most seconds for an order before others have their turn."""
NEAR_SHARE = 0.1
"""Share of the time for plans near the best."""


class PooledLeast:
    """The search for the least that counts from a plan at hand, for the totals of a case."""

    def __init__(self, case: Case, clock: Clock, progress: Progress, best: Round) -> None:
        self.case, self.clock = case, clock
        self.ground = case.ground()
        self.plans = PooledPlans(case, clock, progress, best)
        self.together = Together(case)
        making, saved = making_s(case, case.base_place_s)
        self.making_s, self.saved_s = making - saved, saved

    def settle(self) -> Found | None:
        """Search until proved or out of time; None where the sets cannot be told apart."""
        weights = self._weights(self.clock.part(CHOICES_S))
        if weights is None:
            return None
        assert self.plans.best is not None
        self.plans.look(self.plans.best.order)
        self.plans.near(self.clock.part(NEAR_SHARE * self.clock.left()), self._promising)
        sets = PooledSets(self.case, self.ground, [weights], self._closer, self.plans.limit, self._told)
        bound_s = sets.run(self.clock)
        if bound_s is None:
            return None
        limit = self.plans.limit()
        return Found(self.plans.best, min(bound_s, limit), bound_s >= limit)

    def _told(self, bound_s: int) -> None:
        self.plans.bound_s = bound_s
        self.plans.tell()

    def _weights(self, clock: Clock) -> tuple[int, ...] | None:
        """Weights of frames with the highest bound where the yards receive that do in the best plan."""
        assert self.plans.best is not None
        yards = {self.plans.best.order[j].yard for _, j, _, _ in self.plans.best.counts.moved}
        receivers = Receivers(tuple(sorted(int(z) for z in yards if dear(self.case)[z])), 0)
        best, best_s = None, -INF
        for weights in WEIGHTS:
            if not 0 < sum(units_of_splits(self.case, weights)) <= MOST_UNITS:
                continue
            sets = PooledSets(self.case, self.ground, [weights], self._closer, self.plans.limit, self._told)
            ground = sets.unit_ground(0, receivers)[0]
            try:
                root = unit_table(replace(ground, due_to=np.zeros_like(ground.due_to)), clock=clock).root
            except TimeoutError:
                break
            if root > best_s:
                best, best_s = weights, root
        return best

    def _promising(self, order: Order) -> bool:
        """Whether an order may be over in time and its road and hives do not count too much."""
        earliest: int | None = self.case.start
        for i, visit in enumerate(order):
            earliest = None if earliest is None else over_at(self.case, order[:i], earliest, visit)
        return earliest is not None and self._least_s(order, self._road_s(order)) < self.plans.limit()

    def _road_s(self, order: Order) -> int:
        """Counted seconds of drive and set-up."""
        ground, at, spent = self.ground, 0, 0
        for visit in order:
            spent += int(ground.drive[at, visit.yard + 1])
            spent += ground.opening if visit.opens else ground.placing
            at = visit.yard + 1
        return spent + int(ground.drive[at, 0])

    def _least_s(self, order: Order, spent_s: int) -> int:
        """Least seconds of road, making and hives of an order, whatever receives."""
        least_s = self.together.least_s(order)
        return spent_s + self.making_s + (0 if least_s is None else least_s + self.saved_s)

    def _closer(self, order: Order, spent_s: int, constant: int, check: str) -> tuple[int, bool]:
        """Look at a complete order one check closer: a bound of it, and whether that is all there is."""
        if check == "rough":
            self.plans.look(order)
            return 0, False
        if self.plans.closed.get(order) == INF:
            return INF, True
        if check == "together":
            least_s = self.together.least_s(order)
            return (0 if least_s is None else spent_s + constant + least_s + self.saved_s), False
        if check == "soon":
            open_s = self.plans.weigh(order, SOON_S)
            return open_s, open_s == INF
        return self.plans.weigh(order), True
