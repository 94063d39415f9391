"""The proof split up by which yards receive splits.

What receiving costs a yard in the weeks after comes once, however often boxes are placed there. A table that
forgets which yards were used can charge it at every visit only in part. Here the set of yards that receive
is fixed instead: its costs are then a constant, and its table may know what the truck holds as well (without
a memory of near yards: what is made at a second visit need not fit the truck at the first). There are few
sets worth a look, since receiving is dear; sets are opened by the least any plan with them counts.

The constant holds the trips of the weeks after that the ways to a queen ask for, whichever way lives in
which yard (`ways.py`). Only of ripe cells in a yard that counts nothing else the table has to tell where:
such plans are a set of their own.
"""

import heapq
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.multipliers import multiplied
from routeplan.planning.order import Round
from routeplan.planning.remaining import INF, Ground, Ints, Remaining, memory_of, remaining
from routeplan.planning.rounds import Search
from routeplan.planning.useless import without_useless
from routeplan.planning.ways import Living, ways_at_yards

MOST_SETS = 2000
"""More sets than this are not told apart."""
MOST_TRIED = 20_000
"""Nor are more looked at for sets that have room."""
SHARE = 0.3
"""Share of the time left that prices of all yards may take."""
FIRST_STEPS, STEPS = 12, 30
"""Steps of prices for all yards, and for one set, begun with those of all yards."""
ONCE = 3
"""Yards of a set for which a second table knows whether they have received: those whose room is dearest."""
ONCE_STEPS = 6
"""Steps of prices for that table."""
NODES = 400
"""Partial orders looked at before another set may have its turn."""

NewSearch = Callable[[Ground, list[Remaining], int], Search]
"""A search on a ground with tables and a constant that its plans count besides."""


@dataclass(frozen=True)
class Receivers:
    """Yards that receive splits, each at least one, besides any that receive for nothing; `fixed_s` is what
    that counts at least, `living_s` the part of it by the ways to a queen. `cells_free`: whether ripe cells
    come to one of these others, its trip not in `fixed_s`."""

    yards: tuple[int, ...]
    fixed_s: int
    living_s: int = 0
    cells_free: bool = False


def receivers_under(case: Case, ground: Ground, most_s: int) -> list[Receivers] | None:
    """Return every set of receiving yards that has room and counts less than `most_s`; None: too many."""
    sets, rest_s = cheapest_receivers(case, ground, most_s)
    return sets if rest_s >= most_s else None


def cheapest_receivers(case: Case, ground: Ground, most_s: int) -> tuple[list[Receivers], int]:
    """Return the sets of receiving yards that have room and count less than `most_s`, as many as are told
    apart, and what no set left out counts less than."""
    one_s, counts = _least_s(case), dear(case) & (ground.room > 0)
    must = set(np.flatnonzero(counts & (ground.due_to > 0)).tolist())
    free = int(ground.room[~counts].sum())
    ways = ways_at_yards(case.demand, case.after)
    cells = (False, True) if free and ground.cells else (False,)
    sets: list[Receivers] = []
    cheapest_first = sorted(np.flatnonzero(counts).tolist(), key=lambda z: one_s[z])
    for tried, (yards, least_s) in enumerate(_sets(case, cheapest_first, most_s)):
        if len(sets) >= MOST_SETS or tried == MOST_TRIED:
            return sets, least_s
        own_s = int(one_s[list(yards)].sum()) + case.after.over(set(yards))
        rooms = {z: int(ground.room[z]) for z in yards}
        if must <= set(yards) and free + sum(rooms.values()) >= ground.size:
            for there in cells:
                living_s = ways.least_s(rooms, ways.free(free, there), most_s - own_s)
                if own_s + living_s < most_s:
                    sets.append(Receivers(yards, own_s + living_s, living_s, there))
    return sets, most_s


