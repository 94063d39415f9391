"""How many splits an order of visits makes and places on time, guessed quickly.

A dynamic program keeps the earliest time for every number of splits made of each priority and placed: hours,
windows and the truck hold as they are. Left open is which split comes from which yard, whose hives two visits
share, minutes shut in and stock: what of that is seen to break is charged. So a guess proves nothing; the
judge has the last word. It is for days that cannot hold all that is asked for: there what counts is time.
"""

from dataclasses import dataclass, field
from itertools import product
from math import inf, prod

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.case import Case
from routeplan.planning.mixture import Kept
from routeplan.planning.order import Order, Visit
from routeplan.planning.wander import visits_of
from routeplan.planning.yields import YardYield

NEVER = 10**8
"""A time that does not come."""
SPLIT_S = 3000
"""Counted for a missing split of the last priority; three times as much for each priority before it."""
EARLY, HOME = 0.6, 0.1
"""Counted for every second until the last hive is closed (time left allows for one more), and until home."""
SHUT_IN = 2.0
"""Counted for every second a split is shut in too long, up to what it is worth."""
MOST_STATES = 12_000
"""Most counts kept apart; all priorities but the first are taken together where there would be more."""
MOST_MIXES = 60
"""Mixes of a yard weighed one by one; where there are more, only those of one class of priorities are."""
NEAR = 1
"""By so many splits of a class a mix may differ from what is guessed and still be weighed by the judge."""
KEPT = 4000
"""Beginnings of orders remembered."""

Times = NDArray[np.int32]
Mix = tuple[int, ...]
Mixes = dict[Mix, int]
"""Least seconds on the clock by splits made of each priority."""


@dataclass(frozen=True)
class OnTimeGuess:
    """`score`: smaller is better; `made`: splits made and placed on time, by class of priorities; `at`: the
    same by visit, where what breaks was looked for."""

    score: int
    made: tuple[int, ...]
    at: tuple[tuple[int, ...], ...] = ()


@dataclass(frozen=True)
class _Stage:
    """Earliest times of one visit by counts made and placed: boxes opened, work on hives done, yard left.

    `after`: what is known of one more visit after it.
    """

    opened: Times
    done: Times
    left: Times
    after: dict[Visit, "_Stage"] = field(default_factory=dict)


@dataclass(frozen=True)
class Visited:
    """One visit of the earliest way: splits placed, made by class, when boxes were opened, the yard left."""

    placed: int
    by_class: tuple[int, ...]
    opened: int
    left: int

    @property
    def made(self) -> int:
        """Splits made."""
        return sum(self.by_class)


