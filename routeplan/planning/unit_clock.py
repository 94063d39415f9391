"""The earliest that units can be given and splits placed along an order, where boxes may be of two yards.

By every number of units given and splits placed by now, the earliest the last visit can be over; what misses
the hours of yards, hives or crew is left out. Everything takes the least it can, wherever what was given or
placed earlier came from, so no plan is quicker.
"""

import numpy as np

from routeplan.planning.case import DAY_S, Case
from routeplan.planning.openings import Ints
from routeplan.planning.order import Order, Visit
from routeplan.planning.parts import begin_s
from routeplan.planning.remaining import INF
from routeplan.planning.unit_table import UnitGround
from routeplan.planning.units import (
    Together,
    givers,
    making_s,
    nothing_yet,
    units_of_splits,
    with_given,
    worked,
)
from routeplan.planning.work import Work

Hours = Ints
"""Earliest time of day by (units still to be given, splits still to be placed), INF: not in time."""


class HiveHours:
    """What all hive work takes of the hours for opening hives, whatever is done where.

    From the first hive opened to the last frame taken there is time for all hives, for filling and closing
    all boxes, and for road and set-up between; waits come on top.
    """

    def __init__(self, case: Case, weights: tuple[int, ...]) -> None:
        self.case = case
        timed = case.by_the_clock()
        self.together = Together(timed)
        making, saved = making_s(timed, np.zeros_like(case.base_place_s))
        self.boxes_s = making - saved
        units = units_of_splits(case, weights)
        least = nothing_yet(sum(units))
        for row in givers(timed, weights, units, True):
            least = with_given(least, row)
        self.least_s = self.boxes_s + int(least[-1])
        self.place_s = least_place_s(case)

    def in_time(self, order: Order) -> bool:
        """Whether an order, or one that goes on from it, may be through with its hives in time."""
        return self._over(order) + self.least_s <= self.case.hives_until

    def in_time_whole(self, order: Order) -> bool:
        """Whether an order as it stands may be: by what its own yards give together, and with all boxes
        placed by the last of its hives that have no room after it."""
        last = max((i for i, v in enumerate(order) if v.opens), default=-1)
        later = {v.yard for v in order[last + 1 :]}
        left = max(0, self.case.size - sum(int(self.case.room[y]) for y in later))
        place_s = min((int(self.place_s[v.yard]) for v in order[: last + 1]), default=0)
        opening_s = self.together.least_s(order)
        work_s = self.least_s if opening_s is None else self.boxes_s + opening_s
        return self._over(order) + left * place_s + work_s <= self.case.hives_until

    def _over(self, order: Order) -> int:
        """The earliest the last hives of an order can be reached if work at hives took no time."""
        case, earliest, over, at = self.case, self.case.start, self.case.start, 0
        first = True
        for visit in order:
            set_up, leaving = case.opening if visit.opens else case.placing
            earliest += case.drive(at, visit.yard + 1)
            if first:
                earliest = max(earliest, int(case.opens[visit.yard]))
            earliest += set_up
            if visit.opens:
                earliest = over = max(earliest, case.hives_from) if first else earliest
                first = False
            earliest, at = earliest + leaving, visit.yard + 1
        return over


class UnitClock:
    """The clock of one case under one choice of weights.

    `service`: (yards, units + 1) least seconds of hive work to give so many units; `place_s`: (yards,) least
    seconds to place a split; `more_s`: (units + 1, yards + 1) least seconds from leaving a place until so
    many units more are given.
    """

    def __init__(
        self, case: Case, weights: tuple[int, ...], ground: UnitGround, service: Ints | None = None
    ) -> None:
        self.case, self.ground = case, ground
        self.service = service_s(case, weights) if service is None else service
        self.place_s = least_place_s(case)
        self.drive = case.travel.drive_s
        self.never = ~(ground.down & ground.holds)
        self.most = ground.most
        self.more_s = self._more()

    def _more(self) -> Ints:
        """Fill more_s for 0, 1, 2 ... units."""
        set_up, leaving = self.case.opening
        more = np.zeros((self.ground.units + 1, self.ground.yards + 1), dtype=np.int64)
        for m in range(1, self.ground.units + 1):
            q = np.arange(1, m + 1)
            on = np.where(q[:, None] < m, leaving + more[m - q, 1:], 0)
            at = (self.service[:, 1 : m + 1].T + on).min(axis=0)
            more[m] = np.minimum(INF, (self.drive[:, 1:] + set_up + at[None, :]).min(axis=1))
        return more

    def start(self) -> Hours:
        """At home."""
        hours = np.full((self.ground.units + 1, self.ground.size + 1), INF, dtype=np.int64)
        hours[-1, -1] = self.case.start
        return hours

    def extend(self, hours: Hours, order: Order, visit: Visit, may_place: bool) -> Hours | None:
        """Return the hours with one more visit, None where nothing is in time any more."""
        case, y = self.case, visit.yard
        set_up, leaving = case.opening if visit.opens else case.placing
        arrive = hours + int(self.drive[order[-1].yard + 1 if order else 0, y + 1])
        ready = np.maximum(arrive, int(case.opens[y])) + set_up
        placed = np.full_like(ready, INF)
        for r in range(1, min(int(self.ground.room[y]), self.ground.size) + 1 if may_place else 1):
            np.minimum(placed[:, :-r], ready[:, r:] + r * int(self.place_s[y]), out=placed[:, :-r])
        placed[~self.ground.down] = INF
        done = placed
        if visit.opens:
            hives = np.maximum(np.minimum(placed, ready), case.hives_from)
            done = hives.copy()
            for q in range(1, int(self.most[y]) + 1):
                np.minimum(done[:-q], hives[q:] + int(self.service[y, q]), out=done[:-q])
            done[done > case.hives_until] = INF
        over = done + leaving
        late = (over > int(case.closes[y])) | (over + int(self.drive[y + 1, 0]) > case.end)
        late |= (self.more_s[:, y + 1] > 0)[:, None] & (
            over + self.more_s[:, y + 1][:, None] > case.hives_until
        )
        over[late | self.never] = INF
        return over if (over < INF).any() else None


def least_place_s(case: Case) -> Ints:
    """Least seconds to place one of the splits wanted, (yards,)."""
    lines = [k for k, line in enumerate(case.demand.lines) if case.demand.cap(line.batch)]
    return np.asarray(case.place_s[:, lines].min(axis=1, initial=DAY_S))


def service_s(case: Case, weights: tuple[int, ...]) -> Ints:
    """Least seconds of hive work by the clock to give so many units: hives opened, frames handled, boxes
    closed or carried; (yards, units + 1), INF where a yard cannot."""
    units, work = units_of_splits(case, weights), Work(case.operation)
    opening = worked(case, weights, units, lambda option: option.open_s)
    q = np.arange(sum(units) + 1)[None, :]
    lines = [k for k, line in enumerate(case.demand.lines) if case.demand.cap(line.batch)]
    make_s = case.make_s[:, lines].min(axis=1, initial=DAY_S)
    box_s = np.minimum(make_s, [begin_s(case, y) for y in range(len(case.room))])
    boxes = -(-q // units[-1])
    own = any(case.demand.cap(b) for b in case.demand.own_right)
    kinds = [0 if own else min(work.frame_s(found) for found in (False, True))] * 4
    kinds.append(0 if own else min(work.shake_s(found) for found in (False, True)))
    by_unit = min(s / w for s, w in zip(kinds, weights, strict=False) if w)
    filling = np.floor(q * by_unit).astype(np.int64)
    return np.where(opening < INF, opening + boxes * box_s[:, None] + filling, INF)
