"""What splits cost their new yards in the weeks after: trips for looks, feeding and cells, and what counts
against a yard. All by yard, in seconds; the day itself is elsewhere.
"""

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from routeplan.colony.follow_ups import trips_to_look
from routeplan.colony.surplus import Surplus
from routeplan.operation.world import QUEEN_WAYS, Operation
from routeplan.planning.travel import Travel, road_worth_s
from routeplan.planning.work import Work

Ints = NDArray[np.int64]
NEVER_S = 10**8


@dataclass(frozen=True)
class AfterCosts:
    """Costs of receiving splits, by yard.

    Attributes
    ----------
    trip_s, trip_m : (yards,) one trip there and back, set-up included.
    trip_road_s : (yards,) what its metres are worth, when money counts.
    trips, feeding : (yards,) trips for looks and for feeding.
    robbing_s : (yards,) counted against it for strong hives near by in a dearth.
    alone : (yards,) whether nobody comes by anyway.
    few_splits, few_s : counted for every split under so many in a yard that is alone.
    most_yards, over_s : counted for every such yard beyond so many.
    by_ways : trips for looks by set of ways to a queen, bit i for QUEEN_WAYS[i], where they go by them; then
        `trips` are `least_trips`, those of the way that takes fewest. Else ().
    """

    trip_s: Ints
    trip_m: Ints
    trip_road_s: Ints
    trips: Ints
    feeding: Ints
    robbing_s: Ints
    alone: NDArray[np.bool_]
    few_splits: int
    few_s: int
    most_yards: int
    over_s: int
    by_ways: tuple[int, ...] = ()
    least_trips: int = 0

    @property
    def cell_s(self) -> Ints:
        """What the trip the day after costs, where ripe cells go in."""
        return np.asarray(self.trip_s + self.trip_road_s)

    @property
    def fixed_s(self) -> Ints:
        """What a yard costs by receiving any split, but for cells, few splits and yards beyond the most."""
        return np.asarray((self.trips + self.feeding) * self.cell_s + self.robbing_s)

    def cells_s(self, room: Ints, cells: int) -> Ints:
        """Least of all trips the day after, for so many ripe cells, by yard that some of them are placed at:
        where it has no room for all, other yards are gone to too."""
        trip_s, found = self.cell_s, np.zeros_like(self.cell_s)
        for y in np.flatnonzero(trip_s) if cells else ():
            others = np.where(np.arange(len(room)) == y, 0, room)
            found[y] = trip_s[y] + least_to_hold(trip_s, others, max(0, cells - int(room[y])))
        return np.minimum(found, NEVER_S)

    def few(self, yard: int, splits: int) -> int:
        """What counts against so many splits in a yard."""
        return self.few_s * max(0, self.few_splits - splits) if self.alone[yard] and splits else 0

    def more_trips(self, yard: int, ways: Collection[str]) -> int:
        """Trips for looks beyond `trips` where splits with these ways to a queen are placed."""
        if not (ways and self.by_ways and self.alone[yard]):
            return 0
        return self.by_ways[sum(1 << QUEEN_WAYS.index(way) for way in set(ways))] - self.least_trips

    def more_s(self, yard: int, ways: Collection[str]) -> int:
        """What these count."""
        return self.more_trips(yard, ways) * int(self.cell_s[yard])

    def with_ways(self, ways: Collection[str]) -> "AfterCosts":
        """The same where splits with these ways to a queen may be placed too."""
        if not self.by_ways:
            return self
        least = min([self.least_trips, *(trips_to_look((way,)) for way in ways)])
        return replace(self, least_trips=least, trips=np.minimum(self.trips, least))

    def over(self, receiving: set[int]) -> int:
        """What counts against so many yards."""
        return self.over_s * max(0, sum(bool(self.alone[z]) for z in receiving) - self.most_yards)


def after_costs(operation: Operation, travel: Travel, surplus: dict[tuple[str, str], Surplus]) -> AfterCosts:
    """Work out what receiving splits costs each yard."""
    later, work, yards = operation.settings.later, Work(operation), operation.yards
    by_queen, asked = later.trips_by_queen, {o.queen for o in operation.orders} or set(QUEEN_WAYS)
    trips = min(trips_to_look((way,)) for way in asked) if by_queen else later.trips
    there, back = travel.drive_s[0, 1:], travel.drive_s[1:, 0]
    metres = travel.drive_m[0, 1:] + travel.drive_m[1:, 0]
    flow = np.array([y.has_flow(operation.day, operation.settings.dearth) for y in yards], dtype=bool)
    alone = np.array([not y.looked_after for y in yards], dtype=bool)
    strong = np.array([_strong(operation, surplus, y.id) for y in yards], dtype=np.int64)
    return AfterCosts(
        trip_s=there + back + work.set_up_s(False) + work.leave_s(False),
        trip_m=metres,
        trip_road_s=np.rint(road_worth_s(operation.settings) * metres).astype(np.int64),
        trips=np.where(alone, trips, 0).astype(np.int64),
        feeding=np.where(alone & ~flow, later.feeding_trips, 0).astype(np.int64),
        robbing_s=np.where(flow, 0, strong * round(60 * later.robbing_min)).astype(np.int64),
        alone=alone,
        few_splits=later.few_splits,
        few_s=round(60 * later.few_min),
        most_yards=later.most_yards,
        over_s=round(60 * later.over_min),
        by_ways=tuple(trips_to_look(of) for of in subsets(QUEEN_WAYS)) if by_queen else (),
        least_trips=trips,
    )


def least_to_hold(cost_s: Ints, room: Ints, splits: int) -> int:
    """Least cost of yards that have room for so many splits together, each at its cost; NEVER_S: they have
    not."""
    least = np.where(np.arange(splits + 1) == 0, 0, NEVER_S)
    for cost, most in zip(cost_s.tolist(), room.tolist(), strict=True):
        if most:
            with_it = least[np.maximum(0, np.arange(splits + 1) - most)] + cost
            least = np.minimum(least, with_it)
    return int(min(least[-1], NEVER_S))


def subsets(ways: Collection[str]) -> list[tuple[str, ...]]:
    """All sets of these ways, the place of each telling by its bits which are in it."""
    return [tuple(w for i, w in enumerate(ways) if n >> i & 1) for n in range(1 << len(ways))]


def _strong(operation: Operation, surplus: dict[tuple[str, str], Surplus], yard: str) -> int:
    """Strong hives of a yard, by their brood."""
    least = operation.settings.limits.strong_from_brood
    counts = [s.count for key, s in surplus.items() if key[0] == yard]
    return sum(c.brood is not None and c.brood >= least - 1e-6 for c in counts)
