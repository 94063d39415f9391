"""Tables written again in one plain form: the columns that were there, values as data/README.md has them."""

import csv
import io
import re
from collections.abc import Iterable
from datetime import date
from typing import Any

from routeplan.operation.columns import TABLES, Column
from routeplan.operation.rows import Row, Table
from routeplan.operation.world import Place

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
Cells = dict[str, str]
_RUNS = re.compile(r"'*[=+\-@\t\r]")
_FIGURES = re.compile(r"[+-]?[0-9.]+(?:, ?[+-]?[0-9.]+)?")
"""A number or a pair of them: no spreadsheet works anything out of these."""


def cells_of(table: Table, row: Row) -> Cells:
    """Return the filled cells of a row by column, as text."""
    columns = {c.name: c for c in TABLES[table.name]}
    return {n: written(columns[n], row[n], row.text(n)) for n in table.headers if row.text(n)}


def written(column: Column, value: Any, text: str = "") -> str:
    """Write a value the way a reader needs no settings for; text that only it understands stays."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return value.isoformat()
    if column.kind == "time" and isinstance(value, int):
        return f"{value // 60:02d}:{value % 60:02d}"
    if column.kind == "days" and isinstance(value, tuple):
        return " ".join(DAYS[d - 1] for d in value)
    if isinstance(value, Place):
        return f"{value.lat!r}, {value.lon!r}"
    if isinstance(value, float):
        return f"{round(value, 6):g}" if column.kind == "number" else repr(value)
    if column.kind == "health" and value == "unclear":
        return text
    return text if value is None else str(value)


def as_csv(name: str, rows: Iterable[Cells]) -> str:
    """Write rows of a table of the operation as CSV text, its columns in their usual order."""
    listed = list(rows)
    there = {column for row in listed for column in row}
    return plain_csv([c.name for c in TABLES[name] if c.name in there or c.required], listed)


def plain_csv(header: list[str], rows: Iterable[Cells]) -> str:
    """Write rows as CSV text; what a spreadsheet would take for a formula stands behind an apostrophe."""
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, header, lineterminator="\n")
    writer.writeheader()
    writer.writerows({name: inert(row.get(name, "")) for name in header} for row in rows)
    return text.getvalue()


def inert(text: str) -> str:
    """Return a cell that no spreadsheet takes for a formula, and that our own reader takes for the text."""
    return f"'{text}" if _RUNS.match(text) and not _FIGURES.fullmatch(text) else text
