"""A plan beside its operation, looked up by name; whatever does not exist is left out here (see form)."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from routeplan.audit.hives import Strength, on_the_day
from routeplan.audit.roads import Roads
from routeplan.operation.world import Hive, Kit, Operation, Order, Yard
from routeplan.plan import Plan, Split, Stop, Take

Key = tuple[str, str]
FRAMES = ("capped", "open", "eggs", "mixed", "food")
TAKEN = (*FRAMES, "shake", "queen")
WAYS = ("look", "hunt", "supers", "excluder")


@dataclass(frozen=True)
class Case:
    """Operation and plan, with what every rule asks of them. Stops count from 1."""

    operation: Operation
    plan: Plan
    roads: Roads = field(compare=False)

    @cached_property
    def yards(self) -> dict[str, Yard]:
        return {y.id: y for y in self.operation.yards}

    @cached_property
    def hives(self) -> dict[Key, Hive]:
        return {h.key: h for h in self.operation.hives}

    @cached_property
    def strengths(self) -> dict[Key, Strength]:
        """What stands in each hive on the day."""
        return {h.key: on_the_day(h, self.operation.day) for h in self.operation.hives}

    @cached_property
    def orders(self) -> dict[str, Order]:
        return {o.id: o for o in self.operation.orders}

    @cached_property
    def kits(self) -> dict[str, Kit]:
        return {k.name: k for k in self.operation.kits}

    @cached_property
    def own_right(self) -> dict[Key, Order]:
        """Hives split in their own right, with the order that names them."""
        return {(o.from_yard, o.hive): o for o in self.operation.orders if o.from_yard and o.hive}

    def takes_of(self, stop: Stop, hive: str) -> Counter[str]:
        """What one hive gives at a stop, by kind."""
        found: Counter[str] = Counter()
        for take in stop.takes:
            if take.hive == hive and take.kind in TAKEN:
                found[take.kind] += take.frames
        return found

    @cached_property
    def splits(self) -> dict[str, Split]:
        return {s.id: s for s in self.plan.splits}

    @cached_property
    def made(self) -> dict[str, int]:
        """Number of the stop where each split is made."""
        return {s: i for i, stop in reversed(self.numbered) for s in stop.makes}

    @cached_property
    def placed(self) -> dict[str, int]:
        """Number of the stop where each split is placed."""
        return {s: i for i, stop in reversed(self.numbered) for s in stop.places}

    @cached_property
    def begun(self) -> dict[str, int]:
        """Number of the stop where each split of two yards is begun."""
        return {s: i for i, stop in reversed(self.numbered) for s in stop.begins}

    @cached_property
    def with_bees(self) -> dict[str, list[int]]:
        """Numbers of the stops whose bees are in each split, in order; where it is made if none are said."""
        found: dict[str, set[int]] = {s: set() for s in self.splits}
        for i, _, take in self.takes():
            if (
                take.split in found
                and take.bees
                and i in (self.begun.get(take.split), self.made.get(take.split))
            ):
                found[take.split].add(i)
        return {s: sorted(stops or {self.made[s]}) for s, stops in found.items() if s in self.made}

    @property
    def done_stops(self) -> int:
        """Stops of a plan made in mid-day that are done."""
        return self.plan.done.stops if self.plan.done else 0

    @cached_property
    def given_back(self) -> dict[str, int]:
        """Boxes that were begun and go back without being splits, each with the stop that brings it: the
        first to come in its yard that only brings back; one past the last where there is none."""
        kept = {k.split: k.yard for k in self.plan.done.kept} if self.plan.done else {}
        found = {}
        for box in kept.keys() - self.splits.keys():
            brings = (
                i
                for i, stop in self.numbered
                if i > self.done_stops
                and stop.yard == kept[box]
                and not (stop.makes or stop.begins or stop.takes)
                and kept.keys() >= set(stop.places)
            )
            found[box] = next(brings, len(self.plan.stops) + 1)
        return found

    @property
    def numbered(self) -> list[tuple[int, Stop]]:
        """The stops with their numbers."""
        return list(enumerate(self.plan.stops, 1))

    def takes(self) -> Iterator[tuple[int, Stop, Take]]:
        """Every take of a known kind from a known hive."""
        for i, stop in self.numbered:
            for take in stop.takes:
                if (stop.yard, take.hive) in self.hives and take.kind in TAKEN:
                    yield i, stop, take

    @cached_property
    def gives(self) -> dict[Key, Counter[str]]:
        """What each hive gives on the day, by kind."""
        found: dict[Key, Counter[str]] = {}
        for _, stop, take in self.takes():
            found.setdefault((stop.yard, take.hive), Counter())[take.kind] += take.frames
        return found

    @cached_property
    def received(self) -> dict[str, Counter[str]]:
        """What each split receives, by kind."""
        found: dict[str, Counter[str]] = {s: Counter() for s in self.splits}
        for _, _, take in self.takes():
            if take.split in found:
                found[take.split][take.kind] += take.frames
        return found

    def combs_from_home(self, split: Split) -> int:
        """Combs that one split takes from home: to fill its box, and to put back into its donors."""
        kit, order = self.kits.get(split.kit), self.orders.get(split.order)
        if kit is None:
            return 0
        if order is not None and order.break_up:  # nothing is put back into its hive
            return kit.combs - frames_out(self.received[split.id])
        return kit.combs - (kit.food if split.swap else 0)

    @cached_property
    def donors(self) -> dict[str, set[Key]]:
        """The hives each split has frames or bees from."""
        found: dict[str, set[Key]] = {s: set() for s in self.splits}
        for _, stop, take in self.takes():
            if take.split in found:
                found[take.split].add((stop.yard, take.hive))
        return found

    def journeys(self) -> Iterator[tuple[Split, Stop, Stop]]:
        """Every split with the stop that makes it and the stop that places it."""
        for split in self.splits.values():
            if split.id in self.made and split.id in self.placed:
                yield (
                    split,
                    self.plan.stops[self.made[split.id] - 1],
                    self.plan.stops[self.placed[split.id] - 1],
                )


def frames_out(give: Counter[str]) -> int:
    """Count the frames (not shakes) in what is given."""
    return sum(give[kind] for kind in FRAMES)


def named(key: Key) -> str:
    """Write a hive as people say it."""
    return f"hive {key[1]} at {key[0]}"


def sure_of_frames(operation: Operation) -> bool:
    """Whether frames may leave a hive whose queen stays: in one visit, or in two with excluders."""
    sure, excluder = operation.settings.sure, operation.settings.excluder
    in_two = excluder.allowed and operation.settings.limits.visits_per_yard >= 2
    return sure.look or sure.hunt or (in_two and (operation.counted("excluder") or 0) >= 1)
