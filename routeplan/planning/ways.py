"""The least that the ways to a queen count in the weeks after, whichever way lives in which yard.

Trips to look, and the one with ripe cells, come by yard and follow from the ways that live there. Where the
yards that receive are fixed, each may be open to any set of ways. Splits of some ways then need as much room
as there is in all yards open to one of them (Hall, Journal of the London Mathematical Society 10, 1935);
among all choices that leave so much, for every set of ways, one counts least.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from itertools import islice, permutations

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.after import AfterCosts, subsets
from routeplan.planning.demand import Demand

MOST_CHOICES = 600
"""More choices than this of the yards so far are not told apart: of those that count about the same, the most
room of each is taken."""
MOST_ROWS = 3000
"""Rows of yards beside rows of ways looked at for a guess."""
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class WaysAtYards:
    """What living in each yard counts, by set of ways; bit i of a set is the i-th of the ways.

    Attributes
    ----------
    need : (sets,) splits of these ways that every plan places.
    cost_s : (yards, sets) seconds beyond what the yard counts by receiving any split.
    cells : (sets,) whether ripe cells are among them.
    must : (yards,) the set of ways fixed orders bring there in every plan.
    """

    need: Ints
    cost_s: Ints
    cells: NDArray[np.bool_]
    must: Ints
    known: dict[int, tuple[Ints, Ints]] = field(default_factory=dict)
    guessed: dict[tuple[tuple[int, int], ...], int] = field(default_factory=dict)

    def least_s(self, rooms: dict[int, int], free: Ints, below_s: int) -> int:
        """Least that all ways count where each of these yards receives; `below_s` where it is no less.

        Parameters
        ----------
        rooms : splits each of the yards can take.
        free : (sets,) room for these ways in yards where living counts nothing.
        """
        spent, room = np.zeros(1, dtype=np.int64), np.minimum(free, self.need)[None, :]
        left_s = sum(int(self.cost_s[z, 1:].min()) for z in rooms)
        left_room = sum(rooms.values())
        for z in sorted(rooms, key=lambda z: (-rooms[z], z)):
            left_s -= int(self.cost_s[z, 1:].min())
            left_room -= rooms[z]
            costs, meets = self._choices(z)
            spent = (spent[:, None] + costs[None, :]).ravel()
            room = (room[:, None, :] + rooms[z] * meets[None, :, :]).reshape(len(spent), len(self.need))
            able = (spent + left_s < below_s) & (room + left_room >= self.need).all(axis=1)
            spent, room = _few(spent[able], np.minimum(room[able], self.need))
        return int(spent[(room >= self.need).all(axis=1)].min(initial=below_s))

    def about_s(self, placed: tuple[tuple[int, int], ...]) -> int:
        """About the least that all ways count with so many splits in each yard, (yard, splits): what they
        count side by side in a row, yards and ways in any order."""
        if placed not in self.guessed:
            self.guessed[placed] = self._in_a_row(placed) if placed and len(self.need) > 1 else 0
        return self.guessed[placed]

    def _in_a_row(self, placed: tuple[tuple[int, int], ...]) -> int:
        singles = 1 << np.arange(len(self.need).bit_length() - 1)
        of_ways = _orders(len(singles), MOST_ROWS)
        of_yards = _orders(len(placed), MOST_ROWS // max(1, len(of_ways)))
        yards, splits = (np.array([one[i] for one in placed], dtype=np.int64)[of_yards] for i in (0, 1))
        ends, ends_of_ways = splits.cumsum(axis=1), self.need[singles][of_ways].cumsum(axis=1)
        begins, begins_of_ways = ends - splits, ends_of_ways - self.need[singles][of_ways]
        meet = begins[None, :, :, None] < ends_of_ways[:, None, None, :]
        meet &= begins_of_ways[:, None, None, :] < ends[None, :, :, None]
        there = (meet * singles[of_ways][:, None, None, :]).sum(axis=3)
        return int(self.cost_s[yards[None, :, :], there].sum(axis=2).min())

    def free(self, room: int, cells: bool) -> Ints:
        """So much room for every set of ways; for ripe cells alone only where they may come there too."""
        alone = self.cells & (np.bitwise_count(np.arange(len(self.need))) == 1)
        return np.where(~alone | cells, room, 0)

    def _choices(self, yard: int) -> tuple[Ints, Ints]:
        """Sets of ways a yard may be open to, none that another one makes needless: what they count, and with
        which sets each has a way in common."""
        if yard not in self.known:
            costs, every, must = self.cost_s[yard], range(len(self.need)), int(self.must[yard])
            kept = [
                s
                for s in every[1:]
                if s & must == must and not any(s != t and s & t == s and costs[t] <= costs[s] for t in every)
            ]
            meets = np.array(kept, dtype=np.int64)[:, None] & np.array(every)[None, :]
            self.known[yard] = costs[kept], (meets > 0).astype(np.int64)
        return self.known[yard]


@dataclass
class Living:
    """What the ways to a queen count more along an order than its set of receiving yards counts anyway.

    Attributes
    ----------
    yards : those that receive, and count something for it.
    cells_free : whether ripe cells come to others, where they are not told here.
    living_s : what the ways count at least, whatever the order.
    room : (yards,) splits each yard can take.
    free : (yards,) where living counts nothing else.
    below_s : no more than this is told of what the ways count in all.
    """

    ways: WaysAtYards
    yards: tuple[int, ...]
    cells_free: bool
    living_s: int
    room: Ints
    free: NDArray[np.bool_]
    below_s: int
    known: dict[tuple[int, ...], int] = field(default_factory=dict)

    def more_s(self, closed: dict[int, int]) -> int:
        """Seconds where these yards, that have no further visit, can take so many and no more."""
        room = self.room.copy()
        for z, most in closed.items():
            room[z] = min(int(room[z]), most)
        return self._more_s(room)

    def whole_s(self, down: dict[int, int]) -> int:
        """The same for a whole order: no more than this in any yard."""
        room = np.zeros_like(self.room)
        for z, most in down.items():
            room[z] = most
        return self._more_s(room)

    def _more_s(self, room: Ints) -> int:
        rooms = {z: int(room[z]) for z in self.yards}
        free = int(room[self.free].sum())
        key = (*rooms.values(), free)
        if key not in self.known:
            least_s = self.ways.least_s(rooms, self.ways.free(free, self.cells_free), self.below_s)
            self.known[key] = max(0, least_s - self.living_s)
        return self.known[key]


@cache
def _orders(count: int, most: int) -> Ints:
    """Orders of so many things, at most so many."""
    return np.array(list(islice(permutations(range(count)), max(1, most))), dtype=np.int64).reshape(-1, count)


def _few(spent: Ints, room: Ints) -> tuple[Ints, Ints]:
    """Choices as they are, or where they are too many groups of about equal cost, with the most room of
    each."""
    if len(spent) <= MOST_CHOICES:
        return spent, room
    order = np.argsort(spent, kind="stable")
    spent, room = spent[order], room[order]
    begin = np.unique(np.linspace(0, len(spent), MOST_CHOICES, endpoint=False).astype(np.int64))
    return spent[begin], np.maximum.reduceat(room, begin, axis=0)


def ways_at_yards(demand: Demand, after: AfterCosts) -> WaysAtYards:
    """Work out what the ways that a demand asks for count at each yard."""
    ways = sorted({b.queen for b in demand.batches})
    every = subsets(ways)
    yards = range(len(after.trip_s))
    cost_s = [[_cost_s(after, z, some) for some in every] for z in yards]
    must = np.zeros(len(yards), dtype=np.int64)
    totals, asked = dict(demand.totals), demand.asked
    for batch in demand.batches:
        if batch.to_yard is not None and asked[batch.priority] - batch.count < totals.get(batch.priority, 0):
            must[batch.to_yard] |= 1 << ways.index(batch.queen)
    return WaysAtYards(
        need=np.array([_least_of(demand, some) for some in every], dtype=np.int64),
        cost_s=np.array(cost_s, dtype=np.int64),
        cells=np.array(["ripe cell" in some for some in every], dtype=bool),
        must=must,
    )


def _cost_s(after: AfterCosts, yard: int, ways: Iterable[str]) -> int:
    ways = set(ways)
    return after.more_s(yard, ways) + (int(after.cell_s[yard]) if "ripe cell" in ways else 0)


def _least_of(demand: Demand, ways: Iterable[str]) -> int:
    """Splits of these ways that every plan with the demand's totals places."""
    ways, asked = set(ways), demand.asked
    others = dict.fromkeys(asked, 0)
    for batch in demand.batches:
        others[batch.priority] += 0 if batch.queen in ways else batch.count
    return sum(max(0, total - others[p]) for p, total in demand.totals if p in asked)