def _least_s(case: Case) -> Ints:
    """Least seconds that a yard counts by receiving, by itself: (yards,)."""
    few = [case.after.few(y, max(1, int(room))) for y, room in enumerate(case.room)]
    return np.asarray(case.after.fixed_s + case.fence_s + np.array(few, dtype=np.int64))


def dear(case: Case) -> NDArray[np.bool_]:
    """Whether a yard counts anything by receiving, by itself or as one of many: (yards,)."""
    return np.asarray((_least_s(case) > 0) | (case.after.alone & (case.after.over_s > 0)))


def _sets(case: Case, cheapest_first: list[int], most_s: int) -> Iterator[tuple[tuple[int, ...], int]]:
    """Yield the sets of these yards that may count less than `most_s`, each with what neither it nor any set
    after it counts less than."""
    one_s, after = _least_s(case), case.after
    free = after.most_yards + int((~after.alone[cheapest_first]).sum())
    waiting: list[tuple[int, tuple[int, ...]]] = [(0, ())]
    while waiting:
        least_s, places = heapq.heappop(waiting)
        yield tuple(cheapest_first[i] for i in places), least_s
        last = places[-1] if places else -1
        if last + 1 == len(cheapest_first):
            continue
        for other in ((*places, last + 1), (*places[:-1], last + 1))[: 2 if places else 1]:
            own_s = int(one_s[[cheapest_first[i] for i in other]].sum())
            own_s += after.over_s * max(0, len(other) - free)
            if own_s < most_s:
                heapq.heappush(waiting, (own_s, other))


def ground_of(case: Case, ground: Ground, of: Receivers | None) -> Ground:
    """Return the ground where these yards must receive, and but for those that count nothing no other may;
    receiving itself costs nothing there, but for ripe cells in one that counts nothing else, where they come.
    None: any may."""
    free = replace(ground, receive=np.zeros_like(ground.receive), cell=np.zeros_like(ground.cell))
    if of is None:
        return free
    here, others = np.isin(np.arange(ground.yards), of.yards), ~dear(case)
    room = np.where(here | others, ground.room, 0)
    left = ground.size - (room.sum() - room)  # what all the others cannot take
    cell = free.cell
    if of.cells_free:  # all that the yards of the set have no room for
        elsewhere = max(1, case.cells - int(ground.room[here].sum()))
        trips_s = case.after.cells_s(np.where(others, ground.room, 0), elsewhere)
        cell = np.where(others, np.minimum(trips_s, INF), INF)
    return replace(free, room=room, due_to=np.clip(left, np.maximum(ground.due_to, here), room), cell=cell)


@dataclass(order=True)
class _Open:
    """A set still open: the least its plans count, and how far it is looked into; `told`: by a table that
    knows which of its yards have received."""

    bound_s: int
    rank: int
    of: Receivers = field(compare=False)
    ground: Ground | None = field(compare=False, default=None)
    told: bool = field(compare=False, default=False)
    search: Search | None = field(compare=False, default=None)


