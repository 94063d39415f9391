"""How soon an order of visits can make and place splits, whichever kits they are.

The earliest times by (made, placed) that `on_time.py` guesses with, here with the least that each step takes:
no plan of the order is earlier. So what cannot be here cannot be at all: counts that an order cannot have
reached by now are left out of its bounds, and of an order that cannot end the judge need not be asked.
"""

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.case import DAY_S, Case
from routeplan.planning.on_time import Times
from routeplan.planning.order import Order
from routeplan.planning.remaining import INF, Ints, Remaining, remaining
from routeplan.planning.stop_guess import SharedOut, Stop
from routeplan.planning.yields import priced_yields


@dataclass
class Soonest(SharedOut):
    """The earliest times of one case: hours, windows and the truck; minutes shut in are left out.

    `table`: least seconds of all that is still to come, by the clock; `rooms`: (yards,) splits each yard may
    take here, None: as many as it has room for.
    """

    table: Remaining = field(kw_only=True)
    rooms: Ints | None = field(default=None, kw_only=True)

    def __post_init__(self) -> None:
        super().__post_init__()
        self.place_s = self.case.place_s.min(axis=1, initial=DAY_S).tolist()
        if self.rooms is not None:
            self.room = np.minimum(self.room, self.rooms).tolist()
        of_others = any(batch.apart for batch in self.case.demand.batches)
        self.told = not (self.case.aboard or self.case.fills or of_others)
        self._come: dict[int, Ints] = {}

    def within(self, rooms: Ints) -> "Soonest":
        """The same where each yard may take no more than this."""
        return replace(self, rooms=rooms)

    def start(self) -> Times:
        """Earliest times at home, by (made, placed)."""
        return self._start.left

    def after(self, left: Times, order: Order) -> Times:
        """Earliest times of leaving the last visit of an order, by (made, placed), from those before it."""
        return self._staged(left, tuple(Stop(v.yard, v.opens, True) for v in order)).left

    def cannot_end(self, left: Times, order: Order) -> bool:
        """Whether it is proved that an order has no plan; of hives worked in two passes nothing is told."""
        opened = [v.yard for v in order if v.opens]
        if not self.told or any(opened.count(y) > 1 for y in self.twice_yards):
            return False
        return not self._in_time(left, order)[-1, -1]

    def reached(self, left: Times, order: Order, next_s: Ints) -> NDArray[np.bool_] | None:
        """Which counts [made, placed] may be those after an order, so that all else can follow in time; None
        where nothing is told: where hives may be worked in two passes, and what the second makes is counted
        with the first.

        `next_s`: (yards + 1, size + 1) least seconds from leaving a place to having made so many more.
        """
        if not self.told or any(v.opens and v.yard in self.twice_yards for v in order):
            return None
        hives_s = np.where(np.arange(self.case.size, -1, -1) > 0, next_s[order[-1].yard + 1, ::-1], -INF)
        in_hours = left + hives_s[:, None] <= self.case.hives_until
        return np.asarray(self._in_time(left, order) & in_hours)

    def _in_time(self, left: Times, order: Order) -> NDArray[np.bool_]:
        """Which counts leave time for all that is still to come and for getting home."""
        last = order[-1].yard + 1
        if last not in self._come:
            self._come[last] = self.table.leave[last, 0, ::-1, ::-1].astype(np.int64)
        return np.asarray(left + self._come[last] <= self.case.end)


def soonest_of(case: Case) -> Soonest:
    """Work out the least seconds of hive work by yard and number of splits; placing comes elsewhere."""
    ground, placed_s = case.clock_ground(), case.place_s.min(axis=0, initial=DAY_S)
    making = np.maximum(0, priced_yields(case.clock_yields, placed_s, case.size))
    table = remaining(ground.without_dues())
    return Soonest(case, case.size, making=(making, making), table=table)
