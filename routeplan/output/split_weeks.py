"""What the day sheet and the workbook say of each split's weeks: its weakest day, eggs, own bees, sale."""

from dataclasses import dataclass
from datetime import date

from routeplan.colony.follow_ups import sale_days
from routeplan.output import measures
from routeplan.output.day import Day
from routeplan.output.fares import Fare, dates, fares, weakest_words

READY = "from {day}, with own brood of all ages"
ASKED = "; asked for by {day}"


@dataclass(frozen=True)
class SplitWeeks:
    """One split: how weak it gets and when, its first eggs, its own first bees, ready to sell from."""

    fare: Fare
    weakest: str
    eggs: str
    own_bees: str
    ready: str

    @property
    def facts(self) -> tuple[tuple[str, str], ...]:
        """Names and texts, as the sheet shows them."""
        return (
            ("Weakest", self.weakest),
            ("First eggs", self.eggs),
            ("Own first bees", self.own_bees),
            ("Ready to sell", self.ready),
        )


def split_weeks(day: Day) -> dict[str, SplitWeeks]:
    """Return what is said of every split, by its id."""
    asked = {order.id: order.ready_by for order in day.operation.orders}
    orders = {split.id: split.order for split in day.plan.splits}
    return {
        split: _weeks(day, fare, asked.get(orders[split]))
        for fare in fares(day)
        for split in fare.colony.splits
    }


def ready_day(day: Day, way: str) -> str:
    """Write the first day on which a split is ready to sell, by its way to a queen."""
    first, _ = sale_days(way)
    return measures.days_after(day.plan.day, first, first)


def ready_words(day: Day, way: str, asked: date | None) -> str:
    """Say from when on a split is ready to sell, and by when it was asked for."""
    words = READY.format(day=ready_day(day, way))
    return words + (ASKED.format(day=measures.day_words(asked)) if asked else "")


def _weeks(day: Day, fare: Fare, asked: date | None) -> SplitWeeks:
    times = fare.times
    return SplitWeeks(
        fare=fare,
        weakest=weakest_words(day, fare),
        eggs=dates(day, times.eggs if times else None),
        own_bees=dates(day, times.new_bees if times else None),
        ready=ready_words(day, fare.colony.way, asked),
    )
