"""What the plan costs in money, written with two decimals and the currency as it was given."""

from dataclasses import dataclass

from routeplan.operation.units import MILE_KM
from routeplan.output import measures
from routeplan.output.day import Day

ROWS = (
    "Road today",
    "Paid hours today",
    "Trips in the weeks after, road and hours",
    "Queens and cells",
    "Combs from home",
    "Sugar where there is no flow",
)
PRICES = "At {road} and {hour} an hour."
A_KM, A_MILE = "{amount} a kilometre", "{amount} a mile"
SUGAR = "{name}, {weight}"


@dataclass(frozen=True)
class Money:
    """Amounts ready to be shown: by kind, the sum, for one split, and for each yard."""

    prices: str
    rows: tuple[tuple[str, str], ...]
    total: str
    per_split: str
    yards: tuple[tuple[str, str], ...]


def amount(value: float, currency: str) -> str:
    """Write an amount: "57.12 EUR", or "57.12" where no currency is given."""
    text = f"{value:,.2f}".replace(",", measures.HARD)
    return f"{text}{measures.HARD}{currency}" if currency else text


def _names(day: Day) -> tuple[str, ...]:
    """Return the names of the amounts; that of sugar says how much sugar it is."""
    cost, costs = day.plan.cost, day.operation.settings.costs
    if cost is None or not cost.sugar or not costs.sugar_kg:
        return ROWS
    weight = measures.weight(cost.sugar / costs.sugar_kg, day.operation.settings.weight)
    return (*ROWS[:-1], SUGAR.format(name=ROWS[-1], weight=weight))


def money(day: Day) -> Money | None:
    """Return what the plan costs; None where no price is given. Amounts of nothing are left out."""
    cost, costs = day.plan.cost, day.operation.settings.costs
    if cost is None:
        return None
    parts = (cost.drive, cost.hours, cost.later, cost.queens, cost.combs, cost.sugar)

    def show(value: float) -> str:
        return amount(value, cost.currency)

    in_miles = day.units == "mi"
    a_road = A_MILE if in_miles else A_KM
    road = a_road.format(amount=show(costs.per_km * (MILE_KM if in_miles else 1)))
    yards = tuple((yard, show(value)) for yard, value in cost.yards)
    return Money(
        prices=PRICES.format(road=road, hour=show(costs.per_hour)),
        rows=tuple((name, show(value)) for name, value in zip(_names(day), parts, strict=True) if value),
        total=show(cost.total),
        per_split=show(cost.per_split),
        yards=(*yards, ("Drive home", show(cost.home))),
    )
