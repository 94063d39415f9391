"""Partial orders that another one makes needless.

Two orders with the same visits and the same last yard have the same to come. If one is no slower in drive and
set-up, allows every move from donor to later yard that the other allows, and is no later for any hour, then
whatever completes the other completes it too, at no more seconds. Used only where waits, load and minutes
shut in do not count (the PLAIN way), since counts are open and those may differ in ways the seconds do not
show.
"""

from dataclasses import dataclass, field

import numpy as np

from routeplan.planning.order import Order
from routeplan.planning.remaining import Ground
from routeplan.planning.track import Pace, Track


@dataclass(frozen=True)
class _Seen:
    spent: int
    moves: int
    span: int
    made: int
    clock: int
    since: tuple[int, ...]


@dataclass
class Dominance:
    """Partial orders seen so far, by their visits and last yard."""

    ground: Ground
    pace: Pace
    seen: dict[object, list[_Seen]] = field(default_factory=dict)

    def needless(self, order: Order, spent: int, track: Track) -> bool:
        """Whether an order seen before is as good in everything; else remember this one."""
        key = (
            order[-1].yard,
            frozenset((v.yard, tuple(w.opens for w in order if w.yard == v.yard)) for v in order),
        )
        first = track.first or 0
        since = self._since(order, track)
        new = _Seen(spent, self._moves(order), track.fixed - first, track.last - first, track.clock, since)
        known = self.seen.setdefault(key, [])
        if any(_as_good(old, new) for old in known):
            return True
        known[:] = [old for old in known if not _as_good(new, old)] + [new]
        return False

    def _moves(self, order: Order) -> int:
        """Bits of all (donor, later yard with room that is far enough)."""
        moves, n = 0, self.ground.yards
        for i, a in enumerate(order):
            if a.opens:
                for b in order[i + 1 :]:
                    if self.ground.far[a.yard, b.yard] and self.ground.room[b.yard]:
                        moves |= 1 << (a.yard * n + b.yard)
        return moves

    def _since(self, order: Order, track: Track) -> tuple[int, ...]:
        """Seconds since leaving each donor, by yard; nothing where minutes shut in cannot matter."""
        if self.pace.case.shut_in_s >= self.pace.case.end - self.pace.case.start:
            return ()
        left = {v.yard: track.depart[-1] - track.depart[i] for i, v in enumerate(order) if v.opens}
        return tuple(left[y] for y in sorted(left))


def _as_good(old: _Seen, new: _Seen) -> bool:
    return (
        old.spent <= new.spent
        and old.moves & new.moves == new.moves
        and old.span <= new.span
        and old.made <= new.made
        and old.clock <= new.clock
        and bool((np.array(old.since) <= np.array(new.since)).all())
    )
