"""Rows of values: what was read from the tables, before it is known to be sound."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from routeplan.operation.columns import COUNTED, TABLES
from routeplan.operation.findings import Finding, Level
from routeplan.operation.settings import Settings


@dataclass(frozen=True)
class Row:
    """One row: values by column name (a blank or faulty cell holds the default) and texts as found."""

    number: int
    values: dict[str, Any]
    texts: dict[str, str]

    def __getitem__(self, column: str) -> Any:
        return self.values[column]

    def text(self, column: str) -> str:
        """Return the text found, "" where the cell is blank or the column missing."""
        return self.texts.get(column, "")


@dataclass(frozen=True)
class Table:
    """One table of values. `headers` maps the columns that are there to their headers as written."""

    name: str
    label: str
    headers: dict[str, str] = field(default_factory=dict)
    rows: tuple[Row, ...] = ()

    def finding(self, level: Level, row: Row | None, column: str | None, message: str, cure: str) -> Finding:
        """Return a finding placed in this table; the text found is taken from the row."""
        header = self.headers.get(column, column) if column else None
        found = row.text(column) if row and column else ""
        return Finding(level, self.label, row.number if row else None, header, found, message, cure)


@dataclass(frozen=True)
class Draft:
    """All that was read, before it is known to be sound. Tables that are not there are empty.

    `hives` holds one row a hive: its newest look.
    """

    day: date
    settings: Settings
    tables: dict[str, Table]
    hives: tuple[Row, ...]

    def __getitem__(self, table: str) -> Table:
        return self.tables[table]

    def ids(self, table: str) -> set[str]:
        """Return the ids in a table's first column."""
        column = TABLES[table][0].name
        return {row[column] for row in self.tables[table].rows if row[column]}


def newest_looks(table: Table) -> tuple[Row, ...]:
    """Return one row for each hive: its newest look.

    What was counted is the newest look's alone. What lasts (queen, health, mites, treatment ...) is what was
    written last, so that a blank in a later row does not wipe a warning out.
    """
    looks: dict[tuple[str, str], list[Row]] = {}
    for row in table.rows:
        if row["yard"] and row["hive"]:
            looks.setdefault((row["yard"], row["hive"]), []).append(row)
    return tuple(rows[0] if len(rows) == 1 else _merged(rows) for rows in looks.values())


def _merged(rows: list[Row]) -> Row:
    newest, *older = sorted(rows, key=lambda row: row["inspected"] or date.min, reverse=True)
    merged, texts = dict(newest.values), dict(newest.texts)
    for name in merged:
        if name in COUNTED or newest.text(name):
            continue
        last = next((row for row in older if row.text(name)), newest)
        merged[name], texts[name] = last[name], last.text(name)
    return Row(newest.number, merged, texts)
