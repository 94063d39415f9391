"""Boxes of two yards: in what ways a kit may be shared between the yard that begins a box and the one that
completes it.

Only where the settings allow it, for splits that are not split in their own right and whose order fixes no
parents' yard. What one side gives may ride shaken free of bees: then its yard is no parent, and the time shut
in counts from the other.
"""

from itertools import product

from routeplan.colony.halves import Taken
from routeplan.colony.held_kits import holds_with_bare
from routeplan.operation.world import Yard
from routeplan.planning.case import Case
from routeplan.planning.demand import KINDS, QUEEN
from routeplan.planning.order import Order
from routeplan.planning.route import BEGUN, MADE, Route, Way
from routeplan.planning.work import Work, warmest_c

BROOD = (KINDS.index("capped"), KINDS.index("open"), KINDS.index("eggs"))
FOOD, SHAKE = KINDS.index("food"), KINDS.index("shake")


def pools(case: Case) -> bool:
    """Whether boxes of two yards are allowed."""
    return case.operation.settings.limits.yards_per_split >= 2


def may_pool(case: Case, line: int) -> bool:
    """Whether splits of a line may have frames of two yards."""
    batch = case.demand.of(line)
    return pools(case) and batch.hive is None and batch.from_yard is None and sum(case.demand.need(line)) > 1


def begin_s(case: Case, yard: int) -> int:
    """Seconds to carry and load a box that is begun at a yard."""
    place: Yard = case.operation.yards[yard]
    return Work(case.operation).begin_s(place)


def with_bees(case: Case, line: int) -> list[Way]:
    """Ways in which bees of both yards are in a box."""
    need = case.demand.need(line)
    if sum(need) - need[QUEEN] < 2:
        return []
    return [Way(queen=side) for side in (BEGUN, MADE)] if need[QUEEN] else [Way()]


def without_bees(case: Case, line: int, side: str) -> list[Way]:
    """Ways in which one side gives frames only, shaken free of bees, and bees enough come from the other."""
    need = case.demand.need(line)
    kinds = (*BROOD, FOOD)
    ways = []
    for amounts in product(*(range(need[k] + 1) for k in kinds)):
        alone = [0] * len(need)
        for k, n in zip(kinds, amounts, strict=True):
            alone[k] = n
        rest = sum(need) - need[QUEEN] - sum(alone)
        if sum(alone) and rest and _bees_enough(case, line, alone):
            queen = "" if not need[QUEEN] else MADE if side == BEGUN else BEGUN
            ways.append(Way(side, tuple(alone), queen))
    return ways


def _bees_enough(case: Case, line: int, alone: list[int]) -> bool:
    settings, way, made = case.operation.settings, case.demand.of(line).queen, case.demand.lines[line]
    bare = Taken(alone[BROOD[0]], alone[BROOD[1]] + alone[BROOD[2]], alone[FOOD])
    by, today = case.demand.of(line).ready_by, case.operation.day
    days = None if by is None else (by - today).days
    if not holds_with_bare(made.kit, way, made.frame, settings, bare, not made.swap, days):
        return False
    if way != "raise own":
        return True
    need, bees = case.demand.need(line), settings.bees
    left = [n - a for n, a in zip(need, alone, strict=True)]
    riding = bees.per_brood_frame * sum(left[k] for k in BROOD)
    riding += bees.per_food_frame * left[FOOD] + bees.per_shake * left[SHAKE]
    return riding >= settings.limits.own_queen_bees - 1e-6


def bare_brood_s(case: Case) -> int:
    """Most seconds that brood may ride without bees; below zero where it is too cold."""
    limits, warmest = case.operation.settings.limits, warmest_c(case.operation)
    if warmest is not None and warmest < limits.bare_brood_from_c:
        return -1
    return int(60 * limits.bare_brood_min + 1e-6)


def has_brood(way: Way) -> bool:
    """Whether brood rides without bees."""
    return any(way.alone[k] for k in BROOD) if way.alone else False


class Ways:
    """All routes of an order's boxes, for one case."""

    def __init__(self, case: Case) -> None:
        self.case = case
        lines = range(len(case.demand.lines))
        self.both = [with_bees(case, k) if may_pool(case, k) else [] for k in lines]
        self.bare = {
            side: [without_bees(case, k, side) if may_pool(case, k) else [] for k in lines]
            for side in (BEGUN, MADE)
        }
        self.bare_s = bare_brood_s(case)
        self.ride_limited = case.shut_in_s < case.end - case.start

    def routes(self, order: Order, timed: bool = True) -> list[Route]:
        """List what boxes may go through in an order; the ways that others make needless are left out.

        Without times, as if the visits stood in any order: no ride is too long for brood without bees.
        """
        found = []
        visits = range(len(order))
        for k, line in enumerate(self.case.demand.lines):
            batch = self.case.demand.batches[line.batch]
            if not self.case.demand.cap(line.batch):
                continue
            makers = [i for i in visits if order[i].opens and self._gives(order[i].yard, line.frame)]
            for place in visits:
                z = order[place].yard
                if not self.case.room[z] or batch.to_yard not in (None, z):
                    continue
                for j in (j for j in makers if j < place):
                    y = order[j].yard
                    if batch.from_yard in (None, y) and self.case.reach[y, z]:
                        found.append(Route(k, None, j, place))
                    for i in (i for i in makers if i < j and order[i].yard != y):
                        ways = self.ways(k, order[i].yard, y, z, timed)
                        found += [Route(k, i, j, place, w) for w in ways]
        return found

    def _gives(self, yard: int, frame: str) -> bool:
        return any(d.frame == frame for d in self.case.donors[yard])

    def ways(self, line: int, a: int, y: int, z: int, timed: bool) -> list[Way]:
        """Ways for a box of a line begun at a, completed at y, placed at z."""
        far = self.case.travel.far
        ways = list(self.both[line]) if far[a, z] and far[y, z] else []
        if far[y, z] and (not far[a, z] or (timed and self.ride_limited)):
            least = self.case.drive(a + 1, y + 1) + self.case.opening[0]
            in_time = not timed or least <= self.bare_s
            ways += [w for w in self.bare[BEGUN][line] if in_time or not has_brood(w)]
        if far[a, z] and not far[y, z]:
            ways += self.bare[MADE][line]
        return ways
