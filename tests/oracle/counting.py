"""What counts beside the day's seconds: the weeks after, what stands against a yard, things used up."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import timedelta
from importlib import import_module

from routeplan.operation.world import Operation, Yard
from tests.oracle import lengths, roads
from tests.oracle.asked import EPS, Box, combs
from tests.oracle.colonies import colony
from tests.oracle.roads import HOME

feed = import_module("routeplan.audit.feed")
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class After:
    """Counted seconds of one yard that receives splits.

    `fixed_s` as soon as there is one, `cell_s` more when one of them gets a ripe cell, `few_s` for every
    split under `few_splits`. `alone`: nobody comes by anyway.
    """

    fixed_s: int
    cell_s: int
    few_s: int
    few_splits: int
    alone: bool
    by_queen: bool = False

    def counted_s(self, ways: Collection[str]) -> int:
        """Seconds with splits of these ways to a queen, each way as often as it is placed."""
        if not ways:
            return 0
        few = self.few_s * max(0, self.few_splits - len(ways))
        cells = self.cell_s if "ripe cell" in ways else 0
        return self.fixed_s + self.looks_s(ways) + few + cells

    def looks_s(self, ways: Collection[str]) -> int:
        """Seconds of the trips for looks where these go by the ways to a queen."""
        return self.cell_s * looks(ways) if self.by_queen and self.alone else 0


DAYS = {
    "raise own": [{7}, {28}, set(range(42, 50))],
    "ripe cell": [set(range(18, 22)), set(range(30, 38))],
    "mated": [{4}, {10}, set(range(21, 26))],
    "parent's": [{7}, set(range(21, 26))],
    "own cells": [set(range(18, 22)), set(range(30, 38))],
}
"""Days on one of which somebody comes, once for each set, by way to a queen."""


def looks(ways: Collection[str]) -> int:
    """Fewest days that meet all sets: day by day, coming when a set ends that was not met."""
    trips, open_ = 0, [days for way in set(ways) for days in DAYS[way]]
    for day in range(60):
        if any(max(days) == day for days in open_):
            trips, open_ = trips + 1, [days for days in open_ if day not in days]
    return trips


def after(operation: Operation, yard: Yard) -> After:
    """Work out what splits cost one yard in the weeks after."""
    later, settings = operation.settings.later, operation.settings
    there, back = (HOME, yard.id), (yard.id, HOME)
    ways = roads.roads(operation)
    metres = round(ways[there].metres) + round(ways[back].metres)
    placing = lengths.set_up_s(operation, False) + lengths.leave_s(operation, False)
    trip_s = ways[there].seconds + ways[back].seconds + placing
    trip_s += round(roads.metre_s(operation) * metres)
    alone, flow = not yard.looked_after, yard.has_flow(operation.day, settings.dearth)
    by_queen = later.trips_by_queen
    trips = (later.trips if alone and not by_queen else 0) + (
        later.feeding_trips if alone and not flow else 0
    )
    robbing_s = 0 if flow else round(60 * later.robbing_min) * _strong(operation, yard)
    few_s = round(60 * later.few_min) if alone else 0
    return After(trips * trip_s + robbing_s, trip_s, few_s, later.few_splits, alone, by_queen)


def _strong(operation: Operation, yard: Yard) -> int:
    """Strong hives of a yard by their brood, healthy or not."""
    there = [colony(operation, h).brood for h in operation.hives if h.yard == yard.id]
    least = operation.settings.limits.strong_from_brood
    return sum(brood is not None and brood >= least - EPS for brood in there)


def over_s(operation: Operation, yards_alone: int) -> int:
    """Seconds against so many receiving yards that nobody looks after."""
    later = operation.settings.later
    return round(60 * later.over_min) * max(0, yards_alone - later.most_yards)


def swap_s(operation: Operation) -> int:
    """Seconds against each swap: a split without food frames of hives, or one mixed frame."""
    return round(60 * operation.settings.swaps.minutes)


def stuff_s(operation: Operation, box: Box, swap: str, yard: Yard) -> int:
    """Seconds that queen, combs and sugar of one split are worth where money counts."""
    settings, costs = operation.settings, operation.settings.costs
    if settings.objective != "money":
        return 0
    queen = {"mated": costs.queen, "ripe cell": costs.cell}.get(box.queen, 0.0)
    hungry = not yard.has_flow(operation.day, settings.dearth)
    each = costs.sugar_per_split_kg
    sugar = costs.sugar_kg * (sugar_kg(operation, box, swap, yard) if each is None else each * hungry)
    return round((queen + costs.comb * combs(box, swap) + sugar) * 3600 / costs.per_hour)


def sugar_kg(operation: Operation, box: Box, swap: str, yard: Yard) -> float:
    """Sugar that a split of the box's kit needs at a yard, by the audit's plain loop.

    Raises ValueError where hives of several formats would each need so much of their own.
    """
    (frame,) = {h.frame for h in operation.hives}
    settings, kit = operation.settings, box.kit
    days = range(1, settings.feed.until_days + 1)
    flow = tuple(yard.has_flow(operation.day + timedelta(day), settings.dearth) for day in days)
    food, comb = (0 if swap else kit.food), (kit.food if swap == "food comb" else 0)
    frames = (kit.capped, kit.open, food, kit.shakes)
    return float(feed.needed(frames, comb, box.queen, frame, kit.combs, flow, settings))


def queens(operation: Operation, way: str) -> int | None:
    """How many bought queens or cells can be used; None: no limit."""
    if way == "mated":
        return operation.counted("mated queen", on=operation.day)
    if way == "ripe cell":
        return operation.counted("ripe cell", on=operation.day + ONE_DAY)
    return None


def needs_fence(yard: Yard) -> bool:
    """Whether bears come to a yard where no fence is known to stand."""
    return yard.bear and yard.fence is not True
