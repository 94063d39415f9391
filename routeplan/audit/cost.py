"""R13 for money and for other plans: what is said to be paid is, and other plans name yards that exist."""

from collections.abc import Iterator

from routeplan.audit.case import Case
from routeplan.audit.feed import sugar_kg
from routeplan.audit.violation import Violation
from routeplan.operation.settings import Costs
from routeplan.plan import Alternative, Cost, Stop

CENT = 0.01 + 1e-6
"""How far money with two decimals may be from the exact amount; some more for sums in binary fractions."""


def cost(case: Case) -> Iterator[Violation]:
    """R13: the money is hours, road and what is used at their prices; other plans name known yards.

    Every amount is held against the exact one, so that the yards and the drive home come to the day and the
    trips after. Hours, metres and trips are those of the plan, which other rules judge.
    """
    stated = case.plan.cost
    is_due = bool(case.splits) and _has_price(case.operation.settings.costs)
    if stated is not None and not is_due:
        why = "no price is set" if case.splits else "no split is placed"
        yield Violation("R13", f"the cost is given as {stated.total:.2f}, but {why}", stated.total, "money")
    elif stated is None and is_due:
        yield Violation("R13", "prices are set, but the cost is not given", 1, "entry")
    elif stated is not None:
        yield from _parts(case, stated)
        yield from _yards(case, stated)
    for other in case.plan.alternatives:
        yield from _known(case, other)


def _has_price(costs: Costs) -> bool:
    prices = (costs.per_km, costs.per_hour, costs.queen, costs.cell, costs.comb, costs.sugar_kg)
    return any(price > 0 for price in prices)


def _parts(case: Case, stated: Cost) -> Iterator[Violation]:
    """Each kind of money of the whole day, and all of it."""
    costs, totals = case.operation.settings.costs, case.plan.totals
    metres = sum(stop.drive_m for stop in case.plan.stops) + totals.home_drive_m
    exact = {
        "the road": (stated.drive, costs.per_km * metres / 1000),
        "the hours": (stated.hours, costs.per_hour * (totals.back_home - totals.leave_home) / 3600),
        "the trips after": (stated.later, sum(_after(case).values())),
        "queens and cells": (stated.queens, _queens(case)),
        "combs": (stated.combs, _combs(case)),
        "sugar": (stated.sugar, _sugar(case)),
    }
    total = sum(right for _, right in exact.values())
    exact["the whole day"] = (stated.total, total)
    exact["one split"] = (stated.per_split, total / len(case.splits))
    home = _drive_and_time(costs, totals.home_drive_m, totals.home_drive_s)
    exact["the drive home"] = (stated.home, home)
    for what, (said, right) in exact.items():
        yield from _money(what, said, right)
    if stated.currency != costs.currency:
        text = f"the cost is in {stated.currency or 'no currency'}, "
        yield Violation("R13", f"{text}the settings say {costs.currency or 'none'}", 1, "entry")


def _money(what: str, said: float, right: float, *where: str) -> Iterator[Violation]:
    """Compare an amount of money with the exact one; what is no number at all is wrong too."""
    if not abs(said - right) <= CENT:
        off, how = abs(said - right), "much" if said > right else "little"
        text = f"the cost of {what} is given as {said:.2f}, it comes to {right:.2f}: {off:.2f} too {how}"
        yield Violation("R13", text, off, "money", where)


def _drive_and_time(costs: Costs, metres: float, seconds: float) -> float:
    return costs.per_km * metres / 1000 + costs.per_hour * seconds / 3600


def _after(case: Case) -> dict[str, float]:
    """Money for all trips to each yard in the weeks after."""
    costs = case.operation.settings.costs
    return {
        row.yard: (row.trips + row.feeding_trips + row.cell_trips)
        * _drive_and_time(costs, row.trip_m, row.trip_s)
        for row in case.plan.after
    }


def _queens(case: Case) -> float:
    costs, ways = case.operation.settings.costs, [split.queen for split in case.splits.values()]
    return costs.queen * ways.count("mated") + costs.cell * ways.count("ripe cell")


def _combs(case: Case) -> float:
    """Combs that go out in the boxes; where something stands in for food frames, as many fewer."""
    combs = sum(case.combs_from_home(split) for split in case.splits.values())
    return case.operation.settings.costs.comb * combs


def _sugar(case: Case) -> float:
    """Sugar for each split where it is placed."""
    kilograms = 0.0
    for split, _, placed in case.journeys():
        if placed.yard in case.yards:
            kilograms += sugar_kg(case, split, case.yards[placed.yard])
    return kilograms * case.operation.settings.costs.sugar_kg


def _yards(case: Case, stated: Cost) -> Iterator[Violation]:
    """Each yard visited costs the drives to it, the time until it is left, and the trips after."""
    exact = {stop.yard: 0.0 for stop in case.plan.stops}
    for before, stop in zip((None, *case.plan.stops), case.plan.stops, strict=False):
        exact[stop.yard] += _visit(case, before, stop)
    for yard, money in _after(case).items():
        if yard in exact:
            exact[yard] += money
    said = dict(stated.yards)
    for yard in sorted(exact.keys() | said.keys()):
        if yard not in exact or yard not in said:
            fault = "is given and the yard not visited" if yard in said else "is not given"
            yield Violation("R13", f"the cost of {yard} {fault}", 1, "yard", (yard,))
        else:
            yield from _money(yard, said[yard], exact[yard], yard)
    if len(said) < len(stated.yards):
        text = "the cost of a yard is given more than once"
        yield Violation("R13", text, len(stated.yards) - len(said), "yards")


def _visit(case: Case, before: Stop | None, stop: Stop) -> float:
    left = case.plan.totals.leave_home if before is None else before.depart
    return _drive_and_time(case.operation.settings.costs, stop.drive_m, stop.depart - left)


def _known(case: Case, other: Alternative) -> Iterator[Violation]:
    """Another plan names yards that exist, and drives to those it uses and to none it does without."""
    used = dict.fromkeys((*(y for y, _ in other.receiving), *(y for y, _ in other.giving)))
    for yard in dict.fromkeys((*other.without, *used, *other.stops)):
        if yard not in case.yards:
            text = f"the other plan ({other.differs}) names {yard}, no yard is called that"
            yield Violation("R13", text, 1, "yard", (yard,))
    for yard in used:
        if yard not in other.stops:
            text = f"the other plan ({other.differs}) uses {yard} and does not drive there"
            yield Violation("R13", text, 1, "yard", (yard,))
    for yard in other.without:
        if yard in other.stops:
            text = f"the other plan ({other.differs}) is said to do without {yard} and drives there"
            yield Violation("R13", text, 1, "yard", (yard,))
