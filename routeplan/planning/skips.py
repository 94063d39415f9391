"""What falls away if a stop of the plan is left out and the rest is driven as planned: told beforehand, for a
crew that stands at a locked gate without the tables.
"""

from collections import Counter

from routeplan.operation.world import Operation
from routeplan.plan import Plan, Skip, Split, Stop
from routeplan.planning.travel import DISTANCE_TOLERANCE_M, flying_m
from routeplan.planning.work import shut_in_limit_s


def skips_of(operation: Operation, plan: Plan) -> tuple[Skip, ...]:
    """Return one row for each stop that is still to come, in order.

    Boxes left aboard go to the first later stop at which boxes are placed anyway, that is far enough, has
    room, and comes in time; the first in the list of splits choose first.
    """
    done = plan.done.stops if plan.done else 0
    skipping = _Skipping(operation, plan)
    return tuple(skipping.row(n) for n in range(done + 1, len(plan.stops) + 1))


class _Skipping:
    def __init__(self, operation: Operation, plan: Plan) -> None:
        self.operation, self.plan = operation, plan
        self.orders = {o.id: o for o in operation.orders}
        self.yards = {y.id: y for y in operation.yards}
        self.kept = {k.split for k in plan.done.kept} if plan.done else set()
        self.stated = {
            frozenset((p.yard, p.other)): p.flying_m for p in operation.pairs if p.flying_m is not None
        }
        self.tasks = [self._tasks(i) for i in range(len(plan.stops))]
        self.bees = {s.id: self._bees(s) for s in plan.splits}

    def row(self, n: int) -> Skip:
        stop, later = self.plan.stops[n - 1], range(n + 1, len(self.plan.stops) + 1)
        lost = self._fed(n - 1)
        aboard = [s for s in self.plan.splits if s.id in stop.places and s.id not in lost]
        elsewhere = self._elsewhere(n, aboard, lost)
        filled = set(elsewhere.values())
        idle = [m for m in later if m not in filled and self.tasks[m - 1] and self.tasks[m - 1] <= lost]
        return Skip(
            stop=n,
            not_made=tuple(s.id for s in self.plan.splits if s.id in lost),
            aboard=tuple(s.id for s in aboard),
            elsewhere=tuple(elsewhere.items()),
            needless=tuple(idle),
        )

    def _fed(self, i: int) -> set[str]:
        """Splits that get something at a stop, from 0, or need its first passes."""
        stop = self.plan.stops[i]
        set_above = {s.hive for s in stop.sets}
        later = [s for s in self.plan.stops[i + 1 :] if s.yard == stop.yard]
        passed = {t.split for s in later for t in s.takes if t.hive in set_above}
        return {t.split for t in stop.takes} | {*stop.makes} | passed

    def _tasks(self, i: int) -> set[str]:
        """Splits that a stop, from 0, does something for."""
        return self._fed(i) | {*self.plan.stops[i].places}

    def _bees(self, split: Split) -> list[Stop]:
        """The stops whose bees are in a split, the first first."""
        stops = self.plan.stops
        found = [s for s in stops if any(t.split == split.id and t.bees for t in s.takes)]
        return found or [stops[split.made_at - 1]]

    def _elsewhere(self, n: int, aboard: list[Split], lost: set[str]) -> dict[str, int]:
        """By split the number of the later stop it can be placed at; splits without one are not in it."""
        stands = Counter(s.to_yard for s in self.plan.splits if s.id not in lost)
        found: dict[str, int] = {}
        for split in aboard:
            for m in range(n + 1, len(self.plan.stops) + 1):
                stop = self.plan.stops[m - 1]
                room = self.yards[stop.yard].room
                full = room is not None and stands[stop.yard] >= room
                if not full and stop.yard != split.to_yard and self._may_go(split, stop):
                    stands[stop.yard] += 1
                    found[split.id] = m
                    break
        return found

    def _may_go(self, split: Split, stop: Stop) -> bool:
        if stop.opened is None or split.id in self.kept or self.orders[split.order].to_yard is not None:
            return False
        least = self.operation.settings.minimum_distance_m - DISTANCE_TOLERANCE_M
        bees = self.bees[split.id]
        in_time = stop.opened - bees[0].depart <= shut_in_limit_s(self.operation)
        return in_time and all(self._flying_m(b.yard, stop.yard) >= least for b in bees)

    def _flying_m(self, yard: str, other: str) -> float:
        stated = self.stated.get(frozenset((yard, other)))
        if stated is not None:
            return stated
        return flying_m(self.yards[yard].place, self.yards[other].place)
