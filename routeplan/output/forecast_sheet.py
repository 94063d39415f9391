"""Sheet of the workbook for how each split and each hive that gave fares."""

from routeplan.output.day import Day
from routeplan.output.fares import Fare, back_words, dates, fares, way_words, weakest_when
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
            "strong again from": lambda f: back_words(day, f),
            "laying queen, of 100": lambda f: _hundred(f.colony.chance),
        },
    )


def _half(frames: float) -> Cell:
    return round(2 * frames) / 2


def _hundred(chance: float | None) -> Cell:
    return None if chance is None else round(100 * chance)


def _dates(day: Day, fare: Fare, event: str) -> Cell:
    return dates(day, getattr(fare.times, event)) if fare.times else None
