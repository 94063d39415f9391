"""The guide to the columns: what is written in each, its unit, what a blank means, an example."""

from textwrap import fill

from routeplan.operation.columns import REQUIRED_TABLES, TABLES, Column

HEADINGS = ("table", "column", "what is written", "unit", "a blank means", "example", "meaning")
SHEET = "guide"
"""A sheet of this name explains the columns; it is no table."""
TITLE = "Guide to the columns"
HOW = (
    "Fill in yards, hives and splits; every other table may stay empty. Rows that begin with “example:” show "
    "what a row may look like: they are passed over, and may be deleted. So may columns you do not use."
)
WRITTEN = {
    "id": "name",
    "text": "text",
    "format": "name of a format",
    "number": "number",
    "whole": "whole number",
    "yes/no": "yes or no",
    "date": "date",
    "time": "time of day",
    "days": "weekdays",
    "latitude": "latitude",
    "longitude": "longitude",
    "place": "position",
    "health": "word on health",
}
"""What is written in a cell, by kind of column."""


def written(column: Column) -> str:
    """Say what is written in a column's cells."""
    return f"one of: {', '.join(column.options)}" if column.kind == "choice" else WRITTEN[column.kind]


def blank(column: Column) -> str:
    """Say what a blank cell means."""
    return "must be filled" if column.required else column.blank or "nothing"


def rows() -> list[tuple[str, ...]]:
    """Return the guide, one row a column, cells as in HEADINGS."""
    return [
        (table, c.name, written(c), c.unit, blank(c), c.example, c.meaning)
        for table, columns in TABLES.items()
        for c in columns
    ]


def guide_text() -> str:
    """Return the guide as plain text."""
    parts = [TITLE, "", fill(HOW, 100)]
    for table, columns in TABLES.items():
        parts += ["", f"{table}{' (must be filled)' if table in REQUIRED_TABLES else ''}"]
        for c in columns:
            unit = f", {c.unit}" if c.unit else ""
            example = f", for example {c.example}" if c.example else ""
            line = f"{c.name}: {c.meaning}; {written(c)}{unit}; blank: {blank(c)}{example}"
            parts.append(fill(line, 100, initial_indent="  ", subsequent_indent="      "))
    return "\n".join(parts) + "\n"
