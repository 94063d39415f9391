"""What the plan costs in money, written with two decimals and the currency as it was given."""

from dataclasses import dataclass

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
PRICES = "At {km} a kilometre and {hour} an hour."
ROUNDED = "Each amount is rounded for itself, so they may differ from the sum by a hundredth or two."


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

    yards = tuple((yard, show(value)) for yard, value in cost.yards)
    return Money(
        prices=PRICES.format(km=show(costs.per_km), hour=show(costs.per_hour)),
        rows=tuple((name, show(value)) for name, value in zip(ROWS, parts, strict=True) if value),
        total=show(cost.total),
        per_split=show(cost.per_split),
        yards=(*yards, ("Drive home", show(cost.home))),
    )
