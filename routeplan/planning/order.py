"""Visits, orders of visits, and what they make: the words that search and judge share."""

from dataclasses import dataclass
from itertools import pairwise

from routeplan.planning.boxes import Boxes
from routeplan.planning.route import PooledBox


@dataclass(frozen=True)
class Visit:
    """One stop of an order: yard index and whether hives are opened there."""

    yard: int
    opens: bool


Order = tuple[Visit, ...]


def orderly(order: Order, most_visits: int, twice_yards: frozenset[int] = frozenset()) -> bool:
    """Whether no yard is visited more than `most_visits` times, or twice in a row.

    At `twice_yards` hives may be opened at two visits in a row, with a wait between.
    """
    yards = [v.yard for v in order]
    pairs = ((a, b) for a, b in pairwise(order) if a.yard == b.yard)
    apart = all(a.opens and b.opens and a.yard in twice_yards for a, b in pairs)
    return apart and all(yards.count(y) <= most_visits for y in yards)


@dataclass(frozen=True)
class Counts:
    """What an order makes and moves, counted by line.

    `made[i][k]` splits of line k made at visit i; `moved` (from visit, to visit, line, splits); `opening[i]`
    least seconds on the clock of opening hives at visit i, `beside[i]` counted beside it; `aside_s` all that
    counts beside the clock. Of hives worked in two passes, `first[i]` seconds of `opening[i]` are first
    passes, and `passes` are (visit of the first, visit of the second, hives). `brought`:
    (group of boxes aboard at the start, to visit, boxes).
    """

    made: tuple[tuple[int, ...], ...]
    moved: tuple[tuple[int, int, int, int], ...]
    opening: tuple[int, ...]
    beside: tuple[int, ...]
    aside_s: int
    first: tuple[int, ...] = ()
    passes: tuple[tuple[int, int, int], ...] = ()
    brought: tuple[tuple[int, int, int], ...] = ()

    def first_s(self, visit: int) -> int:
        """Seconds of first passes at a visit."""
        return self.first[visit] if self.first else 0


@dataclass(frozen=True)
class Times:
    """An order's clock: seconds after midnight when each visit's set-up begins and its hives are opened."""

    begin: tuple[int, ...]
    hives: tuple[int, ...]
    leave_home: int
    paid_s: int


@dataclass(frozen=True)
class Round:
    """A complete round: order, counts, clock and, by yard, its boxes. `counted_s` is what is minimised.

    `pooled`: all its boxes instead, where some are of two yards.
    """

    order: Order
    counts: Counts
    times: Times
    boxes: dict[int, Boxes]
    counted_s: int
    pooled: tuple[PooledBox, ...] = ()

    @property
    def paid_s(self) -> int:
        """Seconds from leaving home to being back."""
        return self.times.paid_s