@dataclass
class BySets:
    """The search for one set of totals, split up by receiving yards.

    `constant` is what all plans count besides the ground.
    """

    case: Case
    ground: Ground
    constant: int
    new_search: NewSearch
    clock: Clock
    best: Round | None
    below_s: int

    def __post_init__(self) -> None:
        self.ways = ways_at_yards(self.case.demand, self.case.after)

    @property
    def holds(self) -> NDArray[np.bool_] | None:
        """What the truck holds; not told where hives may be worked in two passes."""
        return None if self.case.twice_yards else self.case.holds

    def limit(self) -> int:
        """Counted seconds that a plan must stay under."""
        return self.best.counted_s if self.best else self.below_s

    def run(self, first_only: bool = False) -> int | None:
        """Search until proved or out of time; return a proven bound, None where there are too many sets."""
        anywhere = ground_of(self.case, self.ground, None)
        share = self.clock.part(SHARE * self.clock.left())
        self.anywhere = multiplied(anywhere, self.limit() - self.constant, share, FIRST_STEPS, self.holds)
        if self.anywhere is None:
            return None
        least_s = self.anywhere.root(anywhere) + self.constant
        sets = receivers_under(self.case, self.ground, self.limit() - least_s)
        if sets is None:
            return None
        if not sets:
            return self.limit()
        most_s = self.limit() - self.constant - min(of.fixed_s for of in sets)
        self.ground = self._makers(without_useless(anywhere, self.anywhere, most_s, self.holds))
        heap = [_Open(least_s + of.fixed_s, i, of) for i, of in enumerate(sets)]
        heapq.heapify(heap)
        floor_s = INF
        while heap and heap[0].bound_s < self.limit() and not self.clock.over():
            if first_only and self.best:
                break
            one = heapq.heappop(heap)
            bound_s, over = self._further(one, first_only)
            if over:
                floor_s = min(floor_s, bound_s)
            elif bound_s < self.limit():
                heapq.heappush(heap, replace(one, bound_s=max(one.bound_s, bound_s)))
        return min(heap[0].bound_s if heap else INF, floor_s, self.limit())

    def _makers(self, ground: Ground) -> Ground:
        """The ground of all that is received, where no yard makes splits but those that may here."""
        return replace(
            self.ground, least=ground.least, once=ground.once, both=ground.both, due_from=ground.due_from
        )

    def _further(self, one: _Open, first_only: bool) -> tuple[int, bool]:
        """Look one step further into a set; return its bound and whether nothing more is to be found out."""
        assert self.anywhere is not None
        constant = self.constant + one.of.fixed_s
        made, placed = self.anywhere.made_price, self.anywhere.placed_price
        if one.ground is None:
            one.ground = ground_of(self.case, self.ground, one.of)
            may = one.ground.without_dues()  # a table that need not know which have received is small
            return remaining(may, made, np.maximum(0, placed), holds=self.holds).root(may) + constant, False
        if not one.told:
            one.told = True
            table = remaining(one.ground, made, placed, holds=self.holds)
            one.ground = without_useless(one.ground, table, self.limit() - constant, self.holds)
            return table.root(one.ground) + constant, False
        if one.search is None:
            one.search = self._begin(one.of, one.ground, constant)
            return (one.bound_s, True) if one.search is None else (one.search.root(), False)
        one.search.best = self.best
        found = one.search.run(first_only, one.search.nodes + NODES)
        self.best = found.best
        return found.bound_s, one.search.exhausted

    def _begin(self, of: Receivers, ground: Ground, constant: int) -> Search | None:
        """Price a set's yards; None when time ran out."""
        assert self.anywhere is not None
        begin = (self.anywhere.made_price, self.anywhere.placed_price)
        priced = multiplied(ground, self.limit() - constant, self.clock, STEPS, self.holds, begin)
        if priced is None:
            return None
        ground = without_useless(ground, priced, self.limit() - constant, self.holds)
        tables = [priced, *self._knowing_room(ground, priced, constant)]
        search = self.new_search(ground, tables, constant)
        most_s = self.limit() - priced.root(ground) - constant
        told = (of.yards, of.cells_free, of.living_s)
        search.living = Living(self.ways, *told, ground.room, ~dear(self.case), of.living_s + most_s)
        return search

    def _knowing_room(self, ground: Ground, priced: Remaining, constant: int) -> list[Remaining]:
        """A table that places at no yard with the dearest room twice, if there is such a yard and time.

        What the truck holds is left out: it may hold what is placed at two visits, and not all till the last.
        """
        worth = priced.placed_price * ground.room
        once = tuple(sorted(int(y) for y in np.argsort(-worth, kind="stable")[:ONCE] if worth[y] > 0))
        if not once:
            return []
        placed = priced.placed_price.copy()
        placed[list(once)] = np.minimum(0, placed[list(once)])
        memory, begin = memory_of(ground, 0, once), (priced.made_price, placed)
        aim = self.limit() - constant
        table = multiplied(ground, aim, self.clock, ONCE_STEPS, None, begin, memory)
        return [] if table is None else [table]
