"""Yards that no better plan can use: left out before a search, so that it and its tables are smaller.

Forward, the least seconds to arrive at each yard with so many splits still to make and to place; the table of
what remains has the least to come from there. Together they are the least of any day that makes or places a
split at the yard: a bound, as the table is one. What is not under the best plan known cannot be part of a
better one.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.remaining import INF, Ground, Ints, Remaining, with_price


@dataclass(frozen=True)
class Through:
    """Least seconds of a whole day that makes splits at a yard, and that places some there: (yards,)."""

    made_s: Ints
    placed_s: Ints


def through(ground: Ground, table: Remaining, holds: NDArray[np.bool_] | None = None) -> Through:
    """Return the least seconds by way of each yard, by a table of this ground.

    `holds[m, p]` as the table has it; what a walk remembers is left out.
    """
    used = np.flatnonzero((ground.most > 0) | (ground.room > 0))
    there = _Forward(ground.of(used), table.made_price[used], table.placed_price[used], holds)
    there.fill()
    made = there.arrive + table.making[:, :, used].min(axis=3)
    at_once = there.opened + table.made_here[used].min(axis=1).transpose(1, 2, 0)
    only = there.placed + table.leave[used + 1].min(axis=1).transpose(1, 2, 0)
    least = int(ground.cell[ground.room > 0].min(initial=INF)) if ground.cells else 0
    more_s = least + table.root(ground) - int(table.leave[0, 0, -1, -1])
    made_s, placed_s = np.full((2, ground.yards), INF, dtype=np.int64)
    made_s[used] = made.min(axis=(0, 1), initial=INF) + more_s
    placed_s[used] = np.minimum(at_once, only).min(axis=(0, 1), initial=INF) + more_s
    return Through(made_s, placed_s)


def without_useless(
    ground: Ground, table: Remaining, most_s: int, holds: NDArray[np.bool_] | None = None
) -> Ground:
    """Return the ground where no yard makes or takes splits that does so only in days of `most_s` or more.

    What must be made and placed where then follows anew.
    """
    by = through(ground, table, holds)
    some = np.arange(ground.size + 1)[None, :] > 0
    room = np.where(by.placed_s >= most_s, 0, ground.room)
    lives = ground.far @ room  # so many of a yard's splits have anywhere to live
    never = some & ((by.made_s >= most_s)[:, None] | (np.arange(ground.size + 1)[None, :] > lives[:, None]))

    def left(least: Ints | None) -> Ints | None:
        return None if least is None else np.where(never, INF, least)

    least = np.where(never, INF, ground.least)
    less = replace(ground, least=least, once=left(ground.once), both=left(ground.both), room=room)
    others_make, others_take = less.most.sum() - less.most, room.sum() - room
    return replace(
        less,
        due_from=np.maximum(ground.due_from, np.minimum(less.most, ground.size - others_make)),
        due_to=np.maximum(ground.due_to, np.minimum(room, ground.size - others_take)),
    )


class _Forward:
    """Least seconds from home on, [m, p, yard]: m splits still to make, p still to place.

    `arrive` without the yard's set-up; `opened` with it, hives being opened next, some splits just placed;
    `placed` after a visit that only placed some.
    """

    def __init__(self, ground: Ground, made: Ints, placed: Ints, holds: NDArray[np.bool_] | None) -> None:
        self.ground, self.holds, n = ground, holds, ground.size
        r = np.arange(1, int(min(ground.room.max(initial=0), n)) + 1)
        cost = r[:, None] * (ground.carry + placed)[None, :] + ground.receive[:, r].T
        self.place_s = np.where(r[:, None] <= ground.room[None, :], cost, INF)
        self.make_s = with_price(ground, made)[:, 1 : int(ground.most.max(initial=0)) + 1].T
        self.drive = ground.drive[:, 1:].copy()
        self.drive[np.arange(1, ground.yards + 1), np.arange(ground.yards)] = INF
        shape = (n + 1, n + 1, ground.yards)
        self.arrive, self.opened, self.placed = (np.full(shape, INF, dtype=np.int64) for _ in range(3))
        self.leave = np.full((n + 1, n + 1, ground.yards + 1), INF, dtype=np.int64)
        self.leave[n, n, 0] = 0

    def fill(self) -> None:
        """Fill all entries along m + p, which falls at every visit."""
        n = self.ground.size
        for total in range(2 * n, 0, -1):
            for m in range(max(0, total - n), total // 2 + 1):
                self._entry(m, total - m)

    def _entry(self, m: int, p: int) -> None:
        """All splits placed before, and those made, come from entries of a larger m + p."""
        ground = self.ground
        np.minimum(self.leave[m, p, 1:], self.placed[m, p], out=self.leave[m, p, 1:])
        if self.holds is None or self.holds[m, p]:
            self.arrive[m, p] = np.minimum((self.leave[m, p][:, None] + self.drive).min(axis=0), INF)
            r = min(p - m, len(self.place_s))
            if r:
                after = self.arrive[m, p] + self.place_s[:r][::-1]
                for table, set_up in ((self.opened, ground.opening), (self.placed, ground.placing)):
                    np.minimum(table[m, p - r : p], after + set_up, out=table[m, p - r : p])
        q = min(m, len(self.make_s))
        if q:
            open_s = np.minimum(self.opened[m, p], self.arrive[m, p] + ground.opening)
            made = self.leave[m - q : m, p, 1:]
            np.minimum(made, open_s + self.make_s[:q][::-1], out=made)
