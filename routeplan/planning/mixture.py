"""Whether a set of donor yards can make the kits asked for at all, batch by batch and several batches together.

A quick necessary test that spares the judge hopeless orders: for every set of batches, what the yards can make
of it must reach what is wanted of it.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.case import Case

MOST_BATCHES = 6


@dataclass(frozen=True)
class Mixture:
    """`most` (yards, sets): splits of each set of batches a yard can make; `wanted` (sets,): least splits of it."""

    most: NDArray[np.int64]
    wanted: NDArray[np.int64]

    def enough(self, made_at: NDArray[np.bool_]) -> bool:
        """Whether the yards flagged can make enough of every set of batches."""
        return bool((self.most[made_at].sum(axis=0) >= self.wanted).all())


def mixture_of(case: Case) -> Mixture:
    """Count for every set of batches (single ones only where there are many) what yards can make of it."""
    batches = [b for b in range(len(case.demand.batches)) if case.demand.cap(b)]
    sizes = range(1, len(batches) + 1) if len(batches) <= MOST_BATCHES else (1,)
    sets = [chosen for n in sizes for chosen in combinations(batches, n)]
    most = np.array(
        [[_most(case, y, set(chosen)) for chosen in sets] for y in range(len(case.yields))], dtype=np.int64
    ).reshape(len(case.yields), len(sets))
    return Mixture(most, np.array([_wanted(case, set(chosen)) for chosen in sets], dtype=np.int64))


def _most(case: Case, yard: int, batches: set[int]) -> int:
    total = 0
    for one in case.yields[yard]:
        columns = [i for i, k in enumerate(one.lines) if case.demand.lines[k].batch in batches]
        if columns:
            counted = one.mixes.sum(axis=1) if one.merged else one.mixes[:, columns].sum(axis=1)
            total += int(counted.max())
    return total


def _wanted(case: Case, batches: set[int]) -> int:
    """Least splits of these batches in any plan with the totals wanted: what the other batches leave over."""
    wanted = 0
    for priority, total in case.demand.totals:
        others = sum(
            b.count for i, b in enumerate(case.demand.batches) if b.priority == priority and i not in batches
        )
        wanted += max(0, total - others)
    return wanted
