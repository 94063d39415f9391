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
from routeplan.planning.units import units_of_splits, worked
from routeplan.planning.work import Work

Hours = Ints
"""Earliest time of day by (units still to be given, splits still to be placed), INF: not in time."""


class UnitClock:
    """The clock of one case under one choice of weights.

    `service`: (yards, units + 1) least seconds of hive work to give so many units; `place_s`: (yards,) least
    seconds to place a split; `more_s`: (units + 1, yards + 1) least seconds from leaving a place until so
    many units more are given.
    """

    def __init__(self, case: Case, weights: tuple[int, ...], ground: UnitGround) -> None:
        self.case, self.ground = case, ground
        self.service = service_s(case, weights)
        lines = [k for k, line in enumerate(case.demand.lines) if case.demand.cap(line.batch)]
        self.place_s = case.place_s[:, lines].min(axis=1, initial=DAY_S)
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
