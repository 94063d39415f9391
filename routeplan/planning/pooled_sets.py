"""The proof where boxes may be of two yards, split up by which yards receive splits.

As without such boxes (`receivers.py`): what receiving costs is a constant once the yards that receive are
fixed, and the table of units may know what the truck holds. Sets are opened by the least any plan with them
counts; within one, orders are walked best first with all limits on the clock, each bounded by flows of units.
"""

import heapq
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from routeplan.planning.after import least_to_hold
from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.receivers import Receivers, cheapest_receivers, ground_of
from routeplan.planning.remaining import INF, Ground, Ints
from routeplan.planning.set_search import Look, SetSearch
from routeplan.planning.unit_clock import HiveHours, UnitClock, service_s
from routeplan.planning.unit_prices import priced
from routeplan.planning.unit_table import UnitGround, UnitTable, unit_table
from routeplan.planning.units import givers, making_s, units_of_splits

TURN_S = 60
"""Counted seconds a set's bound may rise over that of the next before that has its turn."""
STEPS = 5
"""Steps of prices for one set."""
NODES = 150
"""Partial orders of a set looked at before prices are worth their time."""
LOOKS = 2
"""Orders of a set looked at roughly for a plan before it is searched."""
IN_VAIN = 4
"""Sets begun without a better plan before that is given up."""


@dataclass(frozen=True)
class UnitsOfCase:
    """What all sets of one case share: by choice of weights, least seconds by yard for units given (`least`),
    and what is down and held by units and splits still to come; `making_s`: least seconds of making and
    placing."""

    least: tuple[Ints, ...]
    down: tuple[np.ndarray, ...]
    holds: tuple[np.ndarray, ...]
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
    return UnitsOfCase(tuple(least), tuple(down), tuple(holds), making - saved)


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


@dataclass(order=True)
class Open:
    """A set still open: the least its plans count, and how far it is looked into."""

    bound_s: int
    rank: int
    of: Receivers = field(compare=False)
    tables: list[UnitTable] = field(compare=False, default_factory=list)
    search: SetSearch | None = field(compare=False, default=None)
    glanced: bool = field(compare=False, default=False)
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
        self.in_vain = 0

    @cached_property
    def hive_hours(self) -> HiveHours:
        """What all hive work takes of its hours, by the first choice of weights."""
        return HiveHours(self.case, self.choices[0])

    @cached_property
    def service(self) -> Ints:
        """Hive work by the clock for units given, (yards, units + 1), by the first choice of weights."""
        return service_s(self.case, self.choices[0])

    def run(self, clock: Clock) -> int | None:
        """Search until proved or out of time; return a proven bound, None where there is no time to tell sets
        apart."""
        try:
            return self._run(clock)
        except TimeoutError:
            return None

    def _run(self, clock: Clock) -> int | None:
        anywhere, constant = self.unit_ground(0, None)
        least_s = unit_table(anywhere, clock=clock).root + constant
        sets, rest_s = cheapest_receivers(self.case, self.ground, self.limit() - least_s)
        heap = [Open(least_s + of.fixed_s, i, of) for i, of in enumerate(sets)]
        heapq.heapify(heap)
        floor_s = least_s + rest_s  # what sets left out count at least
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

    def unit_ground(self, choice: int, receivers: Receivers | None) -> tuple[UnitGround, int]:
        """The ground of a set under one choice of weights, and what its plans count besides."""
        ground, shared = ground_of(self.case, self.ground, receivers), self.shared
        cells_s = least_to_hold(ground.cell, ground.room, int(ground.cells))
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

    def _further(self, one: Open, clock: Clock, until_s: int) -> tuple[int, bool]:
        """Look one step further into a set; return its bound and whether nothing more is to be found out."""
        grounds = [self.unit_ground(c, one.of) for c in range(len(self.choices))]
        constant = grounds[0][1] + one.of.fixed_s
        try:
            if not one.glanced:  # without a memory of yards that must receive a table is filled sooner
                one.glanced, anywhere = True, replace(grounds[0][0], due_to=np.zeros_like(self.ground.due_to))
                return unit_table(anywhere, clock=clock).root + constant, False
            if not one.tables:
                one.tables = [unit_table(grounds[0][0], clock=clock)]
                return one.tables[0].root + constant, False
            if one.search is None:
                one.tables += [unit_table(ground, clock=clock) for ground, _ in grounds[1:]]
                one.search = self.begin(one, constant)
                self._look_for_plans(one.search)
            elif one.search.nodes >= NODES and not one.priced:
                one.priced, before = True, one.tables[0]
                one.tables[0] = priced(before, self.limit() - constant, STEPS, clock)
                if one.tables[0] is not before:
                    one.search = self.begin(one, constant)
        except TimeoutError:
            return one.bound_s, True
        bound_s = one.search.run(until_s, INF if one.priced else NODES, clock)
        return bound_s, one.search.exhausted

    def _look_for_plans(self, search: SetSearch) -> None:
        """Look at the most promising orders of a set, as long as there are better plans among such."""
        if self.in_vain < IN_VAIN:
            best_s = self.limit()
            for order in search.beam()[:LOOKS]:
                self.look(order, 0, 0, "rough")
            self.in_vain = 0 if self.limit() < best_s else self.in_vain + 1

    def begin(self, one: Open, constant: int) -> SetSearch:
        """Begin the search of a set whose tables are filled; `constant`: what its plans count besides."""
        clock = UnitClock(self.case, self.choices[0], one.tables[0].ground, self.service)
        return SetSearch(self.case, one.tables, constant, clock, self.hive_hours, self.look, self.limit)
