"""What an order of visits would count, guessed quickly.

How many splits each visit makes and places comes from a dynamic program over counts, then its clock is run. A
guess leaves open which split comes from which yard, so it proves nothing: the judge has the last word. It is
cheap enough to try thousands of orders where the judge tries tens.
"""

from dataclasses import dataclass, field, replace
from math import inf

import numpy as np

from routeplan.planning.case import Case
from routeplan.planning.mixture import Mixture
from routeplan.planning.order import Order
from routeplan.planning.remaining import INF, Ground, Ints
from routeplan.planning.wander import visits_of
from routeplan.planning.ways import ways_at_yards
from routeplan.planning.yields import YardYield

MISSING_S = 100_000
"""Counted for every split that an order cannot hold."""
LATE = 8
"""Counted for every second over an hour, a closing time or the minutes shut in."""
HASTE = (0, 3)
"""What a second of making may count more, so that an order fits its hours: the first that fits is taken."""
KEPT = 4000
"""Beginnings of orders remembered."""


@dataclass(frozen=True)
class Guess:
    """`score`: guessed counted seconds and what is against it; `placed` splits; `late_s` seconds over hours;
    `work_s` of making."""

    score: int
    placed: int
    late_s: int
    work_s: int


@dataclass
class Guesser:
    """Guesses for the orders of one search. `constant` is added to what the ground counts, `back_s`
    taken back."""

    case: Case
    ground: Ground
    mixture: Mixture
    prices: Ints
    constant: int
    back_s: int
    _begun: dict[tuple[int, Order], tuple[Ints, Ints, Ints]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        case, n = self.case, self.ground.size
        self.twice_yards, self.ways = case.twice_yards, ways_at_yards(case.demand, case.after)
        values, spent = zip(*(self._tables(yields) for yields in (case.yields, case.twice)), strict=True)
        self.values, self.spents = np.array(values), np.array(spent)
        self.most = self.ground.most
        self.visits = visits_of(case, self.most.tolist(), self.ground.room.tolist())
        placing = np.hstack([case.place_s, *(g.place_s[:, None] for g in case.aboard)])
        self.place_s = np.rint(placing.sum(axis=1) / max(1, placing.shape[1])).astype(np.int64)
        self.cost = self.ground.receive + self.ground.carry[:, None] * np.arange(n + 1)[None, :]
        made, placed = np.meshgrid(np.arange(n + 1), np.arange(n + 1), indexing="ij")
        self.never = placed > made
        places, nest = case.places, case.operation.crew.empties_per_place
        if places is not None:
            self.never |= nest * (made - placed + case.carried) + n - made > nest * places
        self.missing = MISSING_S * (2 * n - made - placed)

    def _tables(self, yields: tuple[tuple[YardYield, ...], ...]) -> tuple[Ints, Ints]:
        """Least counted seconds to make q splits at each yard, and what they take on the clock."""
        n = self.ground.size
        rows = [_work(self.case, y, of_yard, self.prices, n) for y, of_yard in enumerate(yields)]
        value, spent = zip(*rows, strict=True) if rows else ((), ())
        return np.array(value).reshape(-1, n + 1), np.array(spent).reshape(-1, n + 1)

    def _again(self, begun: Order) -> int:
        """Whether the last of these visits opens hives a second time: 1 if so, 0 if not."""
        last = begun[-1]
        return int(last.yard in self.twice_yards and any(v == last for v in begun[:-1]))

    def of(self, order: Order, most: float = inf) -> Guess:
        """Guess an order: as it counts least, and if that is late, made with more haste.

        Which kits the yards can make together is only asked where it scores `most` or less without.
        """
        guesses = [self._of(order, HASTE[0])]
        guesses += [self._of(order, haste) for haste in HASTE[1:] if guesses[0].late_s]
        best = min(guesses, key=lambda g: g.score)
        if best.score > most or best.placed < self.ground.size:
            return best
        work, least = best.work_s, self.mixture.least_work(order)
        dearer = MISSING_S * self.mixture.missing(order) if least >= INF else max(0, least - work)
        return replace(best, score=best.score + dearer)

    def _of(self, order: Order, haste: int) -> Guess:
        stages = [self._stage(order[: i + 1], haste) for i in range(len(order))]
        n = self.ground.size
        if not stages:
            return Guess(2 * n * MISSING_S, 0, 0, 0)
        last = stages[-1][2] + self.missing
        made, placed = np.unravel_index(int(last.argmin()), last.shape)
        missing_s = int(self.missing[made, placed])
        q, r = self._counts(order, stages, int(made), int(placed), haste)
        work = self.constant + sum(
            int(self.values[self._again(order[: i + 1]), v.yard, n])
            for i, (v, n) in enumerate(zip(order, q, strict=True))
            if n
        )
        counted = self._road(order) + missing_s + work - self.back_s
        counted += sum(int(self.cost[v.yard, n]) for v, n in zip(order, r, strict=True) if n)
        counted += self._by_yard(order, r)
        waited, late = self._clock(order, q, r)
        return Guess(counted + waited + LATE * late, int(placed), late, work)

    def _stage(self, begun: Order, haste: int) -> tuple[Ints, Ints, Ints]:
        """Least by (made, placed) splits before the last visit, after placing there, and after making."""
        key = (haste, begun)
        if key not in self._begun:
            if len(self._begun) > KEPT:
                self._begun.clear()
            self._begun[key] = self._staged(begun, haste)
        return self._begun[key]

    def _staged(self, begun: Order, haste: int) -> tuple[Ints, Ints, Ints]:
        n, visit = self.ground.size, begun[-1]
        if len(begun) > 1:
            before = self._stage(begun[:-1], haste)[2]
        else:
            before = np.full((n + 1, n + 1), INF, dtype=np.int64)
            before[n - self.case.size, 0] = 0
        y = visit.yard
        after = before.copy()
        for r in range(1, int(self.ground.room[y]) + 1):
            np.minimum(after[:, r:], before[:, :-r] + int(self.cost[y, r]), out=after[:, r:])
        after[self.never & (after < INF) & (np.arange(n + 1)[None, :] > np.arange(n + 1)[:, None])] = INF
        made = after
        if visit.opens:
            made, again = after.copy(), self._again(begun)
            for q in range(1, int(self.most[y]) + 1):
                spent = int(self.values[again, y, q]) + haste * int(self.spents[again, y, q])
                np.minimum(made[q:], after[:-q] + spent, out=made[q:])
        made = np.where(self.never, INF, np.minimum(made, INF))
        return before, after, made

    def _counts(
        self, order: Order, stages: list[tuple[Ints, Ints, Ints]], made: int, placed: int, haste: int
    ) -> tuple[list[int], list[int]]:
        """Splits made and placed at each visit of the least way to a final state."""
        q, r = [0] * len(order), [0] * len(order)
        for i in range(len(order) - 1, -1, -1):
            y, (before, after, end) = order[i].yard, stages[i]
            if order[i].opens:
                again = self._again(order[: i + 1])
                n = np.arange(min(made, int(self.most[y])) + 1)
                cost = self.values[again, y, n] + haste * self.spents[again, y, n]
                spent = after[made - n, placed] + np.where(n > 0, cost, 0)
                q[i] = int(np.flatnonzero(spent == end[made, placed])[0])
                made -= q[i]
            n = np.arange(min(placed, int(self.ground.room[y])) + 1)
            spent = before[made, placed - n] + np.where(n > 0, self.cost[y, n], 0)
            r[i] = int(np.flatnonzero(spent == after[made, placed])[0])
            placed -= r[i]
        return q, r

    def _road(self, order: Order) -> int:
        """Counted seconds of drive and set-up."""
        at, spent = 0, 0
        for visit in order:
            spent += int(self.ground.drive[at, visit.yard + 1])
            spent += self.ground.opening if visit.opens else self.ground.placing
            at = visit.yard + 1
        return spent + int(self.ground.drive[at, 0])

    def _by_yard(self, order: Order, placed: list[int]) -> int:
        """What receiving counts that is not told by the visit: trips by the ways to a queen, cells, yards
        beyond the most, no way to bring them."""
        case, receiving = self.case, {v.yard for v, r in zip(order, placed, strict=True) if r}
        counted = 0 if self.case.receive_back_s else case.after.over(receiving)
        into = {z: sum(r for v, r in zip(order, placed, strict=True) if v.yard == z) for z in receiving}
        counted += sum(MISSING_S * max(0, n - int(self.ground.room[z])) for z, n in into.items())
        counted += self.ways.about_s(tuple(sorted(into.items())))
        for j, visit in enumerate(order):
            brings = any(v.opens and case.reach[v.yard, visit.yard] for v in order[:j])
            if placed[j] and not brings and not any(g.reach[visit.yard] for g in case.aboard):
                counted += MISSING_S * placed[j]
        return counted

    def _clock(self, order: Order, made: list[int], placed: list[int]) -> tuple[int, int]:
        """Seconds waited, and seconds over hours, closing times and minutes shut in, as early as can be."""
        case, t, at = self.case, self.case.start, 0
        waits, late, slack = 0, 0, INF
        aboard = sorted([g.left_s, g.count] for g in case.aboard)  # [left at, splits]
        begun: dict[int, int] = {}  # when hives were opened
        for i, (visit, q, r) in enumerate(zip(order, made, placed, strict=True)):
            y, again = visit.yard, self._again(order[: i + 1])
            set_up, leaving = case.opening if visit.opens else case.placing
            t += case.drive(at, y + 1)
            waits += max(0, int(case.opens[y]) - t)
            t = (
                max(t, int(case.opens[y]))
                + set_up
                + (int(case.fence_s[y]) + r * int(self.place_s[y]) if r else 0)
            )
            late += _opened(aboard, r, t, case.shut_in_s)
            if visit.opens:
                waits += max(0, case.hives_from - t)
                if again and q and begun[y] + case.above_s[0] > t:
                    waits += begun[y] + case.above_s[0] - t
                    t = begun[y] + case.above_s[0]
                t = max(t, case.hives_from)
                begun[y] = t
                t += int(self.spents[again, y, q])
                late += max(0, t - case.hives_until)
                slack = min(slack, waits + max(0, case.hives_until - t))
            t += leaving
            late += max(0, t - int(case.closes[y]))
            slack = min(slack, waits + max(0, int(case.closes[y]) - t))
            if q:
                aboard.append([t, q])
            at = y + 1
        t += case.drive(at, 0)
        late += max(0, t - case.end)
        slack = min(slack, waits + max(0, case.end - t))
        return waits - min(waits, slack), late


def _opened(aboard: list[list[int]], placed: int, now: int, limit: int) -> int:
    """Take so many boxes off the truck, those longest aboard first; return seconds shut in too long."""
    late = 0
    while placed and aboard:
        late += max(0, now - aboard[0][0] - limit)
        n = min(placed, aboard[0][1])
        placed -= n
        aboard[0][1] -= n
        if not aboard[0][1]:
            aboard.pop(0)
    return late


def _work(case: Case, yard: int, yields: tuple[YardYield, ...], prices: Ints, size: int) -> tuple[Ints, Ints]:
    """Least counted seconds less prices to make q splits at a yard, and what that takes on the clock."""
    value, spent = np.full(size + 1, INF, dtype=np.int64), np.zeros(size + 1, dtype=np.int64)
    value[0] = 0
    for one in yields:
        more, clock = _of_format(case, yard, one, prices, size)
        offers = value[:, None] + more[None, :]
        new, new_spent = np.full(size + 1, INF, dtype=np.int64), np.zeros(size + 1, dtype=np.int64)
        for n in range(size + 1):
            i = np.arange(n + 1)
            best = int(offers[i, n - i].argmin())
            new[n] = min(INF, int(offers[best, n - best]))
            new_spent[n] = spent[best] + clock[n - best]
        value, spent = new, new_spent
    return value, spent


def _of_format(case: Case, yard: int, one: YardYield, prices: Ints, size: int) -> tuple[Ints, Ints]:
    value, spent = one.priced(prices, size), np.zeros(size + 1, dtype=np.int64)
    counts, lines = one.mixes.sum(axis=1), list(one.lines)
    by_split = case.fill_s[lines] + case.make_s[yard, lines]
    worth = one.seconds - (counts * prices[lines].max() if one.merged else one.mixes @ prices[lines])
    clock = one.opening + (counts * by_split.min() if one.merged else one.mixes @ by_split)
    for row in np.lexsort((clock, worth))[::-1]:
        if counts[row] <= size:
            spent[counts[row]] = clock[row]
    return value, spent
