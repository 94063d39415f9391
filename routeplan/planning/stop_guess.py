"""What an order of stops counts where it is said which of them receive splits, guessed quickly.

What receiving costs a yard in the weeks after is most of what counts on hard days, and comes once a yard. So
the yards that receive are chosen with the order, and what they cost is known at once. How many splits each
stop makes and places comes from a dynamic program of earliest times over (made, placed), once by the clock
and once with hives that are due off; then the clock is run. A guess proves nothing: the judge has the last
word.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import inf

import numpy as np

from routeplan.planning.case import Case
from routeplan.planning.mixture import Mixture
from routeplan.planning.on_time import NEVER, SPLIT_S, Mixes, OnTime, Times, Visited
from routeplan.planning.order import Order, Visit
from routeplan.planning.remaining import INF, Ints
from routeplan.planning.wander import visits_of
from routeplan.planning.yields import YardYield

MISSING_S = 15_000
"""Counted for every split that an order does not hold, or that has nowhere to go."""
LATE = 8
"""Counted for every second over hours and closing times."""


@dataclass(frozen=True)
class Stop(Visit):
    """A visit of which it is said whether splits may be placed there."""

    receives: bool


Stops = tuple[Stop, ...]


@dataclass(frozen=True)
class StopGuess:
    """`score`: guessed counted seconds and what is against it; `placed`: splits placed at each stop, where
    all was looked at."""

    score: int
    placed: tuple[int, ...] = ()


@dataclass(frozen=True)
class Making:
    """Least that making q splits takes at each yard: (yards, size + 1) seconds on the clock, and counted
    beside it; NEVER where so many cannot be made."""

    clock_s: Ints
    beside_s: Ints

    @property
    def counted_s(self) -> Ints:
        """Counted seconds, as if they were all on the clock: at least one."""
        some = np.maximum(self.clock_s + self.beside_s, np.minimum(self.clock_s, 1))
        return np.asarray(np.where(self.clock_s < NEVER, some, NEVER))


@dataclass
class SharedOut(OnTime):
    """Shares all splits wanted out over the stops of an order, whichever kit: the earliest way to the most.

    `making`: seconds by yard of making so many splits, where hives are opened at one visit and at two.
    """

    making: tuple[Ints, Ints] = field(kw_only=True)

    def __post_init__(self) -> None:
        super().__post_init__()
        self.worth = [MISSING_S]
        self.missing = np.where(self.missing < NEVER, self.missing // SPLIT_S * MISSING_S, NEVER)
        self.mixes, self.twice = ([_as_mixes(row) for row in rows] for rows in self.making)
        self.most = [max((mix[0] for mix in of), default=0) for of in self.mixes]
        self.visits = visits_of(self.case, self.most, self.room)
        n = np.arange(self.shape[0])
        self._before = np.maximum(-1, n[:, None] - n[None, :])  # [made, made here]; -1: the row of none
        self._none = np.full((1, self.shape[1]), NEVER, dtype=np.int32)

    def _classes(self) -> list[tuple[int, ...]]:
        return [tuple(p for p, n in sorted(self.case.demand.totals) if n)]

    def _mixes(self, yard: int, yields: tuple[YardYield, ...]) -> Mixes:
        return {}

    def _may_place(self, begun: Order) -> int:
        last = begun[-1]
        return super()._may_place(begun) if isinstance(last, Stop) and last.receives else 0

    def _made(self, begin: Times, begun: Order) -> Times:
        making = self.making[int(self.again(begun))][begun[-1].yard]
        most = max((mix[0] for mix in self._made_at(begun)), default=0)
        ways = np.vstack([begin, self._none])[self._before[:, : most + 1]] + making[: most + 1, None]
        done: Times = ways.min(axis=1).astype(np.int32)
        done[(done > self.case.hives_until) | self._never] = NEVER
        return done

    def shared(self, stops: Stops, most: float) -> tuple[int, list[Visited]]:
        """How many splits are missing, and the stops of the earliest way to all others; none where its end at
        home, and what is missing, come to more than `most`."""
        left = self._stage(stops).left
        home = left + self.case.drive(stops[-1].yard + 1, 0)
        value = np.where(home <= self.case.end, self.missing + home, NEVER)
        made, placed = np.unravel_index(int(value.argmin()), self.shape)
        if value[made, placed] >= min(NEVER, most):
            return self.case.size, []
        return self.case.size - int(made), self._visited(stops, (int(made),))


def _as_mixes(row: Ints) -> Mixes:
    return {(q,): int(s) for q, s in enumerate(row) if q and s < NEVER}


class StopGuesser:
    """Guesses for the orders of stops of one search, under prices on its lines. `margin_s`: seconds that are
    to be left until hives must be closed, since boxes filled one by one may take longer than frames alone
    tell."""

    def __init__(self, case: Case, mixture: Mixture, prices: Ints) -> None:
        self.case, self.mixture, self.margin_s = case, mixture, 0
        self.twice_yards = case.twice_yards
        counts = np.array([case.demand.batches[line.batch].count for line in case.demand.lines])
        mean = float(prices @ counts / max(1, counts.sum()))
        once, twice = (_making(case, yields, prices, mean) for yields in (case.yields, case.twice))
        self.making = (once, twice)
        self.timed = SharedOut(case, case.size, making=(once.clock_s, twice.clock_s))
        self.counted = SharedOut(case, case.size, making=(once.counted_s, twice.counted_s))
        self.dues = [bool((m != 0).any()) for m in self.making[0].beside_s]
        self.most, self.room, self.visits = self.timed.most, self.timed.room, self.timed.visits
        self.fixed_s = (case.after.fixed_s + case.fence_s).tolist()
        self.extra_s = (case.extra_s @ counts / max(1, counts.sum())).tolist()
        self.base_s = round(float(case.base_place_s @ counts) * case.size / max(1, counts.sum()))
        self.cells = bool(case.ground().cells)
        self.least_s = self._least_work()

    def _least_work(self) -> int:
        """No order takes less to make and place all."""
        q = np.arange(1, self.case.size + 1)
        by_split = [
            ((m.clock_s + m.beside_s)[:, 1:] / q)[m.clock_s[:, 1:] < NEVER].min(initial=INF)
            for m in self.making
        ]
        place_s = min((s for s, n in zip(self.timed.place_s, self.room, strict=True) if n), default=0)
        return int(self.case.size * (min(by_split) + place_s)) if min(by_split) < INF else 0

    def receiving_s(self, stops: Stops, placed: Sequence[int] | None = None) -> int:
        """What receiving counts where so many are placed; at least, where that is not said."""
        after, into = self.case.after, dict[int, int]()
        for i, stop in enumerate(stops):
            if stop.receives and (placed is None or placed[i]):
                more = self.case.size if placed is None else placed[i]
                into[stop.yard] = into.get(stop.yard, 0) + more
        counted = after.over(set(into)) + sum(after.few(z, n) for z, n in into.items())
        counted += sum(int(self.fixed_s[z]) for z in into)
        if self.cells and into:
            counted += min(int(after.cell_s[z]) for z in into)
        if placed is not None:
            counted += round(sum(self.extra_s[z] * n for z, n in into.items()))
        return counted

    def of(self, stops: Stops, most: float = inf) -> StopGuess:
        """Guess an order; only roughly where it scores more than `most`."""
        if not stops or not stops[0].opens:
            return StopGuess(NEVER if stops else MISSING_S * self.case.size)
        beside = self.receiving_s(stops) + self._road_worth(stops)
        if beside + self._road(stops) + self.least_s > most:
            return StopGuess(beside + NEVER)
        tables = [self.timed, self.counted] if any(self.dues[s.yard] for s in stops) else [self.timed]
        return min((self._shared(table, stops, most) for table in tables), key=lambda guess: guess.score)

    def _road(self, stops: Stops) -> int:
        """Seconds of drive and set-up."""
        case, places = self.case, (0, *(s.yard + 1 for s in stops), 0)
        there = sum(sum(case.opening if s.opens else case.placing) for s in stops)
        return there + sum(case.drive(a, b) for a, b in pairwise(places))

    def _road_worth(self, stops: Stops) -> int:
        places = (0, *(s.yard + 1 for s in stops), 0)
        return sum(int(self.case.leg_extra_s[a, b]) for a, b in pairwise(places))

    def _shared(self, table: SharedOut, stops: Stops, most: float) -> StopGuess:
        """Guess with splits shared out by one of the tables."""
        beside = self.receiving_s(stops) + self._road_worth(stops)
        missing, visited = table.shared(stops, most - beside + self._leave(stops) + 1)
        if not visited:
            return StopGuess(NEVER)
        paid_s, late_s, slack_s, visited = self._driven(stops, visited)
        placed = tuple(v.placed for v in visited)
        stop_by_stop = enumerate(zip(stops, visited, strict=True))
        beside = self.receiving_s(stops, placed) + self._road_worth(stops)
        beside += sum(
            int(self._at(stops, i).beside_s[s.yard, v.made]) for i, (s, v) in stop_by_stop if v.made
        )
        score = paid_s + beside + MISSING_S * missing + LATE * late_s
        if score <= most:
            score += round(self.timed.broken(stops, visited))
            score += 0 if missing else self._kits(stops, visited, slack_s)
        return StopGuess(round(score), placed)

    def _at(self, stops: Stops, i: int) -> Making:
        """What making takes at a stop of an order, in every yard."""
        return self.making[int(self.timed.again(stops[: i + 1]))]

    def _kits(self, stops: Stops, visited: list[Visited], slack_s: int) -> int:
        """What the kits asked for take more than counted alike, or how many cannot be made."""
        order = tuple(Visit(s.yard, s.opens) for s in stops)
        least_s = self.mixture.least_work(order)
        if least_s >= INF:
            return MISSING_S * max(1, self.mixture.missing(order))
        guessed_s = self.base_s
        for i, (s, v) in enumerate(zip(stops, visited, strict=True)):
            making = self._at(stops, i)
            guessed_s += int(making.clock_s[s.yard, v.made] + making.beside_s[s.yard, v.made])
        more_s = max(0, least_s - guessed_s)
        late_s = max(0, more_s + self.margin_s - slack_s)
        return int(more_s + LATE * late_s)

    def _leave(self, stops: Stops) -> int:
        """When the crew leaves home to open hives at the first stop as soon as it may."""
        case, first = self.case, stops[0]
        at_yard = max(int(case.opens[first.yard]), case.hives_from - case.opening[0])
        return int(max(case.start, at_yard - case.drive(0, first.yard + 1)))

    def _driven(self, stops: Stops, visited: list[Visited]) -> tuple[int, int, int, list[Visited]]:
        """Run the clock: paid seconds, seconds over hours, seconds left until hives must be closed, and the
        stops at their times."""
        case, late, slack, at = self.case, 0, INF, 0
        leave = t = self._leave(stops)
        run = []
        for i, (stop, v) in enumerate(zip(stops, visited, strict=True)):
            y = stop.yard
            set_up, leaving = case.opening if stop.opens else case.placing
            t = max(t + case.drive(at, y + 1), int(case.opens[y])) + set_up
            t += v.placed * self.timed.place_s[y] + (int(case.fence_s[y]) if v.placed else 0)
            opened = t
            if v.made:
                t = max(t, case.hives_from) + int(self._at(stops, i).clock_s[y, v.made])
                late += max(0, t - case.hives_until)
                slack = min(slack, case.hives_until - t)
            t += leaving
            late += max(0, t - int(case.closes[y]))
            run.append(Visited(v.placed, v.by_class, opened, t))
            at = y + 1
        t += case.drive(at, 0)
        return t - leave, late + max(0, t - case.end), max(0, slack), run


def _making(case: Case, yields: Sequence[tuple[YardYield, ...]], prices: Ints, mean: float) -> Making:
    """What making takes at each yard in mixes that count least under prices on the lines; of these prices the
    mean of all splits wanted is given back, so that with all kits made the seconds are true."""
    rows = [_making_at(case, y, of_yard, prices, mean) for y, of_yard in enumerate(yields)]
    clock_s, beside_s = zip(*rows, strict=True) if rows else ((), ())
    size = case.size + 1
    return Making(np.array(clock_s).reshape(-1, size), np.array(beside_s).reshape(-1, size))


def _making_at(
    case: Case, yard: int, yields: tuple[YardYield, ...], prices: Ints, mean: float
) -> tuple[Ints, Ints]:
    """What making so many splits takes at one yard, in all frame formats."""
    n = case.size
    clock_s, beside_s = np.full(n + 1, NEVER, dtype=np.int64), np.zeros(n + 1, dtype=np.int64)
    clock_s[0] = 0
    for one in yields:
        more_s, more_beside_s = _of_format(case, yard, one, prices, mean)
        new, new_beside = clock_s.copy(), beside_s.copy()
        for q in range(n + 1):
            i = np.arange(q + 1)
            spent = clock_s[i] + more_s[q - i]
            best = int((spent + beside_s[i] + more_beside_s[q - i]).argmin())
            new[q], new_beside[q] = min(NEVER, int(spent[best])), beside_s[best] + more_beside_s[q - best]
        clock_s, beside_s = new, new_beside
    return clock_s, beside_s


def _of_format(case: Case, yard: int, one: YardYield, prices: Ints, mean: float) -> tuple[Ints, Ints]:
    lines, counts = list(one.lines), one.mixes.sum(axis=1)
    by_split = case.fill_s[lines] + case.make_s[yard, lines]
    if one.merged:  # any kits
        clock = one.opening + counts * by_split.min()
    else:
        clock = np.rint(one.opening + one.mixes @ (by_split - prices[lines]) + counts * mean).astype(np.int64)
    clock_s, beside_s = np.full(case.size + 1, NEVER, dtype=np.int64), np.zeros(case.size + 1, dtype=np.int64)
    for row in np.lexsort((clock, clock + one.beside))[::-1]:
        q = int(counts[row])
        if 0 < q <= case.size:
            clock_s[q], beside_s[q] = max(1, int(clock[row])), one.beside[row]
    clock_s[0] = 0
    return clock_s, beside_s
