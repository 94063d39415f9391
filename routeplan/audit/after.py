"""R14 and R13 beside the clock: trips in the weeks after, what counts against a plan, what counts in all."""

from collections import Counter
from collections.abc import Iterator
from itertools import combinations

from routeplan.audit import work
from routeplan.audit.case import Case
from routeplan.audit.feed import sugar_kg
from routeplan.audit.figures import figure
from routeplan.audit.hives import EPS
from routeplan.audit.roads import metre_s
from routeplan.audit.times import drives
from routeplan.audit.violation import Violation
from routeplan.operation.world import Yard
from routeplan.plan import After, Split

ROUNDING_M = 0.01
"""Metres that two good formulas may differ by."""
LOOKS = {
    "raise own": ((7, 7), (28, 28), (42, 49)),
    "ripe cell": ((18, 21), (30, 37)),
    "mated": ((4, 4), (10, 10), (21, 25)),
    "parent's": ((7, 7), (21, 25)),
    "own cells": ((18, 21), (30, 37)),
}
"""First and last day after the splitting day of what somebody comes for, by way to a queen; cells apart."""


def after(case: Case) -> Iterator[Violation]:
    """R14: every yard that receives splits has its trips in the weeks after, exactly."""
    stated = {a.yard: a for a in case.plan.after}
    right = {a.yard: a for a in rows(case)}
    yield from _once_in_order(case, list(right))
    for yard in sorted(stated.keys() | right.keys()):
        if yard not in right or yard not in stated:
            how = "receives nothing" if yard not in right else "is not listed"
            yield Violation("R14", f"the weeks after: {yard} {how}", 1, "yard", (yard,))
            continue
        a, b = stated[yard], right[yard]
        for what, said, is_so, unit in (
            ("splits", a.splits, b.splits, "splits"),
            ("trips", a.trips, b.trips, "trips"),
            ("trips to feed", a.feeding_trips, b.feeding_trips, "trips"),
            ("trips with cells", a.cell_trips, b.cell_trips, "trips"),
            ("counted against few splits", a.few_s, b.few_s, "s"),
            ("counted against strong hives", a.robbing_s, b.robbing_s, "s"),
        ):
            yield from _r14(figure(f"the weeks after at {yard}: {what}", said, is_so, unit, (yard,)))
        yield from _r14(figure(f"the weeks after at {yard}: a trip", a.trip_s, b.trip_s, "s", (yard,)))
        if a.trip_m not in _metres(case, yard):
            yield from _r14(figure(f"the weeks after at {yard}: a trip", a.trip_m, b.trip_m, "m", (yard,)))


def _once_in_order(case: Case, receiving: list[str]) -> Iterator[Violation]:
    """Each yard is listed once, in the order in which they first receive splits."""
    listed = [a.yard for a in case.plan.after]
    for yard, times in Counter(listed).items():
        if times > 1:
            text = f"the weeks after: {yard} is listed {times} times, not once"
            yield Violation("R14", text, times - 1, "times", (yard,))
    if sorted(listed) == sorted(receiving) and listed != receiving:
        text = f"the weeks after: the yards stand as {', '.join(listed)}, "
        yield Violation("R14", f"{text}they receive as {', '.join(receiving)}", 1, "list")


def _metres(case: Case, yard: str) -> set[int]:
    """Whole metres there and back; each way may fall on either side of a half by another formula."""
    out_m, back_m = case.roads.cheapest(None, yard)[1], case.roads.cheapest(yard, None)[1]
    slips = (-ROUNDING_M, ROUNDING_M)
    return {round(out_m + a) + round(back_m + b) for a in slips for b in slips}


def _r14(found: Iterator[Violation]) -> Iterator[Violation]:
    for v in found:
        yield Violation("R14", v.what, v.amount, v.unit, v.where)


def rows(case: Case) -> Iterator[After]:
    """Yield what each receiving yard costs in the weeks after, from the stops alone, in their order."""
    for yard_id in dict.fromkeys(stop.yard for stop in case.plan.stops if stop.places):
        here = [s for stop in case.plan.stops if stop.yard == yard_id for s in stop.places]
        splits = [case.splits[s] for s in here if s in case.splits]
        if splits and yard_id in case.yards:
            yield _row(case, case.yards[yard_id], splits)


