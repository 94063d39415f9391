"""Partial orders that another one makes needless.

Two orders with the same visits and the same last yard have the same to come. If one has spent no more on
drive and set-up and allows every move from donor to later yard that the other allows, then whatever completes
the other completes it too, at no more bare seconds. Used only in the PLAIN way: with waits, load and minutes
shut in, counts that are still open may make a difference that the seconds do not show.
"""

from collections import Counter
from dataclasses import dataclass, field

from routeplan.planning.order import Order
from routeplan.planning.remaining import Ground


@dataclass
class Dominance:
    """Seconds spent and moves allowed of the partial orders seen so far, by their visits and last yard."""

    ground: Ground
    seen: dict[object, list[tuple[int, int]]] = field(default_factory=dict)

    def needless(self, order: Order, spent: int) -> bool:
        """Whether an order seen before is as good; else remember this one."""
        visits = frozenset((v.yard, tuple(w.opens for w in order if w.yard == v.yard)) for v in order)
        known = self.seen.setdefault((order[-1].yard, visits), [])
        moves = self._moves(order)
        if any(old_spent <= spent and old & moves == moves for old_spent, old in known):
            return True
        known[:] = [(s, m) for s, m in known if not (spent <= s and moves & m == m)] + [(spent, moves)]
        return False

    def _moves(self, order: Order) -> int:
        """Bits of all (donor, how often its hives were opened before, later yard with room far enough)."""
        moves, n, opened = 0, self.ground.yards, Counter[int]()
        for i, a in enumerate(order):
            if a.opens:
                before = opened[a.yard]
                opened[a.yard] += 1
                for b in order[i + 1 :]:
                    if self.ground.far[a.yard, b.yard] and self.ground.room[b.yard]:
                        moves |= 1 << ((before * n + a.yard) * n + b.yard)
        return moves
