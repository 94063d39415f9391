"""Units given and splits placed along an order, visit by visit, and the bound that follows, where boxes may
be of two yards.

For every number of units given and splits placed by now, and which of the remembered yards received, a flow
keeps the least seconds at the visits so far, multipliers included; with the table of the same multipliers it
bounds every completion.
"""

import numpy as np

from routeplan.planning.openings import Ints
from routeplan.planning.order import Order, Visit
from routeplan.planning.remaining import INF
from routeplan.planning.unit_table import UnitTable

Flow = Ints
"""Least seconds by (which musts received, units still to be given, splits still to be placed)."""


class UnitFlows:
    """Flows that go with one table."""

    def __init__(self, table: UnitTable) -> None:
        self.table, ground = table, table.ground
        self.ground, self.back_s = ground, table.back_s
        self.least, self.box, self.received = table.least, table.box, ground.received()
        self.most = ground.most
        self.never = ~(ground.down & ground.holds)

    def start(self) -> Flow:
        """At home: nothing given, nothing placed."""
        ground = self.ground
        flow = np.full((1 << len(ground.musts), ground.units + 1, ground.size + 1), INF, dtype=np.int64)
        flow[0, -1, -1] = 0
        return flow

    def extend(self, flow: Flow, visit: Visit, may_place: bool) -> Flow:
        """Return the flow after one more visit; `may_place`: whether bees aboard may be set down there."""
        y, ground = visit.yard, self.ground
        placed = np.full_like(flow, INF)
        for r in range(1, min(int(ground.room[y]), ground.size) + 1 if may_place else 1):
            less = flow[:, :, r:] + r * int(self.box[y])
            for s in range(len(flow)):
                into = placed[self.received[y, s], :, :-r]
                np.minimum(into, less[s], out=into)
        placed[:, ~ground.down] = INF
        if not visit.opens:
            after = placed
        else:
            before = np.minimum(placed, flow)
            after = before.copy()
            for q in range(1, int(self.most[y]) + 1):
                np.minimum(after[:, :-q], before[:, q:] + int(self.least[y, q]), out=after[:, :-q])
        after[:, self.never] = INF
        return np.minimum(after, INF)

    def within(self, flow: Flow, order: Order) -> Flow:
        """Return the flow of an order without what its yards together cannot give and take, however often
        each is visited."""
        ground = self.ground
        gives = sum(int(self.most[y]) for y in {v.yard for v in order if v.opens})
        takes = sum(int(ground.room[y]) for y in {v.yard for v in order})
        flow = flow.copy()
        flow[:, : max(0, ground.units - gives)] = INF
        flow[:, :, : max(0, ground.size - takes)] = INF
        return flow

    def to_come(self, flow: Flow, last: int) -> int:
        """Least seconds of the flow and all that comes after leaving its last place."""
        s, m, p = np.nonzero(flow < INF)
        if not len(s):
            return INF
        return int((flow[s, m, p] + self.table.leave[m, p, s, last]).min()) - self.back_s

    def next(self, flow: Flow, last: int, most_s: int) -> tuple[Ints, Ints]:
        """Least seconds from leaving the last place by the next yard, with and without hives opened there,
        its drive left out; INF where all are `most_s` or more."""
        ground = self.ground
        nothing = np.full(ground.yards, INF, dtype=np.int64)
        s, m, p = np.nonzero(flow < INF)
        worth = flow[s, m, p] + self.table.leave[m, p, s, last] < most_s + self.back_s
        s, m, p = s[worth], m[worth], p[worth]
        if not len(s):
            return nothing, nothing
        spent = flow[s, m, p][:, None]
        tables = (self.table.making, self.table.placing)
        making, placing = ((spent + t[m, p, s]).min(axis=0) - self.back_s for t in tables)
        return making, placing

    def whole(self, flow: Flow) -> int:
        """Least seconds with all given and placed, INF where that cannot be."""
        least = int(flow[-1, 0, 0])
        return INF if least >= INF else least - self.back_s
