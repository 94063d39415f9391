"""What a partial order takes on the clock at least: hours and minutes shut in cut orders early.

Counts are open, so every visit is given the least it can take: one split made where hives are opened, none
placed. Waiting for an opening hour is counted on the clock, never in the elapsed time.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.case import Case
from routeplan.planning.order import Order, Visit
from routeplan.planning.remaining import INF, Ground, Ints
from routeplan.planning.yields import convolve


@dataclass(frozen=True)
class Track:
    """Least elapsed seconds since leaving home at which each visit's boxes are opened and each visit ends.

    `clock` is the earliest time of day of leaving the last visit. For the crew's hours for opening hives:
    `busy[j]` least seconds of hive work to make j splits at the yards opened; `fixed` seconds of drive and
    set-up so far, `first` and `last` the same when the first hives were opened and the last closed. `able[j]`
    whether j splits may have been made by now and the others can still be. `before`: for each visit the most
    splits that can have been made when it begins. `aboard`: least full boxes on the truck.
    """

    opened: tuple[int, ...]
    depart: tuple[int, ...]
    clock: int
    busy: Ints
    able: NDArray[np.bool_]
    before: tuple[int, ...] = ()
    fixed: int = 0
    first: int | None = None
    last: int = 0
    aboard: int = 0


@dataclass(frozen=True)
class Pace:
    """Least times of one case.

    Attributes
    ----------
    hive_s : (yards, size + 1) least seconds of hive work to make q splits.
    next_s : (yards + 1, size + 1) least seconds from leaving a place to having made m more splits.
    touch_s : (yards,) least seconds of hive work of a visit with hives opened: of two passes, of one.
    near_s : (yards, yards) least seconds from leaving the column's yard to having boxes opened at some yard
    far
        enough from the row's.
    """

    case: Case
    ground: Ground
    hive_s: Ints
    next_s: Ints
    touch_s: Ints
    near_s: Ints

    def start(self) -> Track:
        """At home."""
        busy = np.full(self.ground.size + 1, INF, dtype=np.int64)
        busy[0] = 0
        return Track((), (), self.case.start, busy, np.ones(self.ground.size + 1, dtype=bool))

    def extend(self, track: Track, order: Order, visit: Visit) -> Track | None:
        """Return the track with one more visit, None when it misses an hour for sure, or could do nothing."""
        case, y = self.case, visit.yard
        leg = int(self.ground.drive[order[-1].yard + 1 if order else 0, y + 1])
        set_up, leaving = case.opening if visit.opens else case.placing
        opened = (track.depart[-1] if order else 0) + leg + set_up
        clock = max(track.clock + leg, int(case.opens[y])) + set_up
        work = 0
        if visit.opens:
            work = int(self.touch_s[y])
            clock = max(clock, case.hives_from) + work
            if clock > case.hives_until:
                return None
        clock += leaving
        if clock > case.closes[y] or clock + int(self.ground.drive[y + 1, 0]) > case.end:
            return None
        fixed, busy, first, last = track.fixed + leg + set_up, track.busy, track.first, track.last
        if visit.opens:
            made = self.hive_s[y].copy()
            made[0] = 0 if y in case.twice_yards else INF
            busy, first, last = convolve(busy, made), fixed if first is None else first, fixed
        departs = (*track.depart, opened + work + leaving)
        able = self._able(busy, fixed + leaving, first, last, y)
        if not able.any():
            return None
        if first is not None:
            clock = max(clock, case.hives_from + (fixed + leaving - first) + int(busy[able].min()))
        before = (*track.before, self._most_before(track, y, leg + set_up))
        new = Track((*track.opened, opened), departs, clock, busy, able, before, fixed + leaving, first, last)
        may_place = any(
            self._placed(new, (*order, visit), i, len(order)) for i, v in enumerate(order) if v.opens
        )
        makes = visit.opens and y not in case.twice_yards  # else it may be a first pass only
        aboard = (0 if may_place else track.aboard) + (1 if makes else 0)
        if not (visit.opens or may_place) or (case.places is not None and aboard > case.places):
            return None
        return replace(new, aboard=aboard)

    def _able(self, busy: Ints, fixed: int, first: int | None, last: int, yard: int) -> NDArray[np.bool_]:
        """For each number of splits, whether it can be made by now and the others later, within the hours for
        opening hives."""
        n = self.ground.size
        if first is None:
            return np.asarray(np.arange(n + 1) == 0)
        left = self.next_s[yard + 1, n - np.arange(n + 1)]
        spent = busy + np.where(left > 0, fixed - first + left, last - first)
        return np.asarray(spent <= self.case.hives_until - self.case.hives_from)

    def _most_before(self, track: Track, yard: int, ahead_s: int) -> int:
        """The most splits that can have been made when boxes are placed at a yard, before it closes."""
        if track.first is None:
            return 0
        case = self.case
        closes = min(int(case.closes[yard]), case.end - int(self.ground.drive[yard + 1, 0]))
        made = case.hives_from + track.fixed - track.first + track.busy + ahead_s <= closes
        return int(np.flatnonzero(made & track.able).max(initial=0))

    def in_time(self, track: Track, i: int, j: int) -> bool:
        """Whether a split made at visit i may still be opened at visit j in time."""
        return track.opened[j] - track.depart[i] <= self.case.shut_in_s

    def stranded(self, track: Track, order: Order) -> bool:
        """Whether some visit's splits can neither have been placed in time nor be placed in time any more."""
        last, limit = len(order) - 1, self.case.shut_in_s
        for i in range(last, -1, -1):
            if not order[i].opens or order[i].yard in self.case.twice_yards:
                continue
            since = track.depart[last] - track.depart[i]
            if since + int(self.near_s[order[i].yard, order[last].yard]) <= limit:
                continue
            if not any(self._placed(track, order, i, j) for j in range(i + 1, last + 1)):
                return True
        return False

    def _placed(self, track: Track, order: Order, i: int, j: int) -> bool:
        z = order[j].yard
        return (
            bool(self.ground.far[order[i].yard, z])
            and bool(self.ground.room[z])
            and self.in_time(track, i, j)
        )


