"""What the donor yards of an order take to make exactly the batches asked for.

The search prices batches and counts splits alike; here every batch is counted on its own, and no yard makes
more than the yards it can still reach have room for, so that most hopeless orders never reach the judge.
"""

from dataclasses import dataclass, field
from itertools import product

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.case import Case
from routeplan.planning.order import Order
from routeplan.planning.remaining import INF, Ints

MOST_STATES = 20_000

Donor = tuple[int, int, tuple[int, ...]]
"""A yard, the most splits it may make, and the batches it can bring nowhere."""


@dataclass
class Mixture:
    """Least seconds of work by splits made of each batch, for the sets of donors asked about so far.

    `mixes` holds, by yard and format, (batch counts, seconds); tables have one axis a batch. Without `mixes`
    (too many batches to count) nothing is excluded.
    """

    case: Case
    shape: tuple[int, ...]
    wanted: NDArray[np.bool_]
    mixes: list[list[tuple[Ints, Ints]]] | None
    known: dict[tuple[Donor, ...], Ints] = field(default_factory=dict)

    def least_work(self, order: Order) -> int:
        """Least seconds to make all that is wanted in this order, INF: it cannot be, 0: not counted."""
        if self.mixes is None:
            return 0
        table = self._table(tuple(sorted(self._donors(order))))
        return int(table[self.wanted].min(initial=INF))

    def _donors(self, order: Order) -> list[Donor]:
        """The yards of an order that make splits, each from its first making visit on."""
        first: dict[int, int] = {}
        for i, visit in enumerate(order):
            if visit.opens:
                first.setdefault(visit.yard, i)
        donors = []
        for y, i in first.items():
            later = {v.yard for v in order[i + 1 :] if self.case.reach[y, v.yard]}
            room = int(sum(self.case.room[z] for z in later))
            batches = self.case.demand.batches
            lost = tuple(b for b, batch in enumerate(batches) if batch.to_yard not in (None, *later))
            donors.append((y, min(room, self.case.size), lost))
        return donors

    def _table(self, donors: tuple[Donor, ...]) -> Ints:
        if donors not in self.known:
            if not donors:
                table = np.full(self.shape, INF, dtype=np.int64)
                table[(0,) * len(self.shape)] = 0
            else:
                table = self._table(donors[:-1])
                yard, most, lost = donors[-1]
                assert self.mixes is not None
                for counts, seconds in self.mixes[yard]:
                    kept = (counts.sum(axis=1) <= most) & (counts[:, list(lost)].sum(axis=1) == 0)
                    table = _added(table, counts[kept], seconds[kept])
            self.known[donors] = table
        return self.known[donors]


def _added(table: Ints, mixes: Ints, seconds: Ints) -> Ints:
    """Least sums when one of these mixes is made on top."""
    new = np.full_like(table, INF)
    for counts, spent in zip(mixes.tolist(), seconds.tolist(), strict=True):
        into = tuple(slice(n, None) for n in counts)
        before = tuple(slice(0, size - n) for n, size in zip(counts, table.shape, strict=True))
        np.minimum(new[into], table[before] + spent, out=new[into])
    return np.minimum(new, INF)


def mixture_of(case: Case) -> Mixture:
    """Gather the mixes of all yards by batch."""
    demand = case.demand
    shape = tuple(demand.cap(b) + 1 for b in range(len(demand.batches)))
    counted = np.prod(np.array(shape, dtype=float)) <= MOST_STATES
    if not counted or any(one.merged for of_yard in case.yields for one in of_yard):
        return Mixture(case, (), np.zeros((), dtype=bool), None)
    mixes = [
        [_by_batch(case, one.lines, one.mixes, one.seconds) for one in of_yard] for of_yard in case.yields
    ]
    return Mixture(case, shape, _wanted(case, shape), mixes)


def _by_batch(case: Case, lines: tuple[int, ...], mixes: Ints, seconds: Ints) -> tuple[Ints, Ints]:
    counts = np.zeros((len(mixes), len(case.demand.batches)), dtype=np.int64)
    for column, k in enumerate(lines):
        counts[:, case.demand.lines[k].batch] += mixes[:, column]
    return counts, seconds


def _wanted(case: Case, shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Which counts of the batches fulfil the totals of each priority."""
    wanted = np.zeros(shape, dtype=bool)
    totals = dict(case.demand.totals)
    for counts in product(*(range(n) for n in shape)):
        made: dict[int, int] = dict.fromkeys(totals, 0)
        for batch, n in zip(case.demand.batches, counts, strict=True):
            if n:
                made[batch.priority] += n
        wanted[counts] = made == totals
    return wanted
