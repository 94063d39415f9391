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
MOST_TARGETS = 8

Donor = tuple[int, int, int, tuple[int, ...], bool]
"""A yard, one of its formats, the most splits made there in it, the batches it can bring nowhere, and whether
its hives may be opened at two visits."""

Kept = dict[tuple[int, int], NDArray[np.bool_]]
"""By yard and format, which of its mixes are worth weighing."""


@dataclass
class Mixture:
    """Least seconds of work by splits made of each batch, for the sets of donors asked about so far.

    `mixes` holds, by yard and format, (batch counts, seconds), `twice` the same where hives may be opened at
    two visits; tables have one axis a batch. Without `mixes` (too many batches to count) nothing is excluded.
    """

    case: Case
    shape: tuple[int, ...]
    wanted: NDArray[np.bool_]
    mixes: list[list[tuple[Ints, Ints]]] | None
    twice: list[list[tuple[Ints, Ints]]]
    known: dict[tuple[Donor, ...], Ints] = field(default_factory=dict)

    def least_work(self, order: Order) -> int:
        """Least seconds to make all that is wanted in this order, INF: it cannot be, 0: not counted."""
        if self.mixes is None:
            return 0
        table = self._table(tuple(sorted(self._donors(order))))
        return int(table[self.wanted].min(initial=INF))

    def missing(self, order: Order) -> int:
        """How many of the splits wanted cannot be made in this order for want of frames; 0: not counted."""
        if self.mixes is None:
            return 0
        table = self._table(tuple(sorted(self._donors(order))))
        return self.case.size - int(np.indices(table.shape).sum(axis=0)[table < INF].max(initial=0))

    def _donors(self, order: Order) -> list[Donor]:
        """The yards of an order that make splits, each from its first making visit on."""
        first: dict[int, int] = {}
        twice = set()
        for i, visit in enumerate(order):
            if visit.opens and first.setdefault(visit.yard, i) < i:
                twice.add(visit.yard)
        twice &= self.case.twice_yards
        donors = []
        for y, i in first.items():
            later = {v.yard for v in order[i + 1 :] if self.case.reach[y, v.yard]}
            room = int(sum(self.case.room[z] for z in later))
            batches = self.case.demand.batches
            lost = tuple(b for b, batch in enumerate(batches) if batch.to_yard not in (None, *later))
            for of_format, (counts, _) in enumerate(self._of(y, y in twice)):
                most = min(self.case.size, int(counts.sum(axis=1).max(initial=0)))
                donors.append((y, of_format, min(room, most), lost, y in twice))
        return donors

    def _of(self, yard: int, twice: bool) -> list[tuple[Ints, Ints]]:
        """A yard's mixes by format."""
        assert self.mixes is not None
        return self.twice[yard] if twice else self.mixes[yard]

    def kept(self, order: Order, below_s: int) -> Kept | None:
        """Leave out mixes that with the best of all others take `below_s` or more; None when not counted."""
        targets = [] if self.mixes is None else np.argwhere(self.wanted).tolist()
        donors = () if self.mixes is None else tuple(sorted(self._donors(order)))
        if not 0 < len(targets) <= MOST_TARGETS:
            return None
        kept = {}
        for i, donor in enumerate(donors):
            before, after = self._table(donors[:i]), self._table(donors[i + 1 :])
            counts, seconds, allowed = self._rows(donor)
            for row in np.flatnonzero(allowed):
                others = min(
                    _joined(before, after, [t - n for t, n in zip(target, counts[row], strict=True)])
                    for target in targets
                )
                allowed[row] = seconds[row] + others < below_s
            kept[donor[0], donor[1]] = allowed
        return kept

    def _rows(self, donor: Donor) -> tuple[Ints, Ints, NDArray[np.bool_]]:
        """Batch counts and seconds of a donor's mixes, and which it may make."""
        yard, of_format, most, lost, twice = donor
        counts, seconds = self._of(yard, twice)[of_format]
        allowed = (counts.sum(axis=1) <= most) & (counts[:, list(lost)].sum(axis=1) == 0)
        return counts, seconds, allowed & (counts < np.array(self.shape)).all(axis=1)

    def _table(self, donors: tuple[Donor, ...]) -> Ints:
        if donors not in self.known:
            if not donors:
                table = np.full(self.shape, INF, dtype=np.int64)
                table[(0,) * len(self.shape)] = 0
            else:
                counts, seconds, allowed = self._rows(donors[-1])
                table = _added(self._table(donors[:-1]), counts[allowed], seconds[allowed])
            self.known[donors] = table
        return self.known[donors]


def _added(table: Ints, mixes: Ints, seconds: Ints) -> Ints:
    """Least sums when one of these mixes is made on top."""
    new = np.full_like(table, INF)
    least: dict[tuple[int, ...], int] = {}  # of the kits of a batch the one that takes least
    for mix, spent in zip(map(tuple, mixes.tolist()), seconds.tolist(), strict=True):
        least[mix] = min(spent, least.get(mix, INF))
    for counts, spent in least.items():
        into = tuple(slice(n, None) for n in counts)
        before = tuple(slice(0, size - n) for n, size in zip(counts, table.shape, strict=True))
        np.minimum(new[into], table[before] + spent, out=new[into])
    return np.minimum(new, INF)


def _joined(before: Ints, after: Ints, target: list[int]) -> int:
    """Least sum of two tables whose counts together are the target; INF for a negative one."""
    if min(target, default=0) < 0:
        return INF
    part = tuple(slice(0, n + 1) for n in target)
    return int((before[part] + np.flip(after[part])).min())


def mixture_of(case: Case) -> Mixture:
    """Gather the mixes of all yards by batch."""
    demand = case.demand
    shape = tuple(demand.cap(b) + 1 for b in range(len(demand.batches)))
    counted = np.prod(np.array(shape, dtype=float)) <= MOST_STATES
    if not counted or any(one.merged for of_yard in (*case.yields, *case.twice) for one in of_yard):
        return Mixture(case, (), np.zeros((), dtype=bool), None, [])
    mixes, twice = (
        [[_by_batch(case, one.lines, one.mixes, one.seconds) for one in of_yard] for of_yard in yields]
        for yields in (case.yields, case.twice)
    )
    return Mixture(case, shape, _wanted(case, shape), mixes, twice)


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
