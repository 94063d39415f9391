"""What a terminal is told of how the colonies of a plan fare."""

from collections.abc import Sequence

from routeplan.colony.strength import frame_of_bees
from routeplan.output import measures
from routeplan.output.day import Day
from routeplan.output.fares import (
    Fare,
    back_words,
    dates,
    expected_words,
    half_range,
    halves,
    way_words,
    weakest_when,
)
from routeplan.output.told import Told

LOW = " low"
LOW_MEANS = (
    "Low: fewer than {split} bees in a split or where a queen is raised, {donor} in another hive "
    "(settings under floors)."
)
MOVES = "What moves the weakest day most:"
HEADS = ("colony", "queen", "bees now", "weakest", "when", "not fed", "eggs", "own bees", "strong again")


def forecast_lines(told: Told) -> tuple[str, ...]:
    """Return the table of how every split and every hive that gave fares, and what its figures are."""
    day = told.day
    rows = [HEADS, *(_row(day, fare) for fare in told.fares)]
    widths = [max(len(row[i]) for row in rows) for i in range(len(HEADS))]
    table = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in rows]
    said = [
        *table,
        expected_words(day),
        *notes(day, told.fares),
        *([MOVES] if told.moves else []),
        *told.moves,
    ]
    return tuple(line.rstrip().replace(measures.HARD, " ") for line in said if line)


def notes(day: Day, fares: Sequence[Fare]) -> tuple[str, ...]:
    """Say what the figures are: frames of bees and their range."""
    settings = day.operation.settings
    formats = sorted({fare.colony.half.frame for fare in fares})
    off = round(100 * settings.forecast.counts_off)
    least, low = settings.floors, any(fare.is_low for fare in fares)
    frames = [frame_of_bees(frame, settings.strength) for frame in formats]
    return (
        *frames,
        f"Frames of bees, to the half; in brackets with counts {off} % off and the queen early or late.",
        "Strong again, for good: a split covers "
        f"{measures.number(settings.forecast.strong_bees)} frames, a hive what it had before the day.",
        *([LOW_MEANS.format(split=f"{least.split_bees:,.0f}", donor=f"{least.donor_bees:,.0f}")] * low),
        "A split is reckoned in the box of its kit: with more room in time it grows faster.",
        "How many queens will lay is told by the way to a queen (settings under queens).",
    )


def _row(day: Day, fare: Fare) -> tuple[str, ...]:
    return (
        fare.colony.name,
        way_words(fare),
        halves(fare.now),
        f"{halves(fare.weakest)} ({half_range(fare.low, fare.high)}){LOW if fare.is_low else ''}",
        weakest_when(day, fare),
        halves(fare.unfed),
        dates(day, fare.times.eggs if fare.times else None) or "–",
        dates(day, fare.times.new_bees if fare.times else None) or "–",
        back_words(day, fare),
    )