def _row(case: Case, yard: Yard, splits: list[Split]) -> After:
    operation, later = case.operation, case.operation.settings.later
    (out_s, out_m), (back_s, back_m) = (
        case.roads.cheapest(None, yard.id),
        case.roads.cheapest(yard.id, None),
    )
    flow = yard.has_flow(operation.day, operation.settings.dearth)
    alone = not yard.looked_after
    few = max(0, later.few_splits - len(splits)) if alone else 0
    strong = 0 if flow else _strong_hives(case, yard)
    return After(
        yard=yard.id,
        splits=len(splits),
        trips=(_looks(splits) if later.trips_by_queen else later.trips) if alone else 0,
        feeding_trips=later.feeding_trips if alone and not flow else 0,
        cell_trips=int(any(s.queen == "ripe cell" for s in splits)),
        trip_s=out_s + back_s + work.set_up_s(operation, False) + work.leave_s(operation, False),
        trip_m=round(out_m) + round(back_m),
        few_s=few * round(60 * later.few_min),
        robbing_s=strong * round(60 * later.robbing_min),
    )


def _looks(splits: list[Split]) -> int:
    """Fewest days on which all looks at these splits can be made."""
    spans = [span for s in splits for span in LOOKS.get(s.queen, ())]
    ends = sorted({last for _, last in spans})
    return next(
        n
        for n in range(len(ends) + 1)
        if any(all(any(a <= day <= b for day in days) for a, b in spans) for days in combinations(ends, n))
    )


def _strong_hives(case: Case, yard: Yard) -> int:
    least = case.operation.settings.limits.strong_from_brood
    brood = [case.strengths[h.key].brood for h in case.operation.hives if h.yard == yard.id]
    return sum(b is not None and b >= least - EPS for b in brood)


def counted(case: Case) -> Iterator[Violation]:
    """R13: what counts is paid time, the trips after and what counts against the plan, less what is due."""
    t = case.plan.totals
    listed = [a for a in case.plan.after if a.yard in case.yards]
    trips = {a.yard: a.trips + a.feeding_trips + a.cell_trips for a in listed}
    rights = (
        ("the trips after", t.later_s, sum(trips[a.yard] * a.trip_s for a in listed)),
        ("what counts against it", t.against_s, _against_s(case, listed)),
        ("hives that are due anyway", t.due_s, _due_s(case)),
        ("what the road is worth", t.road_s, _road_s(case, listed, trips)),
        ("what queens, combs and sugar are worth", t.stuff_s, _stuff_s(case)),
        (
            "all that counts",
            t.counted_s,
            t.paid_s + t.later_s + t.against_s - t.due_s + t.road_s + t.stuff_s,
        ),
    )
    for what, stated, right in rights:
        yield from figure(f"the whole day: {what}", stated, right, "s")


def _against_s(case: Case, listed: list[After]) -> int:
    later, swaps = case.operation.settings.later, case.operation.settings.swaps
    alone = sum(not case.yards[a.yard].looked_after for a in listed)
    swapped = sum(s.swap != "" for s in case.splits.values())
    mixed = sum(take.frames for _, _, take in case.takes() if take.kind == "mixed")
    total = sum(a.few_s + a.robbing_s for a in listed)
    total += max(0, alone - later.most_yards) * round(60 * later.over_min)
    return total + (swapped + mixed) * round(60 * swaps.minutes)


def _due_s(case: Case) -> int:
    total = 0
    for stop in case.plan.stops:
        for name, way in stop.ways:
            hive = case.hives.get((stop.yard, name))
            if hive is not None and (hive.due or case.yards[stop.yard].due):
                total += work.due_s(case.operation, hive, way)
    return total


def _road_s(case: Case, listed: list[After], trips: dict[str, int]) -> int:
    worth = metre_s(case.operation)
    if not case.plan.stops:
        return 0
    day = sum(round(worth * metres) for _, _, _, metres in drives(case))
    return day + sum(trips[a.yard] * round(worth * a.trip_m) for a in listed)


def _stuff_s(case: Case) -> int:
    settings = case.operation.settings
    costs = settings.costs
    if settings.objective != "money" or costs.per_hour <= 0:
        return 0
    total = 0
    for split, _, placed in case.journeys():
        money = {"mated": costs.queen, "ripe cell": costs.cell}.get(split.queen, 0.0)
        money += costs.comb * case.combs_from_home(split)
        yard = case.yards.get(placed.yard)
        if yard is not None and costs.sugar_kg:
            money += costs.sugar_kg * sugar_kg(case, split, yard)
        total += round(money * 3600 / costs.per_hour)
    return total
