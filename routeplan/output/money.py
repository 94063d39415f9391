"""What the plan costs in money, written with two decimals and the currency as it was given."""

from dataclasses import dataclass

from routeplan.operation.settings import MILE_M
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
A_KM, A_MILE = "{km} a kilometre", "{km} a kilometre ({mile} a mile)"


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


def money(day: Day) -> Money | None:
    """Return what the plan costs; None where no price is given. Amounts of nothing are left out."""
    cost, costs = day.plan.cost, day.operation.settings.costs
    if cost is None:
        return None
    parts = (cost.drive, cost.hours, cost.later, cost.queens, cost.combs, cost.sugar)

    def show(value: float) -> str:
        return amount(value, cost.currency)

    a_road = A_MILE if day.units == "mi" else A_KM
    road = a_road.format(km=show(costs.per_km), mile=show(costs.per_km * MILE_M / 1000))
    yards = tuple((yard, show(value)) for yard, value in cost.yards)
    return Money(
        prices=PRICES.format(road=road, hour=show(costs.per_hour)),
        rows=tuple((name, show(value)) for name, value in zip(ROWS, parts, strict=True) if value),
        total=show(cost.total),
        per_split=show(cost.per_split),
        yards=(*yards, ("Drive home", show(cost.home))),
    )
