"""The least seconds still to come where boxes may be of two yards: a table over units of frames still to be
given and splits still to be placed.

Frames are counted in weighted units, whoever pools them (`units.py`). The table leaves out which kinds go
together, forgets which yards gave, and of what is aboard knows only how much it is. Yards that must receive
are remembered, and prices on units given and splits placed make using a yard beyond what it holds dear, as in
`multipliers.py`. So no plan counts less.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.limits import Clock
from routeplan.planning.openings import Ints
from routeplan.planning.remaining import INF

MOST_MUSTS = 3
"""Yards that must receive and are remembered."""


@dataclass(frozen=True)
class UnitGround:
    """What the table knows of the yards; index 0 of `drive` is home, all other arrays are by yard.

    Attributes
    ----------
    drive : (yards + 1, yards + 1) seconds, shortest paths.
    least : (yards, units + 1) least seconds to give so many units at least, INF where not possible.
    room : (yards,) splits a yard can take today.
    carry : (yards,) seconds a placed split costs here above the least anywhere.
    due_to : (yards,) splits that must be placed here.
    opening, placing : seconds of set-up and leaving with and without hives opened.
    down, holds : (units + 1, size + 1) with so many units still to be given and so many splits to be placed,
        whether those placed can have their frames, and whether the truck holds what is aboard.
    """

    drive: Ints
    least: Ints
    room: Ints
    carry: Ints
    due_to: Ints
    opening: int
    placing: int
    down: NDArray[np.bool_]
    holds: NDArray[np.bool_]

    @property
    def yards(self) -> int:
        """Number of yards."""
        return len(self.room)

    @property
    def units(self) -> int:
        """Units that all splits need."""
        return int(self.least.shape[1]) - 1

    @property
    def size(self) -> int:
        """Splits to be placed."""
        return int(self.down.shape[1]) - 1

    @property
    def most(self) -> Ints:
        """Most units each yard gives, (yards,)."""
        return np.asarray((self.least < INF).sum(axis=1) - 1)

    @property
    def musts(self) -> tuple[int, ...]:
        """Yards that must receive and are remembered, the farthest from home first."""
        due = np.flatnonzero(self.due_to).tolist()
        return tuple(sorted(due, key=lambda z: -self.drive[0, z + 1])[:MOST_MUSTS])

    def received(self) -> Ints:
        """State of the musts once splits are placed at a yard, (yards, states)."""
        after = np.tile(np.arange(1 << len(self.musts)), (self.yards, 1))
        for i, z in enumerate(self.musts):
            after[z] |= 1 << i
        return after


@dataclass(frozen=True)
class UnitTable:
    """Tables of least seconds to come; m units to be given, p splits to be placed, s which musts received.

    leave[m, p, s, y] from place y (0 = home); making[m, p, s, z] and placing[m, p, s, z] from arriving at
    yard z, set-up included, when hives are opened there (possibly giving nothing that has units) and when not
    (then some are placed). `given_price`, `placed_price`: (yards,) multipliers contained in the tables.
    """

    ground: UnitGround
    leave: Ints
    making: Ints
    placing: Ints
    given_price: Ints
    placed_price: Ints

    @property
    def back_s(self) -> int:
        """What the multipliers may add to a plan at most."""
        ground = self.ground
        most = np.where(self.placed_price > 0, np.minimum(ground.room, ground.size), ground.due_to)
        return int((self.given_price * ground.most).sum() + (self.placed_price * most).sum())

    @property
    def root(self) -> int:
        """Least seconds of the whole day, capped at INF."""
        return min(INF, int(self.leave[-1, -1, 0, 0]) - self.back_s)

    @property
    def least(self) -> Ints:
        """Least seconds to give so many units, multipliers included, (yards, units + 1)."""
        q = np.arange(self.ground.units + 1)[None, :]
        return np.where(self.ground.least < INF, self.ground.least + self.given_price[:, None] * q, INF)

    @property
    def box(self) -> Ints:
        """Seconds for a split placed, multipliers included, (yards,)."""
        return np.asarray(self.ground.carry + self.placed_price)


def unit_table(
    ground: UnitGround, given: Ints | None = None, placed: Ints | None = None, clock: Clock | None = None
) -> UnitTable:
    """Fill the tables under multipliers (`given` not below 0), few units to be given first.

    Raises TimeoutError when the clock is over before they are full.
    """
    none = np.zeros(ground.yards, dtype=np.int64)
    shape = (ground.units + 1, ground.size + 1, 1 << len(ground.musts))
    leave = np.full((*shape, ground.yards + 1), INF, dtype=np.int64)
    leave[0, 0, -1] = ground.drive[:, 0]
    making, placing = (np.full((*shape, ground.yards), INF, dtype=np.int64) for _ in range(2))
    prices = (none if given is None else given, none if placed is None else placed)
    table = UnitTable(ground, leave, making, placing, *prices)
    filling = _Filling(table)
    for m in range(ground.units + 1):
        if clock is not None and clock.over():
            raise TimeoutError("tables not filled in time")
        filling.row(m)
    return table


class _Filling:
    """Fills one table in place."""

    def __init__(self, table: UnitTable) -> None:
        ground = table.ground
        self.ground, self.at = ground, table
        self.least = table.least
        self.most = int(ground.most.max(initial=0))
        self.takers = np.flatnonzero(ground.room)
        self.room = int(ground.room.max(initial=0))
        self.received = ground.received()[self.takers].T  # (states, takers)
        r = np.arange(self.room + 1)[:, None]
        box, room = table.box[self.takers][None, :], ground.room[self.takers][None, :]
        self.box = np.where(r <= room, r * box, INF)  # (splits placed, takers)
        self.open = ground.down & ground.holds
        self.legs = legs_of(ground.drive, ground.opening)

    def row(self, m: int) -> None:
        """Fill all entries with m units still to be given."""
        ground, at, takers = self.ground, self.at, self.takers
        size, states = ground.size, at.leave.shape[2]
        giving = np.full((size + 1, states, ground.yards), INF, dtype=np.int64)
        for q in range(1, min(m, self.most) + 1):
            np.minimum(giving, at.leave[m - q, :, :, 1:] + self.least[:, q], out=giving)
        opened = giving.copy()
        placed = np.where(ground.down[m][:, None, None], giving[:, self.received, takers], INF)
        for r in range(1, min(self.room, size) + 1):
            opened[r:, :, takers] = np.minimum(opened[r:, :, takers], placed[:-r] + self.box[r])
        without = np.full((size + self.room + 1, states, len(takers)), INF, dtype=np.int64)
        for p in range(size + 1):
            if not self.open[m, p]:
                continue
            at.making[m, p] = opened[p] + ground.opening
            at.placing[m, p][:, takers] = without[p] + ground.placing
            if m or p:
                arrive = np.minimum(at.making[m, p], at.placing[m, p])
                least = (self.legs[None, :, :] + arrive[:, None, :]).min(axis=2)
                at.leave[m, p] = np.minimum(least, INF)
            on = at.leave[m, p][self.received, takers + 1][None, :, :] + self.box[1:, None, :]
            into = without[p + 1 : p + 1 + self.room]
            np.minimum(into, on, out=into)
        idle = np.minimum(at.leave[m, :, :, 1:], opened)  # units of some kinds of frames are 0
        idle[:, :, takers] = np.minimum(idle[:, :, takers], without[: size + 1])
        at.making[m] = np.minimum(INF, idle + ground.opening)
        np.minimum(at.placing[m], INF, out=at.placing[m])


def legs_of(drive: Ints, opening: int) -> Ints:
    """Least seconds from each place, (yards + 1,) 0 = home, to setting up at each yard, (yards,).

    To the same yard again by another one whose hives are opened: of the units counted it may give none.
    """
    legs, yards = drive[:, 1:].copy(), len(drive) - 1
    by_others = drive[1:, 1:] + drive[1:, 1:].T + opening
    by_others[np.eye(yards, dtype=bool)] = INF
    legs[np.arange(1, yards + 1), np.arange(yards)] = by_others.min(axis=1, initial=INF)
    return legs


def best_walk(table: UnitTable) -> list[tuple[int, int, int]]:
    """Return the table's best walk from home: (yard, units given, splits placed) of each visit."""
    ground, least, box, received = table.ground, table.least, table.box, table.ground.received()
    walk: list[tuple[int, int, int]] = []
    legs = legs_of(ground.drive, ground.opening)
    m, p, s, y = ground.units, ground.size, 0, 0
    while m or p:
        offers = [
            offer
            for z in range(ground.yards)
            for offer in _offers(table, least, box, received, int(legs[y, z]), z, m, p, s)
        ]
        seconds, z, q, r, s = min(offers, default=(INF, 0, 0, 0, 0))
        if seconds >= INF:
            break
        walk.append((z, q, r))
        m, p, y = m - q, p - r, z + 1
    return walk


def _offers(
    table: UnitTable, least: Ints, box: Ints, received: Ints, leg: int, z: int, m: int, p: int, s: int
) -> list[tuple[int, int, int, int, int]]:
    """Ways of the table to go on at yard z: (seconds to come, z, units given, splits placed, state)."""
    ground, offers = table.ground, []
    for r in range(min(int(ground.room[z]), p) + 1):
        if r and not ground.down[m, p - r]:
            continue
        after = int(received[z, s]) if r else s
        spent = leg + r * int(box[z])
        if r:
            to_come = int(table.leave[m, p - r, after, z + 1])
            offers.append((spent + ground.placing + to_come, z, 0, r, after))
        if m:
            made = least[z, 1 : m + 1] + table.leave[m - 1 :: -1, p - r, after, z + 1][:m]
            q = int(made.argmin())
            offers.append((spent + ground.opening + int(made[q]), z, q + 1, r, after))
    return offers
