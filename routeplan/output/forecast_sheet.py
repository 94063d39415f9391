"""Sheets of the workbook for how each split and each hive that gave fares, and what is fed."""

from routeplan.colony.feed import syrup_for
from routeplan.operation.units import POUND_KG
from routeplan.output import measures
from routeplan.output.day import Day
from routeplan.output.fares import Fare, back_words, dates, fares, way_words, weakest_when
from routeplan.output.feeding import feedings
from routeplan.output.sheet import Cell, Sheet, table


def how_they_fare(day: Day) -> Sheet:
    """Return a row for every split, those alike together, and every hive that gave; frames to the half."""
    return table(
        fares(day),
        {
            "which": lambda f: f.colony.name,
            "yard": lambda f: f.colony.yard,
            "queen": way_words,
            "bees on the evening, frames": lambda f: _half(f.now),
            "weakest, frames": lambda f: _half(f.weakest),
            "at the least": lambda f: _half(f.low),
            "at the most": lambda f: _half(f.high),
            "should have": lambda f: _half(f.floor),
            "weakest when": lambda f: weakest_when(day, f),
            "weakest if not fed, frames": lambda f: _half(f.unfed),
            "first eggs": lambda f: _dates(day, f, "eggs"),
            "own first bees": lambda f: _dates(day, f, "new_bees"),
            "strong again, frames": lambda f: _half(f.goal),
            "strong again when": lambda f: back_words(day, f),
            "laying queen, of 100": lambda f: _hundred(f.colony.chance),
        },
    )


def what_is_fed(day: Day) -> Sheet:
    """Return a row for every colony, or splits alike, and day on which it is fed."""
    syrup = syrup_for(day.operation.settings.season)
    unit = day.operation.settings.weight
    one = POUND_KG if unit == "lb" else 1.0
    return table(
        feedings(day),
        {
            "when": lambda f: measures.days_after(day.plan.day, f.day, f.day),
            "yard": lambda f: f.yard,
            "which": lambda f: f.named.name,
            f"{syrup.name} syrup each, litres": lambda f: f.litres_each,
            "in all, litres": lambda f: f.litres,
            f"sugar, {unit}": lambda f: round(syrup.sugar_kg(f.litres) / one, 1),
            "done": lambda f: None,
        },
    )


def _half(frames: float) -> Cell:
    return round(2 * frames) / 2


def _hundred(chance: float | None) -> Cell:
    return None if chance is None else round(100 * chance)


def _dates(day: Day, fare: Fare, event: str) -> Cell:
    return dates(day, getattr(fare.times, event)) if fare.times else None
