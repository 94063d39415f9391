"""What each yard can make, and the least seconds of hive work for it.

All hives of one yard and format that give alike are one donor kind. A dynamic program over frames supplied
gives the least opening time for every need at once; from it comes, for every mix of lines, the least seconds,
and with a price on each line the table the search uses: least[q] = least seconds to make any q splits.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from routeplan.colony.surplus import Surplus
from routeplan.operation.world import Hive, Operation
from routeplan.planning.demand import KINDS, Demand
from routeplan.planning.limits import Clock
from routeplan.planning.work import Work

INF = 10**8
MAX_STATES = 1_500_000
MAX_MIXES = 40_000
HURRY = 0.6
"""Share of the time for planning that must be left for exact tables; less, and coarse ones have to do."""
HURRIED_STATES = 500

Ints = NDArray[np.int64]
Give5 = tuple[int, int, int, int, int]


@dataclass(frozen=True)
class Donors:
    """Hives of one yard and format that cost and give alike. `gives` are in the order of KINDS."""

    frame: str
    open_s: int
    gives: tuple[Give5, ...]
    hives: tuple[Hive, ...]


@dataclass(frozen=True)
class YardYield:
    """Mixes one yard can make in one format: (mixes, lines) counts, least seconds of opening hives for each,
    and least seconds in all (filling, making and placing the splits too).

    `lines` are the demand's lines in this format that may be made here; `exact` is False where the seconds
    are only a lower limit. `merged`: the mixes count all lines together in the first column.
    """

    lines: tuple[int, ...]
    mixes: Ints
    opening: Ints
    seconds: Ints
    exact: bool
    merged: bool

    def priced(self, prices: NDArray[np.int64], size: int) -> Ints:
        """Return least seconds less the prices of the lines, for 0..size splits; INF where not possible."""
        counts = self.mixes.sum(axis=1)
        own = prices[list(self.lines)]
        value = self.seconds - (counts * own.max() if self.merged else self.mixes @ own)
        least = np.full(size + 1, INF, dtype=np.int64)
        keep = counts <= size
        np.minimum.at(least, counts[keep], value[keep])
        return least


def donors_of(operation: Operation, surplus: dict[tuple[str, str], Surplus]) -> dict[str, tuple[Donors, ...]]:
    """Group the hives that can give, by yard."""
    work = Work(operation)
    grouped: dict[str, dict[tuple[str, int, tuple[Give5, ...]], list[Hive]]] = {
        y.id: {} for y in operation.yards
    }
    for hive in operation.hives:
        own = surplus[hive.key]
        gives = tuple(sorted(_five(own)))
        if gives:
            grouped[hive.yard].setdefault((hive.frame, work.open_s(hive), gives), []).append(hive)
    return {
        yard: tuple(
            Donors(frame, open_s, gives, tuple(hives)) for (frame, open_s, gives), hives in kinds.items()
        )
        for yard, kinds in grouped.items()
    }


def _five(own: Surplus) -> Iterator[Give5]:
    for g in own.most:
        for eggs in range(g.open + 1 if own.mother else 1):
            if g.capped or g.open or g.food or g.shake:
                yield (g.capped, g.open - eggs, eggs, g.food, g.shake)


def yields_of(
    operation: Operation, demand: Demand, donors: dict[str, tuple[Donors, ...]], clock: Clock | None = None
) -> tuple[tuple[YardYield, ...], ...]:
    """Work out every yard's yields, one YardYield per format that can make something.

    Once a good part of the clock's time is gone, the rest are coarse lower limits (not exact).
    """
    work = Work(operation)
    needs = demand.needs()
    result = []
    for i, yard in enumerate(operation.yards):
        of_yard = []
        for frame in sorted({d.frame for d in donors[yard.id]}):
            here = tuple(
                k
                for k, line in enumerate(demand.lines)
                if line.frame == frame and demand.of(k).from_yard in (None, i) and demand.cap(line.batch)
            )
            if here:
                fixed = np.array(
                    [
                        work.make_s(yard) + work.fill_s(demand.of(k).kit) + _base_place(work, demand, k)
                        for k in here
                    ]
                )
                kinds = [d for d in donors[yard.id] if d.frame == frame]
                caps = [demand.cap(demand.lines[k].batch) for k in here]
                hurried = clock is not None and clock.left() < HURRY * clock.seconds
                states = HURRIED_STATES if hurried else MAX_STATES
                of_yard.append(_yield(here, kinds, needs[list(here)], fixed, caps, demand.size, states))
        result.append(tuple(y for y in of_yard if len(y.mixes) > 1))
    return tuple(result)


def _base_place(work: Work, demand: Demand, line: int) -> int:
    """Least seconds to place one split of a line anywhere; what a yard adds comes on top at the yard."""
    return min(work.place_s(y, demand.of(line).queen) for y in work.operation.yards)


def _yield(
    lines: tuple[int, ...],
    kinds: list[Donors],
    needs: Ints,
    fixed: Ints,
    caps: list[int],
    size: int,
    states: int,
) -> YardYield:
    most = _most_kits(kinds, needs, size)
    caps = [min(c, most) for c in caps]
    mixes = _mixes(caps, most)
    exact, merged = True, mixes is None
    if mixes is None:  # too many mixes: count kits of the smallest need, a lower limit
        mixes = np.zeros((most + 1, len(lines)), dtype=np.int64)
        mixes[:, 0] = np.arange(most + 1)
        wanted = mixes[:, :1] * needs.min(axis=0)[None, :]
        fixed, exact = np.full(len(lines), fixed.min()), False
    else:
        wanted = mixes @ needs
    supply = np.array(
        [sum(len(d.hives) * max(g[k] for g in d.gives) for d in kinds) for k in range(len(KINDS))]
    )
    reachable = (wanted <= supply).all(axis=1)
    mixes, wanted = mixes[reachable], wanted[reachable]
    shape = wanted.max(axis=0)
    while np.prod(shape + 1.0) > states:  # leave out the largest kind: a lower limit again
        shape[int(shape.argmax())], exact = 0, False
    table = _least_opening(kinds, shape)
    seconds = table[tuple(np.minimum(wanted, shape).T)].astype(np.int64)
    possible = seconds < INF
    mixes, opening = mixes[possible], seconds[possible]
    return YardYield(lines, mixes, opening, opening + mixes @ fixed, exact, merged)


def _most_kits(kinds: list[Donors], needs: Ints, size: int) -> int:
    """Upper limit on splits: for every set of kinds, what all hives give over the least a kit needs."""
    gives = np.array([g for d in kinds for g in d.gives], dtype=np.int64)
    first = np.cumsum([0] + [len(d.gives) for d in kinds[:-1]])
    sets = np.array(list(product((0, 1), repeat=len(KINDS))), dtype=np.int64)
    of_each = np.maximum.reduceat(sets @ gives.T, first, axis=1)
    total = of_each @ np.array([len(d.hives) for d in kinds])
    per_kit = sets @ needs.min(axis=0)
    return int(min(size, (total[per_kit > 0] // per_kit[per_kit > 0]).min(initial=size)))


def _mixes(caps: list[int], most: int) -> Ints | None:
    """All count vectors within the caps and the total, None when there are too many."""
    mixes = np.zeros((1, 0), dtype=np.int64)
    for cap in caps:
        column = np.tile(np.arange(cap + 1), len(mixes))[:, None]
        mixes = np.hstack([np.repeat(mixes, cap + 1, axis=0), column])
        mixes = mixes[mixes.sum(axis=1) <= most]
        if len(mixes) > MAX_MIXES:
            return None
    return mixes


def _least_opening(kinds: list[Donors], shape: Ints) -> NDArray[np.int32]:
    """Least opening seconds to supply at least t of each kind, for all t up to `shape` (dynamic program).

    The table grows with what the hives so far can supply.
    """
    top = [int(n) for n in shape]
    table = np.zeros((1,) * len(top), dtype=np.int32)
    for d in kinds:
        gives = {tuple(map(min, g, top)) for g in d.gives} - {(0,) * len(top)}
        most = [max((g[k] for g in gives), default=0) for k in range(len(top))]
        for _ in d.hives:
            padded = np.pad(table, [(m, 0) for m in most], mode="edge")
            reach = [min(n, size - 1 + m) for n, size, m in zip(top, table.shape, most, strict=True)]
            new = np.full([n + 1 for n in reach], INF, dtype=np.int32)
            new[tuple(slice(0, size) for size in table.shape)] = table
            for g in gives:
                ends = [min(n, size - 1 + x) + 1 for n, size, x in zip(reach, table.shape, g, strict=True)]
                into = new[tuple(slice(0, end) for end in ends)]
                window = tuple(slice(m - x, m - x + end) for m, x, end in zip(most, g, ends, strict=True))
                np.minimum(into, padded[window] + np.int32(d.open_s), out=into)
            table = np.minimum(new, INF, out=new)
    whole = np.full([n + 1 for n in top], INF, dtype=np.int32)
    whole[tuple(slice(0, size) for size in table.shape)] = table
    return whole


def priced_yields(yields: tuple[tuple[YardYield, ...], ...], prices: NDArray[np.int64], size: int) -> Ints:
    """Least seconds less prices to make q splits at each yard (yards, size + 1), all formats together."""
    result = np.full((len(yields), size + 1), INF, dtype=np.int64)
    for i, of_yard in enumerate(yields):
        total = np.full(size + 1, INF, dtype=np.int64)
        total[0] = 0
        for one in of_yard:
            total = convolve(total, one.priced(prices, size))
        result[i] = total
    return result


def convolve(a: Ints, b: Ints) -> Ints:
    """Least sum at each total count: c[n] = min over q of a[n - q] + b[q] (both start at 0 splits)."""
    n = len(a)
    out = np.full(n, INF, dtype=np.int64)
    for q in np.flatnonzero(b < INF):
        np.minimum(out[q:], a[: n - q] + b[q], out=out[q:])
    out[out > INF // 2] = INF
    return out
