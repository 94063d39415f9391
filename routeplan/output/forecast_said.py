"""What a terminal is told of how the colonies of a plan fare."""

from collections.abc import Sequence
from datetime import date, timedelta

from routeplan.colony.strength import frame_of_bees
from routeplan.colony.timeline import Span, whole_days
from routeplan.output import measures, words
from routeplan.output.day import Day
from routeplan.output.fares import (
    Fare,
    expected_words,
    half_range,
    halves,
)
from routeplan.output.told import Told

LOW = " low"
LOW_MEANS = (
    "Low: fewer than {split} bees in a split or where a queen is raised, {donor} in another hive "
    "(settings under floors)."
)
STAYS_MEANS = "stays: its own queen is in it and lays."
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
        STAYS_MEANS,
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
    start, times = day.plan.day, fare.times
    low = LOW if fare.is_low else ""
    return (
        fare.colony.name,
        fare.colony.way or "stays",
        halves(fare.now),
        f"{halves(fare.weakest)} ({half_range(fare.low, fare.high)}){low}",
        short_dates(start, (fare.weakest_day, fare.weakest_day)),
        halves(fare.unfed),
        short_dates(start, times.eggs if times else None),
        short_dates(start, times.new_bees if times else None),
        short_dates(start, None if fare.back_day is None else (fare.back_day, fare.back_day)),
    )


def short_dates(start: date, span: Span | None) -> str:
    """Write a range of days after `start` shortly: "3 July", "5-17 June", "26 June-8 July"; – for none."""
    if span is None:
        return "–"
    first, last = (start + timedelta(n) for n in whole_days(span))
    end = f"{last.day} {words.MONTHS[last.month - 1]}"
    if first == last:
        return end
    month = "" if first.month == last.month else f" {words.MONTHS[first.month - 1]}"
    return f"{first.day}{month}-{end}"
