"""The least seconds still to come: a table over (yard, splits still to make, splits still to place).

It relaxes the problem in two ways only: it forgets which yards were used, but for a few near ones it may
remember, and of what is aboard it knows the yard of origin only while all of it comes from one yard. So no
completion can be quicker.

Memory: every yard has a short list of near donor yards (itself first); a walk that made splits at one of them
may not make there again until it has left their neighbourhood (ng-route relaxation: Baldacci, Mingozzi &
Roberti, Operations Research 59(5), 2011). Multipliers per split made and per split placed at a yard make
using a yard again dear, negative ones draw a walk to yards that fixed orders must use; whoever compares a
plan with such a table takes back what the plan may still use.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.limits import Clock

INF = 10**8
AT_ONCE = 100_000
"""Sums of a table worked out at once: more do not stay near the processor."""
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Ground:
    """What the search knows of the yards; index 0 of `drive` is home, all other arrays are by yard.

    Attributes
    ----------
    drive : (yards + 1, yards + 1) seconds, shortest paths.
    least : (yards, size + 1) least seconds to make q splits, INF where not possible.
    room : (yards,) splits a yard can take today.
    carry : (yards,) seconds a placed split costs here above the least anywhere.
    receive : (yards, size + 1) seconds that placing r splits at one visit costs once, 0 for none.
    cell : (yards,) seconds that the first ripe cell placed here costs; all zero where none has to be placed.
    far : (yards, yards) whether a split from the row's yard may live at the column's.
    due_from, due_to : (yards,) splits that must be made and must be placed here: by fixed orders, or because
        all other yards together cannot.
    opening, placing : seconds of set-up and leaving with and without hives opened.
    once, both : (yards, size + 1) as `least` with every hive opened at one visit only, and where the yard is
        visited twice with hives opened (that visit's set-up left out); None: hives are opened at one visit.
    again_s : (yards,) what `least` counts of a second visit with hives opened.
    """

    drive: Ints
    least: Ints
    room: Ints
    carry: Ints
    receive: Ints
    cell: Ints
    far: NDArray[np.bool_]
    due_from: Ints
    due_to: Ints
    opening: int
    placing: int
    once: Ints | None = None
    both: Ints | None = None
    again_s: Ints | None = None

    def at_two_visits(self) -> "Ground":
        """Return the same ground whose `least` allows for hives opened at two visits."""
        if self.both is None:
            return self
        both = np.minimum(self.least, self.both)
        more = again_s(self.room, self.opening, self.placing) * (both < self.least).any(axis=1)
        two = both + more[:, None]
        two[:, 0] = 0
        least = np.where(both < INF, np.minimum(self.least, two), INF)
        return replace(self, least=least, once=self.least, both=both, again_s=more)

    def without_dues(self) -> "Ground":
        """Return the same ground where no yard need make or receive any."""
        nothing = np.zeros_like(self.room)
        return replace(self, due_from=nothing, due_to=nothing)

    @property
    def opened_once(self) -> Ints:
        """`once`, or `least` where they are the same."""
        return self.least if self.once is None else self.once

    @property
    def opened_twice(self) -> Ints:
        """`both`, or `least` where they are the same."""
        return self.least if self.both is None else self.both

    @property
    def yards(self) -> int:
        """Number of yards."""
        return len(self.room)

    @property
    def size(self) -> int:
        """Splits the tables reach to."""
        return int(self.least.shape[1]) - 1

    @property
    def cells(self) -> bool:
        """Whether some yard has to be given ripe cells."""
        return bool(self.cell.any())

    def of(self, yards: Ints) -> "Ground":
        """Return the ground of some of the yards only."""
        places = np.append(0, yards + 1)
        return Ground(
            drive=self.drive[np.ix_(places, places)],
            least=self.least[yards],
            room=self.room[yards],
            carry=self.carry[yards],
            receive=self.receive[yards],
            cell=self.cell[yards],
            far=self.far[np.ix_(yards, yards)],
            due_from=self.due_from[yards],
            due_to=self.due_to[yards],
            opening=self.opening,
            placing=self.placing,
        )

    def in_parts(self) -> "Ground":
        """Return the same ground with costs of receiving that hold at every visit of a yard.

        Splits of one yard may be placed at two visits. Half of what any number of splits costs at least by
        the split, and half of what more than half its room costs (a dual feasible function), add up to no
        more over the visits than the yard costs.
        """
        r = np.arange(self.size + 1)
        possible = (r[None, :] > 0) & (r[None, :] <= self.room[:, None])
        worth = np.where(possible, self.receive / np.maximum(r, 1)[None, :], INF)
        by_split = worth.min(axis=1, initial=INF)[:, None] * r[None, :]
        least = np.where(possible, self.receive, INF).min(axis=1, initial=INF)[:, None]
        most = np.minimum(self.room, self.size)[:, None]
        by_half = least * np.where(2 * r[None, :] > most, 1.0, np.where(2 * r[None, :] == most, 0.5, 0.0))
        parts = np.where(possible, np.floor((by_split + by_half) / 2), 0).astype(np.int64)
        return replace(self, receive=parts, cell=np.zeros_like(self.cell))

    @property
    def most(self) -> Ints:
        """Most splits each yard can make, shape (yards,)."""
        possible = self.least < INF
        return np.asarray(np.where(possible, np.arange(self.size + 1)[None, :], 0).max(axis=1))


def again_s(room: Ints, opening: int, placing: int) -> Ints:
    """Least seconds, by yard, a second visit with hives opened costs beyond the visit for placing instead.

    Where nothing can be placed the visit is left out altogether.
    """
    return np.asarray(np.maximum(0, np.where(room > 0, opening - placing, opening)))


def with_price(ground: Ground, price: Ints) -> Ints:
    """Least seconds to make q splits with a price by yard on every split made, shape (yards, size + 1)."""
    priced = ground.least + price[:, None] * np.arange(ground.size + 1)[None, :]
    return np.where(ground.least < INF, priced, INF)


@dataclass(frozen=True)
class Memory:
    """What a walk remembers at each place, as bits of a state.

    The low bits are near donor yards that made splits: `near` (yards, k) indices, the yard itself first. The
    high bits are `musts`, yards that fixed orders need (yard, opens hives), done. `carried[y, s, z]` is what
    is left of state s of place y (0 = home) on arriving at yard z; `made[z, s]` and `placed[z, s]` the state
    after a visit of z with and without hives opened; `again[z, s]` whether splits were made at z before.
    With `cells` the next bit says that ripe cells were placed somewhere. The highest bits are `once`, yards
    where splits may be placed at one visit only, done: no plan loses by placing all of a yard's at its last
    visit, but for what the truck holds.
    """

    near: Ints
    musts: tuple[tuple[int, bool], ...]
    carried: Ints
    made: Ints
    placed: Ints
    again: NDArray[np.bool_]
    cells: bool
    once: tuple[int, ...] = ()

    @property
    def bits(self) -> int:
        """Bits of a state but for the cells."""
        return int(self.near.shape[1]) + len(self.musts)

    @property
    def states(self) -> int:
        """Number of states of a place."""
        return 1 << (self.bits + self.cells + len(self.once))

    @property
    def with_cells(self) -> Ints:
        """Each state with the ripe cells placed."""
        return np.asarray(np.arange(self.states) | (1 << self.bits if self.cells else 0))

    @cached_property
    def received(self) -> Ints:
        """The state after some splits were placed at a yard, (yards, states)."""
        state = np.broadcast_to(np.arange(self.states), (len(self.near), self.states)).copy()
        for i, yard in enumerate(self.once):
            state[yard] |= 1 << (self.bits + self.cells + i)
        return state

    @cached_property
    def full(self) -> NDArray[np.bool_]:
        """Whether no more splits may be placed at a yard, (yards, states)."""
        once = np.isin(np.arange(len(self.near)), self.once)[:, None]
        return np.asarray(once & (self.received == np.arange(self.states)))

    def of_yards(self, yards: Ints) -> "Memory":
        """Return what a walk by some of the yards only remembers; `near` and `musts` stay as they are."""
        places = np.append(0, yards + 1)
        return replace(
            self,
            near=self.near[yards],
            carried=self.carried[places][:, :, yards],
            made=self.made[yards],
            placed=self.placed[yards],
            again=self.again[yards],
            once=tuple(int(np.searchsorted(yards, y)) for y in self.once),
        )

    def of(self, made_at: NDArray[np.bool_], been_at: NDArray[np.bool_]) -> Ints:
        """Return each yard's state when splits were made, and boxes placed or made, at the yards flagged."""
        k = self.near.shape[1]
        done = sum((made_at if opens else been_at)[y] << (k + i) for i, (y, opens) in enumerate(self.musts))
        if not k:
            return np.full(len(self.near), done, dtype=np.int64)
        return np.asarray(made_at[self.near] @ (1 << np.arange(k)) + done)


MOST_MUSTS = 3
MOST_CELLS = 30_000_000
"""Steps the tables with memory may take, which sets how many near yards are remembered."""


def memory_size(ground: Ground) -> int:
    """Return how many near donor yards the tables can afford to remember: 3 to 7."""
    steps = (
        ground.yards * (ground.yards + 1) * ground.size**2 / 2 * (1 << (len(musts_of(ground)) + ground.cells))
    )
    return int(np.clip(np.log2(MOST_CELLS / max(steps, 1.0)), 3, 7))


def musts_of(ground: Ground) -> tuple[tuple[int, bool], ...]:
    """Yards that fixed orders need, the farthest from home first, at most MOST_MUSTS."""
    opens = [(int(y), True) for y in np.flatnonzero(ground.due_from)]
    opened = {y for y, _ in opens}
    places = [(int(y), False) for y in np.flatnonzero(ground.due_to) if int(y) not in opened]
    return tuple(sorted(opens + places, key=lambda must: -ground.drive[0, must[0] + 1])[:MOST_MUSTS])


def memory_of(ground: Ground, k: int, once: tuple[int, ...] = ()) -> Memory:
    """Give every yard a memory of the k nearest donor yards by drive (itself first), of the musts, and of the
    yards where splits are placed `once`."""
    y, musts = ground.yards, musts_of(ground)
    k = min(k, y)
    rank = ground.drive[1:, 1:].astype(np.float64).copy()
    rank[:, ground.most == 0] += INF
    np.fill_diagonal(rank, -1.0)
    near = np.argsort(rank, axis=1, kind="stable")[:, :k]
    state = np.arange(1 << (k + len(musts) + ground.cells + len(once)))
    carried = np.broadcast_to((state >> k << k)[None, :, None], (y + 1, len(state), y)).copy()
    for i in range(k):
        has = ((state >> i) & 1).astype(bool)
        for bit in range(k):
            same = near[:, i, None] == near[None, :, bit]
            carried[1:] |= np.where(same[:, None, :] & has[None, :, None], 1 << bit, 0)
    made = np.broadcast_to(state, (y, len(state))).copy()
    placed = made.copy()
    again = np.zeros((y, len(state)), dtype=bool)
    if k:
        again |= (state & 1).astype(bool)
        made |= 1
    for i, (must, opens) in enumerate(musts):
        made[must] |= 1 << (k + i)
        placed[must] |= 0 if opens else 1 << (k + i)
    return Memory(near, musts, carried, made, placed, again, ground.cells, once)


@dataclass(frozen=True)
class Remaining:
    """Tables of least seconds to come; m splits still to make, p >= m still to place, s a memory state.

    leave[y, s, m, p] from place y (0 = home); alone the same when all aboard was made at y;
    made_here[z, s, m, p] after set-up at yard z, at least one split being made there. making[m, p, z, s] and
    placing[m, p, z, s] from arriving at z, set-up included, when hives are opened there and when not (then
    possibly doing nothing).
    `made_price`, `placed_price` : (yards,) multipliers contained in the tables.
    `held`: they know what the truck holds, which forbids some of that; so no visit's splits may be moved.
    """

    memory: Memory
    leave: NDArray[Any]
    alone: NDArray[Any]
    made_here: NDArray[Any]
    making: NDArray[Any]
    placing: NDArray[Any]
    made_price: Ints
    placed_price: Ints
    held: bool = False

    def root(self, ground: Ground) -> int:
        """Least seconds of the whole day: the table's value at home less all multipliers."""
        n = ground.size
        made = np.where(self.made_price > 0, ground.most, ground.due_from) * self.made_price
        placed = np.where(self.placed_price > 0, ground.room, ground.due_to) * self.placed_price
        return int(self.leave[0, 0, n, n]) - int(made.sum() + placed.sum())


def remaining(
    ground: Ground,
    made_price: Ints | None = None,
    placed_price: Ints | None = None,
    memory: Memory | None = None,
    clock: Clock | None = None,
    holds: NDArray[np.bool_] | None = None,
) -> Remaining:
    """Fill the tables along m + p, which falls at every visit (exact integer arithmetic).

    `holds[m, p]`: whether the truck holds what is aboard with m splits to make and p to place; None: always.

    Raises TimeoutError when the clock is over before they are full.
    """
    zero = np.zeros(ground.yards, dtype=np.int64)
    made = zero if made_price is None else made_price
    placed = zero if placed_price is None else placed_price
    memory = memory_of(ground, 0) if memory is None else memory
    used = np.flatnonzero((ground.most > 0) | (ground.room > 0))
    filling = _Filling(ground.of(used), made[used], placed[used], memory.of_yards(used), holds)
    for total in range(1, 2 * ground.size + 1):
        if clock is not None and clock.over():
            raise TimeoutError("tables not filled in time")
        filling.entries(total)
    table = _spread(filling.tables(), used, memory, made, placed)
    return replace(table, held=holds is not None and not holds.all())


def _spread(of_used: Remaining, used: Ints, memory: Memory, made: Ints, placed: Ints) -> Remaining:
    """The tables of all yards from those of the ones used: from and by any other yard nothing can come."""
    yards, places = len(made), np.append(0, used + 1)
    if len(used) == yards:
        return of_used

    def spread(table: NDArray[Any], axis: int, length: int, at: Ints) -> NDArray[Any]:
        shape = (*table.shape[:axis], length, *table.shape[axis + 1 :])
        whole = np.full(shape, INF, dtype=table.dtype)
        whole[(slice(None),) * axis + (at,)] = table
        return whole

    return Remaining(
        memory,
        spread(of_used.leave, 0, yards + 1, places),
        spread(of_used.alone, 0, yards + 1, places),
        spread(of_used.made_here, 0, yards, used),
        spread(of_used.making, 2, yards, used),
        spread(of_used.placing, 2, yards, used),
        made,
        placed,
    )


class _Filling:
    """Tables by (m, p, state, yard or place): the entries of one m + p are worked out at once."""

    def __init__(
        self,
        ground: Ground,
        made: Ints,
        placed: Ints,
        memory: Memory,
        holds: NDArray[np.bool_] | None,
    ) -> None:
        self.holds = holds
        self.ground, self.made, self.placed, self.memory = ground, made, placed, memory
        y, n, s = ground.yards, ground.size + 1, memory.states
        r = np.arange(1, int(min(ground.room.max(initial=0), ground.size)) + 1)[:, None, None]
        q = np.arange(1, int(ground.most.max(initial=0)) + 1)
        self.make_s = _short(with_price(ground, made)[:, q].T[:, None, :])
        place_s = r * (ground.carry + placed) + ground.receive[:, r[:, 0, 0]].T[:, None, :]
        self.place_s = _short(np.where(r <= ground.room, place_s, INF))
        drive = ground.drive.copy()
        np.fill_diagonal(drive, INF)
        self.drive = _short(drive[:, 1:])
        self.far_drive = _short(np.where(ground.far, drive[1:, 1:], INF))
        self.near, self.near_drive = _near(ground, drive[1:, 1:])
        # Indices below 0, fewer than no splits, wrap around to rows at the end that stay INF.
        shape = (n + len(self.make_s), n + len(self.place_s), s)
        self.leave, self.alone = (np.full((*shape, y + 1), INF, dtype=np.int32) for _ in range(2))
        self.made_here = np.full((*shape, y), INF, dtype=np.int32)
        self.making, self.placing = (np.full((n, n, s, y), INF, dtype=np.int32) for _ in range(2))
        done = (1 << (len(memory.musts) + memory.cells)) - 1
        home = np.where((np.arange(s) >> memory.near.shape[1]) & done == done, 0, INF)
        self.leave[0, 0] = self.alone[0, 0] = np.minimum(ground.drive[:, 0] + home[:, None], INF)
        self.z, state = np.arange(y), np.arange(s)
        self.at_once = AT_ONCE // max(1, s * y * (y + 1)) or 1
        self.celled, self.cell = memory.with_cells, _short(ground.cell)
        self.after_making = None if (memory.made == state).all() else memory.made.T
        self.after_placing = None if (memory.placed == state).all() else memory.placed.T
        self.carried = None
        if (memory.carried != state[None, :, None]).any():
            self.carried = memory.carried.transpose(1, 0, 2)
        self.again = memory.again.T if memory.again.any() else None
        self.received = memory.received.T if memory.once else None
        self.full = memory.full.T if memory.once else None

    def entries(self, total: int) -> None:
        """Fill all entries (m, p) of one m + p: they come from those of less."""
        every = np.arange(max(0, total - self.ground.size), total // 2 + 1)
        for i in range(0, len(every), self.at_once):
            self._some(m := every[i : i + self.at_once], total - m)

    def _some(self, m: Ints, p: Ints) -> None:
        here = self._make_here(m, p)
        self.made_here[m, p] = here
        r = p[:, None] - np.arange(1, min(int((p - m).max()), len(self.place_s)) + 1)
        after = self._told(self.leave[m[:, None], r][..., 1:], self.after_placing)
        with_hives = np.minimum(here, self._place(self.made_here[m[:, None], r])) + self.ground.opening
        without = self._place(after) + self.ground.placing
        self.making[m, p], self.placing[m, p] = with_hives, without
        held = slice(None) if self.holds is None else np.flatnonzero(self.holds[m, p])
        arrive, stay = np.minimum(with_hives, without), here + self.ground.opening
        self._leave(m[held], p[held], arrive[held], stay[held])

    def _told(self, table: NDArray[Any], state: Ints | None) -> NDArray[Any]:
        """A table (..., state, yard) at other states; None: at the same."""
        return table if state is None else table[..., state, self.z]

    def _place(self, after: NDArray[Any]) -> NDArray[Any]:
        """Least of placing r = 1, 2, ... splits and what comes after, (entry, r, state, yard)."""
        after = self._told(after, self.received)
        if self.memory.cells:  # the less of placing no ripe cell and placing the first ones here
            after = np.minimum(after, after[:, :, self.celled] + self.cell)
        least: NDArray[Any] = (after + self.place_s[: after.shape[1]]).min(axis=1, initial=INF)
        if self.full is not None:
            least[:, self.full] = INF
        return least

    def _make_here(self, m: Ints, p: Ints) -> NDArray[Any]:
        """Least over q >= 1 splits made here of making them and what comes after."""
        q = m[:, None] - np.arange(1, min(int(m.max()), len(self.make_s)) + 1)
        after = self.leave[q, p[:, None]]
        if m[-1] == p[-1]:
            after[-1] = self.alone[q[-1], p[-1]]
        after = self._told(after[..., 1:], self.after_making)
        here: NDArray[Any] = (after + self.make_s[: q.shape[1]]).min(axis=1, initial=INF)
        if self.again is not None:
            here[:, self.again] = INF
        return here

    def _leave(self, m: Ints, p: Ints, arrive: NDArray[Any], stay: NDArray[Any]) -> None:
        """Least over the next yard; straight from yard y with only its own splits, near yards take none."""
        if self.carried is None:
            to, near = arrive[:, :, None, :], stay[:, :, self.near]
            to_far = to
        else:
            to = arrive[:, self.carried, self.z]
            near = stay[:, self.carried[:, 1:][:, self.z[:, None], self.near], self.near]
            to_far = to[:, :, 1:]
        leave = (to + self.drive).min(axis=3, initial=INF)
        far_s = (to_far + self.far_drive).min(axis=3, initial=INF)
        near_s = (near + self.near_drive).min(axis=3, initial=INF)
        self.leave[m, p] = leave
        self.alone[m, p] = np.concatenate([leave[..., :1], np.minimum(far_s, near_s)], axis=2)

    def tables(self) -> Remaining:
        """Return the filled tables."""
        leave, alone, made_here = (
            t[: len(self.making), : len(self.making)] for t in (self.leave, self.alone, self.made_here)
        )
        idle = self._told(leave[..., 1:], self.after_placing) + self.ground.placing
        placing = np.minimum(self.placing, idle)
        return Remaining(
            self.memory,
            leave.transpose(3, 2, 0, 1),
            alone.transpose(3, 2, 0, 1),
            made_here.transpose(3, 2, 0, 1),
            np.minimum(self.making, INF).transpose(0, 1, 3, 2),
            np.minimum(placing, INF).transpose(0, 1, 3, 2),
            self.made,
            self.placed,
        )


def _short(seconds: Ints) -> NDArray[Any]:
    """Seconds in half the memory."""
    return np.ascontiguousarray(seconds, dtype=np.int32)


def _near(ground: Ground, drive: Ints) -> tuple[Ints, NDArray[Any]]:
    """For each yard the yards too near for its splits, and the drives there: INF fills up rows."""
    most = int((~ground.far).sum(axis=1).max(initial=0))
    near = np.argsort(ground.far, axis=1, kind="stable")[:, :most]
    drives = np.where(
        np.take_along_axis(ground.far, near, axis=1), INF, np.take_along_axis(drive, near, axis=1)
    )
    return near, _short(drives)
