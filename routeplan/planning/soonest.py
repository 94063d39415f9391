"""Whether an order of visits can make and place all splits on time, whichever kits they are.

The earliest times by (made, placed) that `on_time.py` guesses with, here with the least that each step takes:
no plan of the order is earlier. So what cannot be here cannot be at all, and the judge need not be asked.
"""

from dataclasses import dataclass

import numpy as np

from routeplan.planning.case import DAY_S, Case
from routeplan.planning.order import Order
from routeplan.planning.remaining import INF
from routeplan.planning.stop_guess import SharedOut, Stop
from routeplan.planning.yields import priced_yields


@dataclass
class Soonest(SharedOut):
    """The earliest times of one case: hours, windows and the truck; minutes shut in are left out."""

    def __post_init__(self) -> None:
        super().__post_init__()
        self.place_s = self.case.place_s.min(axis=1, initial=DAY_S).tolist()
        of_others = any(batch.apart for batch in self.case.demand.batches)
        self.told = not (self.case.aboard or self.case.fills or of_others)

    def cannot_be(self, order: Order) -> bool:
        """Whether it is proved that the order has no plan. Of hives worked in two passes nothing is told."""
        opened = [v.yard for v in order if v.opens]
        if not self.told or any(opened.count(y) > 1 for y in self.twice_yards):
            return False
        stops = tuple(Stop(v.yard, v.opens, True) for v in order)
        left = int(self._stage(stops).left[-1, -1])
        return left >= INF or left + self.case.drive(order[-1].yard + 1, 0) > self.case.end


def soonest_of(case: Case) -> Soonest:
    """Work out the least seconds of hive work by yard and number of splits; placing comes later, elsewhere."""
    placed_s = case.place_s.min(axis=0, initial=DAY_S)
    making = np.maximum(0, priced_yields(case.clock_yields, placed_s, case.size))
    return Soonest(case, case.size, making=(making, making))
