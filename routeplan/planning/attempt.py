"""The search for one set of totals: a first plan by guesses, better ones near it, and the proof."""

from dataclasses import replace

import numpy as np

from routeplan.planning.case import Case
from routeplan.planning.flow import Flows
from routeplan.planning.guess import Guesser
from routeplan.planning.idle import needed, shortened
from routeplan.planning.improve import improve
from routeplan.planning.judge import Judge
from routeplan.planning.less import count_less
from routeplan.planning.limits import Clock
from routeplan.planning.multipliers import multiplied
from routeplan.planning.order import Order, Round
from routeplan.planning.possible import can_be_made
from routeplan.planning.prices import line_prices, taken_back
from routeplan.planning.receivers import BySets, dear
from routeplan.planning.remaining import Ground, Remaining, memory_of, memory_size, remaining
from routeplan.planning.rounds import FREE, PLAIN, Found, Progress, Search
from routeplan.planning.track import pace_of
from routeplan.planning.wander import Pace, wander

PRICES_SHARE = 0.15
"""Share of the time left that prices on batches may take."""
GUESSES = 16
"""Guessed orders judged one after the other without a better plan before guessing is given up."""
VAIN_WALKS = 2
"""Walks without a better plan before guessing is given up."""
HOT_S = (2000.0, 12_000.0)
"""How hot walks begin, in turn: the second leaves a yard that receives for another, which counts much."""
FAR = 1.5
"""A plan that counts so many times the limit is far off: better plans are worth more time than the proof."""
MOST_S = 10**7
"""More seconds than any plan counts."""
WAYS = (PLAIN, FREE)
LESS_SHARE = 0.6
"""Share of the time for better plans that walks over orders and receiving yards may take."""
QUICK_NODES = 1500
"""Partial orders looked at before closer bounds are worth their time; counted, so that a plan repeats."""


