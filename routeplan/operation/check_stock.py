"""Rules on what is at home: queens and cells by their dates, and what may stand in for a frame."""

from collections.abc import Callable, Iterator
from datetime import date, timedelta

from routeplan.operation.findings import Finding
from routeplan.operation.rows import Draft, Row

DATED = ("mated queen", "ripe cell")


def queens_are_there(draft: Draft) -> Iterator[Finding]:
    """As many mated queens and ripe cells as asked for can be used, where they are listed.

    A mated queen goes in on the day itself, a ripe cell the day after.
    """
    for way, item, later in (("mated", "mated queen", 0), ("ripe cell", "ripe cell", 1)):
        rows = [row for row in draft["stock"].rows if row["item"] == item]
        asked = sum(row["count"] or 0 for row in draft["splits"].rows if row["queen"] == way)
        day = draft.day + timedelta(days=later)
        usable = sum(row["count"] or 0 for row in rows if _can_be_used(row, day))
        if rows and asked > usable:
            message = f"Splits that ask for a {item}: {asked}; usable on {day}, when they go in: {usable}."
            cure = f"Bring {asked - usable} more or look at the dates; splits without one are left out."
            yield draft["stock"].finding("warning", rows[0], "count", message, cure)


def _can_be_used(row: Row, day: date) -> bool:
    begun = row["from"] is None or row["from"] <= day
    return begun and (row["until"] is None or day <= row["until"])


def stock_dates_are_in_order(draft: Draft) -> Iterator[Finding]:
    """The last day is not before the first."""
    for row in draft["stock"].rows:
        if row["from"] and row["until"] and row["until"] < row["from"]:
            message = f"The last day, {row['until']}, is before the first, {row['from']}."
            yield draft["stock"].finding("error", row, "until", message, "Exchange or correct the two dates.")


def stock_dates_are_of_queens(draft: Draft) -> Iterator[Finding]:
    """Dates stand only where they are used: at queens and cells."""
    for row in draft["stock"].rows:
        column = "from" if row.text("from") else "until"
        if row["item"] and row["item"] not in DATED and row.text(column):
            message = f"Dates are kept for queens and cells only; the row counts as {row['item']} on any day."
            yield draft["stock"].finding("warning", row, column, message, "Delete the date.")


def swaps_have_stock(draft: Draft) -> Iterator[Finding]:
    """What may stand in for food frames is counted at home."""
    swaps, items = draft.settings.swaps, {row["item"] for row in draft["stock"].rows}
    for allowed, item in ((swaps.food_comb, "food comb"), (swaps.feeder, "feeder")):
        if allowed and item not in items:
            message = f"A {item} may stand in for food frames, but none is listed: none is used."
            yield draft["stock"].finding(
                "warning", None, "item", message, f"Add a row for {item} with its count."
            )


STOCK_RULES: tuple[Callable[[Draft], Iterator[Finding]], ...] = (
    queens_are_there,
    stock_dates_are_in_order,
    stock_dates_are_of_queens,
    swaps_have_stock,
)
