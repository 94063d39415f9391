"""What a plan costs in the beekeeper's own money, from hours, road and what is used; never from seconds
rounded for the search.
"""

from dataclasses import dataclass

from routeplan.operation.settings import Costs
from routeplan.operation.world import Kit, Operation
from routeplan.plan import After, Cost, Plan, Split
from routeplan.planning.bought import as_made, combs_of, sugar_kg


@dataclass(frozen=True)
class _Money:
    """Prices of a drive and of the crew's time."""

    costs: Costs

    def road(self, metres: float) -> float:
        return metres / 1000 * self.costs.per_km

    def time(self, seconds: float) -> float:
        return seconds / 3600 * self.costs.per_hour

    def trips(self, row: After) -> float:
        """All trips to one yard in the weeks after."""
        n = row.trips + row.feeding_trips + row.cell_trips
        return n * (self.road(row.trip_m) + self.time(row.trip_s))


def cost_of(operation: Operation, plan: Plan) -> Cost | None:
    """Work out what a plan costs.

    Returns
    -------
    Cost with every amount to two decimals, or None when no price is set or nothing is placed. The parts are
    rounded one by one, so they may differ from the total by a hundredth or so.
    """
    costs, totals = operation.settings.costs, plan.totals
    prices = (costs.per_km, costs.per_hour, costs.queen, costs.cell, costs.comb, costs.sugar_kg)
    if not plan.splits or not any(prices):
        return None
    money = _Money(costs)
    drive, hours = money.road(totals.drive_m), money.time(totals.paid_s)
    later = sum(money.trips(row) for row in plan.after)
    queens, combs, sugar = _queens(costs, plan), _combs(operation, plan), _sugar(operation, plan)
    total = drive + hours + later + queens + combs + sugar
    return Cost(
        currency=costs.currency,
        drive=round(drive, 2),
        hours=round(hours, 2),
        later=round(later, 2),
        queens=round(queens, 2),
        combs=round(combs, 2),
        sugar=round(sugar, 2),
        total=round(total, 2),
        per_split=round(total / len(plan.splits), 2),
        home=round(money.road(totals.home_drive_m) + money.time(totals.home_drive_s), 2),
        yards=tuple((yard, round(m, 2)) for yard, m in _by_yard(money, plan).items()),
    )


def _by_yard(money: _Money, plan: Plan) -> dict[str, float]:
    """The drive to each yard's stops, the hours there, and the trips after, in order of first visits."""
    yards: dict[str, float] = {}
    left = plan.totals.leave_home
    for stop in plan.stops:
        here = money.road(stop.drive_m) + money.time(stop.depart - left)
        yards[stop.yard] = yards.get(stop.yard, 0.0) + here
        left = stop.depart
    for row in plan.after:
        yards[row.yard] += money.trips(row)
    return yards


def _queens(costs: Costs, plan: Plan) -> float:
    price = {"mated": costs.queen, "ripe cell": costs.cell}
    return sum(price.get(split.queen, 0.0) for split in plan.splits)


def _combs(operation: Operation, plan: Plan) -> float:
    """Combs that leave home for good; a split that gets no food frames needs as many fewer."""
    combs = sum(
        combs_of(_made_of(operation, plan, s), s.swap, operation.breaks_up(s.order)) for s in plan.splits
    )
    return operation.settings.costs.comb * combs


def _made_of(operation: Operation, plan: Plan, split: Split) -> Kit:
    """The kit of a split as it is made."""
    takes = (t for stop in plan.stops for t in stop.takes if t.split == split.id)
    return as_made(operation.kit(split.kit), takes)


def _sugar(operation: Operation, plan: Plan) -> float:
    """Sugar for all splits where they are placed."""
    price = operation.settings.costs.sugar_kg
    if not price:
        return 0.0
    kilograms = 0.0
    for split in plan.splits:
        kit, yard = _made_of(operation, plan, split), operation.yard(split.to_yard)
        kilograms += sugar_kg(operation, kit, split.queen, split.frame, split.swap, yard)
    return price * kilograms