class Attempt:
    """The search for one set of totals, in steps that can be taken one after the other."""

    def __init__(self, case: Case, clock: Clock, progress: Progress) -> None:
        self.case, self.clock, self.progress = case, clock, progress
        self.below_s = MOST_S
        self.judge = Judge(case, clock)
        none = np.zeros(len(case.demand.lines), dtype=np.int64)
        self.can_be_made = can_be_made(case)
        self.prices = (
            none
            if not self.can_be_made
            else line_prices(case, clock.part(PRICES_SHARE * clock.left()), self.below_s)
        )
        self.ground = case.ground(self.prices)
        self.constant, self.back_s = taken_back(case, self.prices), case.receive_back_s
        clock_ground = case.clock_ground()
        self.pace = pace_of(case, clock_ground)
        self.day_s = remaining(clock_ground).root(clock_ground)
        self.plain_table = remaining(self.ground)
        self.tables: list[Remaining] = [self.plain_table]
        self.flows: Flows | None = None
        self.best: Round | None = None
        self.judged: set[Order] = set()
        self.bound_s = self.plain_table.root(self.ground) + self.constant - self.back_s

    @property
    def hopeless(self) -> bool:
        """Whether no plan with these totals fits day, truck or yields, by the table and by counting."""
        case = self.case
        if not self.can_be_made:
            return True
        return case.size > most_by_truck(case) or self.day_s > case.end - case.start or self.bound_s >= MOST_S

    def _search(self, way: str, clock: Clock, tables: list[Remaining], hasty: bool = False) -> Search:
        """One search; a hasty one looks for plans only: its tables need not be valid bounds."""
        search = Search(
            case=self.case,
            ground=self.ground,
            tables=tables,
            judge=self.judge,
            clock=clock,
            pace=self.pace,
            constant=self.constant,
            back_s=self.back_s,
            below_s=self.below_s,
            way=way,
            hasty=hasty,
            flows=self.flows if way == FREE and not hasty else None,
        )
        search.best, search.progress = self.best, self.progress
        self.judge.clock = clock
        return search

    def wander(self, vain: int = VAIN_WALKS, seed: int = 0) -> bool:
        """Look for plans among orders guessed to be good until so many walks are in vain; return whether
        there is one."""
        guesser = Guesser(self.case, self.ground, self.judge.mixture, self.prices, self.constant, self.back_s)
        most_visits, in_vain = self.case.operation.settings.limits.visits_per_yard, 0
        while in_vain < vain and not self.clock.over():
            begin, pace = self.best.order if self.best else (), Pace(HOT_S[seed % len(HOT_S)])
            share = self.clock.part(self.clock.left() / 3)
            met = wander(guesser, begin, share, most_visits, seed, pace)
            better = self._judged([order for guess, order in met if guess.score < self._limit()][:GUESSES])
            seed, in_vain = seed + 1, 0 if better else in_vain + 1
        return self.best is not None

    def _limit(self) -> int:
        return self.best.counted_s if self.best else self.below_s

    def _judged(self, orders: list[Order]) -> bool:
        """Judge orders not judged before roughly until one is a better plan; return whether one was."""
        self.judge.clock = self.clock
        for order in orders:
            if order in self.judged:
                continue
            self.judged.add(order)
            found = self.judge.rough(order, self._limit())
            if found is not None:
                self._keep(found)
                self.progress("search", self._limit(), self.bound_s)
                return True
        return False

    def glance(self, ways: tuple[str, ...] = WAYS) -> bool:
        """Look for a first plan by guesses, else by the beam and near it; return whether there is one."""
        if self.hopeless:
            return False
        self._count_less(self.clock.part(LESS_SHARE * self.clock.left()))
        if not self.wander():
            for way in ways:
                self._look_around(way, self.clock, [self.plain_table])
                if self.best:
                    break
        return self.best is not None

    def begin_with(self, quick: Round, far: Clock | None = None) -> "Attempt":
        """Begin with a plan found for the same splits by the clock alone, and go on to what counts less;
        where it counts far more than the limit until `far` ends, with nothing but other receiving yards."""
        self.judge.clock = self.clock
        begun = self.best = self._without_idle(self.judge.as_it_is(quick))
        is_far = far is not None and dear(self.case).any() and self.best.counted_s > FAR * self.bound_s
        self._count_less(far if far and is_far else self.clock.part(LESS_SHARE * self.clock.left()))
        if not is_far:
            self.wander()
        if self.best is begun:
            self.best = self.judge.rough(quick.order, begun.counted_s) or begun
            near = self._search(FREE, self.clock, [self.plain_table], hasty=True)
            improve(near)
            self._keep(near.best)
        return self

    def _count_less(self, clock: Clock) -> None:
        """Look for better plans with other receiving yards, where receiving counts."""
        if not dear(self.case).any():
            return
        self.judge.clock = clock
        best = count_less(self.judge, self.prices, self.best, clock, self._told)
        self.judge.clock = self.clock
        self._keep(best)

    def _told(self, found: Round) -> None:
        self.progress("search", found.counted_s, self.bound_s)

    def _keep(self, found: Round | None) -> None:
        """Keep a plan that is better than the best so far, its order weighed once more."""
        if found is not None and found is not self.best:
            self.best = self.judge.finer(self._without_idle(found))

    def _without_idle(self, found: Round) -> Round:
        """Return a round without visits that make and place nothing, if that is better."""
        order = needed(found)[1]
        if order == found.order:
            return found
        better = self.judge.rough(order, found.counted_s) or shortened(self.case, found)
        if better is None:
            return found
        counted_s = self.judge.counted_s(better.order, better.counts, better.paid_s)
        return replace(better, counted_s=counted_s) if counted_s <= found.counted_s else found

    def _look_around(self, way: str, clock: Clock, tables: list[Remaining]) -> None:
        """Look for better plans by the beam of one way, and near what it finds."""
        beam = self._search(way, clock, tables, hasty=True)
        beam.beam()
        near = self._search(FREE, clock, tables, hasty=True)
        near.best = beam.best
        improve(near)
        self._keep(near.best)

    def sharpen(self) -> None:
        """Compute multipliers and memory for a closer bound."""
        aim = (self.best.counted_s if self.best else self.below_s) - self.constant + self.back_s
        priced = multiplied(self.ground, aim, self.clock)
        if priced is None or self.clock.over():
            return
        made, placed = priced.made_price, priced.placed_price
        memory = memory_of(self.ground, memory_size(self.ground))
        try:
            self.tables = [
                remaining(self.ground, made, placed, memory, self.clock),
                remaining(self.ground, None, None, memory, self.clock),
            ]
        except TimeoutError:  # go on with what there is
            self.tables = [self.plain_table, priced]

    def _in_parts(self) -> Flows | None:
        """Flows where a yard may receive at two visits, for when the truck cannot hold all splits at once."""
        holds = self.case.holds
        if holds is None or holds.all() or self.clock.over() or self.case.twice_yards:
            return None  # two passes: what is aboard between them is not told by the table
        parts = self.ground.in_parts()
        try:
            return Flows(parts, remaining(parts, clock=self.clock, holds=holds), holds)
        except TimeoutError:
            return None

    def settle(self, seconds: float, first_only: bool = False) -> Found:
        """Search until proved, or for so many seconds."""
        clock = self.clock.part(seconds)
        found = self._walk(PLAIN, clock, self.tables, first_only, QUICK_NODES)
        if found.proved or clock.over() or (first_only and found.best):
            return found
        if dear(self.case).any():
            by_sets = self._by_sets(clock, first_only)
            if by_sets is not None:
                return by_sets
        self.sharpen()
        found = self._walk(PLAIN, clock, self.tables, first_only)
        if found.proved or clock.over() or (first_only and found.best):
            return found
        by_sets = self._by_sets(clock, first_only)
        if by_sets is not None:
            return by_sets
        self.flows = self._in_parts()
        return self._walk(FREE, clock, self.tables, first_only)

    def _by_sets(self, clock: Clock, first_only: bool) -> Found | None:
        """Search one set of receiving yards after the other; None where there are too many."""

        def new_search(ground: Ground, tables: list[Remaining], constant: int) -> Search:
            search = self._search(FREE, clock, tables)
            flows = None if self.case.twice_yards else Flows(ground, tables[0], self.case.holds)
            return replace(search, ground=ground, constant=constant, back_s=0, flows=flows)

        sets = BySets(self.case, self.ground, self.constant, new_search, clock, self.best, self.below_s)
        bound_s = sets.run(first_only)
        return None if bound_s is None else self._found(sets.best, bound_s)

    def _walk(
        self,
        way: str,
        clock: Clock,
        tables: list[Remaining],
        first_only: bool,
        most_nodes: int | None = None,
    ) -> Found:
        if len(tables) > 1:
            self._look_around(way, clock, self.tables)
        search = self._search(way, clock, tables)
        found = search.run(first_only, most_nodes)
        return self._found(search.best, found.bound_s)

    def _found(self, best: Round | None, bound_s: int) -> Found:
        """Take over what a search found and proved."""
        self.best = None if best is None else self._without_idle(best)
        self.bound_s = max(self.bound_s, bound_s)
        limit = self.best.counted_s if self.best else self.below_s
        return Found(self.best, min(self.bound_s, limit), self.bound_s >= limit)


def most_by_truck(case: Case) -> int:
    """Most empty boxes the truck can take out and still hold the first full one."""
    places, nest = case.places, case.operation.crew.empties_per_place
    return case.size if places is None else max(0, min(nest * places, nest * (places - 1) + 1))
