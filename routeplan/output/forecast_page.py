"""The page of how colonies fare: one HTML file that needs nothing from outside and no script."""

from dataclasses import dataclass

from routeplan.output import measures
from routeplan.output.chart import Chart, charts
from routeplan.output.day import Day
from routeplan.output.fares import (
    Fare,
    back_words,
    dates,
    expected_words,
    halves,
    way_words,
    weakest_words,
)
from routeplan.output.feeding import of_one
from routeplan.output.forecast_said import notes
from routeplan.output.split_weeks import READY, ready_day
from routeplan.output.templating import filled
from routeplan.output.told import Told

NOT_AN_INSPECTION = (
    "A forecast is no inspection: it tells which boxes to look at first. What you find in the hive decides."
)
WEAKEST_OF_ALL = "Weakest of all: {name}, {weakest}."
SWARM = {
    "low": "little",
    "some": "some: crowded, or full of brood; look for queen cells",
    "high": "much: crowded and full of brood; give room and look for queen cells",
}


@dataclass(frozen=True)
class Card:
    """One colony on the page, or splits alike: its drawing and what is said of it."""

    name: str
    about: str
    facts: tuple[tuple[str, str], ...]
    chart: Chart


def forecast_page(told: Told) -> str:
    """Return the page as one self-contained HTML text; the same operation and plan give the same text."""
    day, fares = told.day, told.fares
    drawn = charts(day, fares, told.ahead)
    cards = [_card(told, fare, drawing) for fare, drawing in zip(fares, drawn, strict=True)]
    return filled(
        "forecast.html.j2",
        day_words=measures.day_words(day.plan.day, year=True),
        head=tuple(line for line in (expected_words(day), _weakest_of_all(day, fares)) if line),
        caution=NOT_AN_INSPECTION,
        splits=[card for card, fare in zip(cards, fares, strict=True) if fare.colony.is_split],
        donors=[card for card, fare in zip(cards, fares, strict=True) if not fare.colony.is_split],
        notes=notes(day, fares),
        moves=told.moves,
    )


def _weakest_of_all(day: Day, fares: tuple[Fare, ...]) -> str:
    splits = [fare for fare in fares if fare.colony.is_split]
    if not splits:
        return ""
    least = min(splits, key=lambda fare: fare.weakest)
    return WEAKEST_OF_ALL.format(name=least.colony.name, weakest=weakest_words(day, least))


def _card(told: Told, fare: Fare, drawn: Chart) -> Card:
    day = told.day
    own = _of_split(day, fare) if fare.colony.is_split else _of_donor(day, fare)
    weakest = (
        ("Bees on the evening", f"{halves(fare.now)} frames"),
        ("Weakest", weakest_words(day, fare)),
    )
    unfed = halves(fare.unfed)
    dry = (("Weakest, not fed", f"{unfed} frames"),) if unfed != halves(fare.weakest) else ()
    syrup = of_one(day, told.fed, fare.colony.name)
    feed = (("Feed", syrup),) if syrup else ()
    lays = (("Laying queen", _chance(fare.colony.chance)),) if fare.colony.chance is not None else ()
    about = f"{way_words(fare)}, at {fare.colony.yard}" if fare.colony.is_split else way_words(fare)
    return Card(fare.colony.name, about, (*weakest, *dry, *lays, *own, *feed), drawn)


def _chance(chance: float) -> str:
    return f"about {round(100 * chance)} in 100, without further help"


def _of_split(day: Day, fare: Fare) -> tuple[tuple[str, str], ...]:
    return (
        (f"{halves(fare.goal)} frames for good", back_words(day, fare)),
        ("Ready to sell", READY.format(day=ready_day(day, fare.colony.way))),
    )


def _of_donor(day: Day, fare: Fare) -> tuple[tuple[str, str], ...]:
    return (
        ("As strong as before", f"{halves(fare.goal)} frames for good {back_words(day, fare)}"),
        ("Flow", _flow(day, fare)),
        ("Swarming in three weeks", SWARM[fare.pressure]),
    )


def _flow(day: Day, fare: Fare) -> str:
    """Say when the flow comes and how strong the hive meets it."""
    if fare.flow_day is None:
        return "none in sight"
    when = "on already" if fare.flow_day <= 1 else f"from {dates(day, (fare.flow_day, fare.flow_day))}"
    return f"{when}, met with {halves(fare.flow_bees)} frames of bees"
