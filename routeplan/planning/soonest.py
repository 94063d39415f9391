"""How soon an order of visits can make and place splits, whichever kits they are.

The earliest times by (made, placed) that `on_time.py` guesses with, here with the least that each step takes:
no plan of the order is earlier. So what cannot be here cannot be at all: counts that an order cannot have
reached by now are left out of its bounds, and of an order that cannot end the judge need not be asked.
"""

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.case import DAY_S, Case
from routeplan.planning.order import Order, Visit
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

    def cannot_be(self, order: Order) -> bool:
        """Whether it is proved that the order has no plan; of hives worked in two passes nothing is told."""
        opened = [v.yard for v in order if v.opens]
        if not self.told or any(opened.count(y) > 1 for y in self.twice_yards):
            return False
        return not self._reached(order)[-1, -1]

    def reached(self, order: Order, next_s: Ints) -> NDArray[np.bool_] | None:
        """Which counts [made, placed] may be those after an order, so that all else can follow in time; None
        where nothing is told: where hives may be worked in two passes, and what the second makes is counted
        with the first.

        `next_s`: (yards + 1, size + 1) least seconds from leaving a place to having made so many more.
        """
        if not self.told or any(v.opens and v.yard in self.twice_yards for v in order):
            return None
        hives_s = np.where(np.arange(self.case.size, -1, -1) > 0, next_s[order[-1].yard + 1, ::-1], -INF)
        in_hours = self._left(order) + hives_s[:, None] <= self.case.hives_until
        return np.asarray(self._reached(order) & in_hours)

    def _left(self, order: Order) -> NDArray[np.int32]:
        return self._stage(tuple(_stop(v) for v in order)).left

    def _reached(self, order: Order) -> NDArray[np.bool_]:
        last = order[-1].yard + 1
        if last not in self._come:
            self._come[last] = self.table.leave[last, 0, ::-1, ::-1].astype(np.int64)
        return np.asarray(self._left(order) + self._come[last] <= self.case.end)


def _stop(visit: Visit) -> Stop:
    return Stop(visit.yard, visit.opens, True)


def soonest_of(case: Case) -> Soonest:
    """Work out the least seconds of hive work by yard and number of splits; placing comes elsewhere."""
    ground, placed_s = case.clock_ground(), case.place_s.min(axis=0, initial=DAY_S)
    making = np.maximum(0, priced_yields(case.clock_yields, placed_s, case.size))
    table = remaining(ground.without_dues())
    return Soonest(case, case.size, making=(making, making), table=table)
