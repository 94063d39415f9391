"""What a sheet of the workbook is made of: headings, and rows of numbers and texts."""

from collections.abc import Callable, Iterable
from typing import TypeVar

from routeplan.operation.settings import MILE_M
from routeplan.output.day import Day

Cell = str | int | float | None
T = TypeVar("T")
Sheet = tuple[tuple[str, ...], list[tuple[Cell, ...]]]


def table(items: Iterable[T], columns: dict[str, Callable[[T], Cell]]) -> Sheet:
    """Make a sheet: one row an item, one column a heading and how its cell is found."""
    return tuple(columns), [tuple(cell(item) for cell in columns.values()) for item in items]


def length(day: Day, metres: float) -> float:
    """Return a distance in the operation's units, to two decimals."""
    return round(metres / (MILE_M if day.units == "mi" else 1000), 2)


def minutes(seconds: float) -> float:
    """Return minutes, to one decimal."""
    return round(seconds / 60, 1)