def pace_of(case: Case, ground: Ground) -> Pace:
    """Work out the least times of a case; `ground` must carry no prices."""
    q = np.arange(ground.size + 1)[None, :]
    least = ground.opened_twice
    hive_s = least - q * int(case.base_place_s.max(initial=0))
    hive_s = np.where(least < INF, np.maximum(hive_s, 0), INF)
    to_open = ground.drive[1:, 1:] + case.quick_placing[0]
    receives = ground.far & (ground.room > 0)[None, :]
    near_s = np.where(receives[:, None, :], to_open[None, :, :], INF).min(axis=2)
    touch_s = np.array([_touch_s(case, y, hive_s) for y in range(ground.yards)], dtype=np.int64)
    return Pace(case, ground, hive_s, _next_s(case, ground, hive_s), touch_s, near_s)


def _touch_s(case: Case, yard: int, hive_s: Ints) -> int:
    """Least seconds of hive work of one visit of a yard: a split made, all parts of a hive that is broken
    up, or one pass of two."""
    one = int(hive_s[yard, 1:].min(initial=INF))
    two = (o for d in case.donors[yard] for o in d.options if o.in_two_passes)
    return min([one, *(min(o.first_s, o.open_s - o.first_s) for o in two)])


def _next_s(case: Case, ground: Ground, hive_s: Ints) -> Ints:
    """Fill next_s for 0, 1, 2 ... splits to make."""
    set_up, leaving = case.opening
    next_s = np.zeros((ground.yards + 1, ground.size + 1), dtype=np.int64)
    for m in range(1, ground.size + 1):
        at = np.full(ground.yards, INF, dtype=np.int64)
        for q in range(1, m + 1):
            on = 0 if q == m else leaving + next_s[1:, m - q]
            at = np.minimum(at, hive_s[:, q] + on)
        next_s[:, m] = np.minimum((ground.drive[:, 1:] + set_up + at[None, :]).min(axis=1, initial=INF), INF)
    return next_s
