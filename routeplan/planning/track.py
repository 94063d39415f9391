"""What a partial order takes on the clock at least: hours and minutes shut in cut orders early.

Counts are open, so every visit is given the least it can take: one split made where hives are opened, none
placed. Waiting for an opening hour is counted on the clock, never in the elapsed time.
"""

from dataclasses import dataclass

import numpy as np

from routeplan.planning.case import Case
from routeplan.planning.judge import Order, Visit
from routeplan.planning.remaining import INF, Ground, Ints


@dataclass(frozen=True)
class Track:
    """Least elapsed seconds since leaving home at which each visit's boxes are opened and each visit ends.

    `clock` is the earliest time of day of leaving the last visit.
    """

    opened: tuple[int, ...]
    depart: tuple[int, ...]
    clock: int


@dataclass(frozen=True)
class Pace:
    """Least times of one case. `one_s` : (yards,) least seconds of hive work for one split; `near_s` : (yards, yards)
    least seconds from leaving the column's yard to having boxes opened at some yard far enough from the row's."""

    case: Case
    ground: Ground
    one_s: Ints
    near_s: Ints

    def start(self) -> Track:
        """At home."""
        return Track((), (), self.case.start)

    def extend(self, track: Track, order: Order, visit: Visit) -> Track | None:
        """Return the track with one more visit, None when some hour is missed for sure."""
        case, y = self.case, visit.yard
        leg = int(self.ground.drive[order[-1].yard + 1 if order else 0, y + 1])
        set_up, leaving = case.opening if visit.opens else case.placing
        opened = (track.depart[-1] if order else 0) + leg + set_up
        clock = max(track.clock + leg, int(case.opens[y])) + set_up
        work = 0
        if visit.opens:
            work = int(self.one_s[y])
            clock = max(clock, case.hives_from) + work
            if clock > case.hives_until:
                return None
        clock += leaving
        if clock > case.closes[y] or clock + int(self.ground.drive[y + 1, 0]) > case.end:
            return None
        return Track((*track.opened, opened), (*track.depart, opened + work + leaving), clock)

    def in_time(self, track: Track, i: int, j: int) -> bool:
        """Whether a split made at visit i may still be opened at visit j in time."""
        return track.opened[j] - track.depart[i] <= self.case.shut_in_s

    def stranded(self, track: Track, order: Order) -> bool:
        """Whether some visit's splits can neither have been placed in time nor be placed in time any more."""
        last, limit = len(order) - 1, self.case.shut_in_s
        for i in range(last, -1, -1):
            if not order[i].opens:
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
    one = ground.least[:, 1] if ground.size else np.full(ground.yards, INF)
    one_s = np.where(one < INF, one - int(case.base_place_s.max(initial=0)), INF)
    to_open = ground.drive[1:, 1:] + case.placing[0]
    receives = ground.far & (ground.room > 0)[None, :]
    near_s = np.where(receives[:, None, :], to_open[None, :, :], INF).min(axis=2)
    return Pace(case, ground, np.maximum(one_s, 0), near_s)
