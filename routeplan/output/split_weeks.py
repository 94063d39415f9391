"""What the day sheet and the workbook say of each split's weeks: its weakest day, eggs, own bees, sale."""

from dataclasses import dataclass

from routeplan.colony.follow_ups import sale_days
from routeplan.output import measures
from routeplan.output.day import Day
from routeplan.output.fares import Fare, dates, fares, weakest_words


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
    return {split: _weeks(day, fare) for fare in fares(day) for split in fare.colony.splits}


def ready_day(day: Day, way: str) -> str:
    """Write the first day on which a split is ready to sell, by its way to a queen."""
    first, _ = sale_days(way)
    return measures.days_after(day.plan.day, first, first)


def _weeks(day: Day, fare: Fare) -> SplitWeeks:
    times = fare.times
    return SplitWeeks(
        fare=fare,
        weakest=weakest_words(day, fare),
        eggs=dates(day, times.eggs if times else None),
        own_bees=dates(day, times.new_bees if times else None),
        ready=f"from {ready_day(day, fare.colony.way)}, with own brood of all ages",
    )