@dataclass
class OnTime:
    """Guesses for one day that only counts by the clock.

    `classes`: priorities counted together, the first ones first; the first axes of all tables count splits
    made of each, the last axis splits placed. `aim`: so many splits at least are to be made, so many empty
    boxes are on the truck.
    """

    case: Case
    aim: int = 0

    def __post_init__(self) -> None:
        case, totals = self.case, dict(self.case.demand.totals)
        self.classes = self._classes()
        self.asked = tuple(sum(totals[p] for p in of) for of in self.classes)
        self.shape = (*(n + 1 for n in self.asked), case.size + 1)
        self.worth = [SPLIT_S * 3**i for i in range(len(self.asked))][::-1]
        self.mixes = [self._mixes(y, yields) for y, yields in enumerate(case.yields)]
        self.twice = [self._mixes(y, yields) for y, yields in enumerate(case.twice)]
        self.most = [max((sum(mix) for mix in of), default=0) for of in self.mixes]
        self.room = [min(int(n), case.size) for n in case.room]
        self.twice_yards = case.twice_yards
        self.visits = visits_of(case, self.most, self.room)
        lines = max(1, case.place_s.shape[1])
        self.place_s = np.rint(case.place_s.sum(axis=1) / lines).astype(int).tolist()
        indices = np.indices(self.shape)
        missing = sum(w * (n - i) for w, n, i in zip(self.worth, self.asked, indices, strict=False))
        self.missing = np.where(indices[:-1].sum(axis=0) == indices[-1], missing, NEVER)
        start = np.full(self.shape, NEVER, dtype=np.int32)
        start[(0,) * len(self.shape)] = case.start
        self._start = _Stage(start, start, start)
        self.aimed(self.aim)

    def aimed(self, aim: int) -> "OnTime":
        """Guess for so many splits at least from now on."""
        self.aim, case = aim, self.case
        self._forget()
        indices = np.indices(self.shape)
        made, placed = indices[:-1].sum(axis=0), indices[-1]
        self._never = placed > made
        if case.places is not None:
            nest = case.operation.crew.empties_per_place
            empty = np.maximum(0, aim - made)
            self._never |= nest * (made - placed + case.carried) + empty > nest * case.places
        return self

    def _classes(self) -> list[tuple[int, ...]]:
        return classes_of(self.case)

    def _mixes(self, yard: int, yields: tuple[YardYield, ...]) -> Mixes:
        none = (0,) * len(self.classes)
        found: Mixes = {none: 0}
        for one in yields:
            offers: Mixes = {}
            for (a, s), (b, t) in product(found.items(), self._of_format(yard, one).items()):
                mix = tuple(min(i + j, n) for i, j, n in zip(a, b, self.asked, strict=True))
                offers[mix] = min(offers.get(mix, NEVER), s + t)
            found = offers
        found.pop(none)
        if len(found) > MOST_MIXES:
            found = {mix: s for mix, s in found.items() if sum(map(bool, mix)) == 1}
        return found

    def _of_format(self, yard: int, one: YardYield) -> Mixes:
        """What a yard makes in one frame format."""
        case, lines = self.case, list(one.lines)
        by_split = case.fill_s[lines] + case.make_s[yard, lines]
        if one.merged:  # any splits
            spent = {
                int(n): int(s + n * by_split.min()) for n, s in zip(one.mixes[:, 0], one.opening, strict=True)
            }
            every = product(*(range(n + 1) for n in self.asked))
            return {mix: spent[sum(mix)] for mix in every if sum(mix) in spent}
        counts, clock = one.mixes @ self._of_class(one), one.opening + one.mixes @ by_split
        least = np.full(self.shape[:-1], NEVER, dtype=np.int64)
        within = (counts <= np.array(self.asked)).all(axis=1)
        np.minimum.at(least, tuple(counts[within].T), clock[within])
        return {tuple(mix): int(least[tuple(mix)]) for mix in np.argwhere(least < NEVER).tolist()}

    def _of_class(self, one: YardYield) -> NDArray[np.int64]:
        """Which line is of which class: (lines, classes)."""
        priority = [self.case.demand.of(k).priority for k in one.lines]
        return np.array([[p in of for of in self.classes] for p in priority], dtype=np.int64)

    # --- one order ------------------------------------------------------------------------------------------

    def of(self, order: Order, most: float = inf) -> OnTimeGuess:
        """Guess an order; what breaks is only looked for where it scores `most` or less without."""
        left = self._stage(order).left
        home = left + (self.case.drive(order[-1].yard + 1, 0) if order else 0)
        value = np.where(home <= self.case.end, self.missing + HOME * (home - self.case.start), NEVER)
        end = np.unravel_index(int(value.argmin()), self.shape)
        score, made = float(value[end]), tuple(int(n) for n in end[:-1])
        at: tuple[tuple[int, ...], ...] = ()
        if score <= most and score < NEVER and order:
            visited = self._visited(order, made)
            closed = max((v.left for v in visited if v.made), default=0)
            score += EARLY * max(0, closed - self.case.hives_from) + self.broken(order, visited)
            at = tuple(v.by_class for v in visited)
        return OnTimeGuess(round(score), made, at)

    def kept(self, order: Order, guess: OnTimeGuess) -> Kept:
        """The mixes of each yard and format near what a guess makes there: fewer for the judge to weigh."""
        kept: Kept = {}
        for visit, made in zip(order, guess.at, strict=False):
            for of_format, one in enumerate(self.case.yields[visit.yard] if visit.opens else ()):
                if not one.merged:
                    off = np.abs(one.mixes @ self._of_class(one) - np.array(made)).max(axis=1)
                    kept[visit.yard, of_format] = (off <= NEAR) | ~one.mixes.any(axis=1)
        return kept

    def _stage(self, begun: Order) -> _Stage:
        if self._known > KEPT:
            self._forget()
        stage = self._start
        for i, visit in enumerate(begun):
            if visit not in stage.after:
                self._known += 1
                stage.after[visit] = self._staged(stage.left, begun[: i + 1])
            stage = stage.after[visit]
        return stage

    def _forget(self) -> None:
        self._start.after.clear()
        self._known = 0

    def _staged(self, left: Times, begun: Order) -> _Stage:
        case, visit = self.case, begun[-1]
        set_up, leaving = case.opening if visit.opens else case.placing
        there = np.maximum(left + self._drive(begun), int(case.opens[visit.yard]))
        opened = self._placed(there + set_up, visit.yard, self._may_place(begun))
        done = self._made(np.maximum(opened, case.hives_from), begun) if visit.opens else opened
        left = done + leaving
        left[left > min(int(case.closes[visit.yard]), case.end)] = NEVER
        return _Stage(opened, done, left)

    def _drive(self, begun: Order) -> int:
        return self.case.drive(begun[-2].yard + 1 if len(begun) > 1 else 0, begun[-1].yard + 1)

    def _may_place(self, begun: Order) -> int:
        """Most splits that may be placed at the last visit."""
        z = begun[-1].yard
        makers = {v.yard for v in begun[:-1] if v.opens and self.case.reach[v.yard, z]}
        return min(self.room[z], sum(self.most[y] for y in makers))

    def _placed(self, there: Times, yard: int, room: int) -> Times:
        """Earliest times when up to `room` splits are placed: the first, and up to 1, 2, 4 ... more."""
        if not room:
            return there
        each, some = self.place_s[yard], np.full(self.shape, NEVER, dtype=np.int32)
        some[..., 1:] = there[..., :-1] + (each + int(self.case.fence_s[yard]))
        more, step = room - 1, 1
        while more:
            step = min(step, more)
            np.minimum(some[..., step:], some[..., :-step] + step * each, out=some[..., step:])
            more, step = more - step, 2 * step
        opened = np.minimum(there, some)
        opened[self._never] = NEVER
        return opened

    def _made(self, begin: Times, begun: Order) -> Times:
        """Earliest times when splits are made from then on."""
        done = begin.copy()
        for mix, spent in self._made_at(begun).items():
            into = tuple(slice(n, None) for n in mix)
            out = tuple(slice(0, size - n) for n, size in zip(mix, self.shape, strict=False))
            np.minimum(done[into], begin[out] + spent, out=done[into])
        done[(done > self.case.hives_until) | self._never] = NEVER
        return done

    def _made_at(self, begun: Order) -> Mixes:
        """What may be made at the last visit."""
        return self.twice[begun[-1].yard] if self.again(begun) else self.mixes[begun[-1].yard]

    def again(self, begun: Order) -> bool:
        """Whether the last visit opens hives a second time where they may be worked in two passes."""
        yard = begun[-1].yard
        return yard in self.twice_yards and any(v.yard == yard and v.opens for v in begun[:-1])

    # --- the earliest way, looked at once more --------------------------------------------------------------

    def _visited(self, order: Order, made: tuple[int, ...]) -> list[Visited]:
        """The visits of the earliest way to so many splits made and placed."""
        visited, placed = [], sum(made)
        for i in range(len(order) - 1, -1, -1):
            begun = order[: i + 1]
            stage = self._stage(begun)
            left = int(stage.left[(*made, placed)])
            before = self._made_before(begun, stage, made, placed)
            opened = int(stage.opened[(*before, placed)])
            fewer = self._placed_before(begun, before, placed, opened)
            by_class = tuple(m - n for m, n in zip(made, before, strict=True))
            visited.append(Visited(placed - fewer, by_class, opened, left))
            made, placed = before, fewer
        return visited[::-1]

    def _made_before(self, begun: Order, stage: _Stage, made: Mix, placed: int) -> Mix:
        """What was made before the last visit."""
        done, hives_from = int(stage.done[(*made, placed)]), self.case.hives_from
        if not begun[-1].opens or max(int(stage.opened[(*made, placed)]), hives_from) == done:
            return made
        for mix, spent in self._made_at(begun).items():
            before = tuple(m - n for m, n in zip(made, mix, strict=True))
            if min(before) >= 0 and max(int(stage.opened[(*before, placed)]), hives_from) + spent == done:
                return before
        raise AssertionError("no way back")

    def _placed_before(self, begun: Order, made: Mix, placed: int, opened: int) -> int:
        """How many splits were placed before the last visit."""
        case, y = self.case, begun[-1].yard
        set_up = (case.opening if begun[-1].opens else case.placing)[0]
        before, drive = self._stage(begun[:-1]).left, self._drive(begun)
        for n in range(min(placed, self.room[y]) + 1):
            there = max(int(before[(*made, placed - n)]) + drive, int(case.opens[y])) + set_up
            if there + n * self.place_s[y] + (int(case.fence_s[y]) if n else 0) == opened:
                return placed - n
        raise AssertionError("no way back")

    def broken(self, order: Order, visited: list[Visited]) -> float:
        """Counted for splits made beyond a yard's hives or placed beyond its room at two visits, for those
        with no yard far enough, and for minutes shut in."""
        case, broken, late = self.case, 0, 0.0
        for y in {v.yard for v in order}:
            here = [v for at, v in zip(order, visited, strict=True) if at.yard == y]
            if len(here) > 1:
                broken += max(0, sum(v.placed for v in here) - self.room[y])
                broken += max(0, sum(v.made for v in here) - self.most[y])
        aboard: list[list[int]] = []  # [yard, left at, splits]
        for i, (at, v) in enumerate(zip(order, visited, strict=True)):
            n, later = (
                v.placed,
                [z.yard for z, w in zip(order[i + 1 :], visited[i + 1 :], strict=True) if w.placed],
            )
            may = [b for b in aboard if b[2] and case.reach[b[0], at.yard]]
            for b in sorted(may, key=lambda b: sum(bool(case.reach[b[0], z]) for z in later)):
                taken = min(n, b[2])
                late += taken * min(self.worth[0], SHUT_IN * max(0, v.opened - b[1] - case.shut_in_s))
                b[2] -= taken
                n -= taken
            broken += n
            if v.made:
                aboard.append([at.yard, v.left, v.made])
        return float(self.worth[0] * broken + late)


def classes_of(case: Case) -> list[tuple[int, ...]]:
    """Priorities that are counted apart, the first ones first; the last together where there are many."""
    classes: list[tuple[int, ...]] = [(p,) for p, n in sorted(case.demand.totals) if n]
    totals = dict(case.demand.totals)

    def states() -> int:
        return prod(sum(totals[p] for p in of) + 1 for of in classes) * (case.size + 1)

    while len(classes) > 2 and states() > MOST_STATES:
        classes = [*classes[:-2], (*classes[-2], *classes[-1])]
    return classes
