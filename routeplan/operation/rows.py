"""From sheets of text to rows of values: every cell read by its column's kind, every fault with its place."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from difflib import get_close_matches
from typing import Any

from routeplan.operation import values
from routeplan.operation.columns import COUNTED, TABLES, Column, plain_name
from routeplan.operation.findings import Finding, Level
from routeplan.operation.settings import Settings
from routeplan.operation.tables import Sheet
from routeplan.operation.unreadable import UnreadableError


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


def read_table(sheet: Sheet) -> tuple[Table, list[Finding]]:
    """Read all cells of a sheet; a faulty cell is reported and stands at its default."""
    columns = {column.name: column for column in TABLES[sheet.table]}
    places = _places(sheet, columns)
    headers = {name: sheet.header[i] for name, i in places.items()}
    rows = tuple(_unread_row(number, cells, places) for number, cells in sheet.rows)
    table = Table(sheet.table, sheet.label, headers, rows)
    findings = [*_header(sheet, table, columns, places), *_too_wide(sheet)]
    for column in columns.values():
        findings += _fill(table, column, sheet.decimal_comma)
    return table, findings


def _places(sheet: Sheet, columns: dict[str, Column]) -> dict[str, int]:
    """Find where each known column stands; of two with one name, the first."""
    names = [plain_name(header) for header in sheet.header]
    return {name: names.index(name) for name in columns if name in names}


def _header(
    sheet: Sheet, table: Table, columns: dict[str, Column], places: dict[str, int]
) -> Iterator[Finding]:
    """Name the columns that are missing, repeated or not known."""
    for column in columns.values():
        if column.required and column.name not in places:
            cure = f"Add it: {column.meaning}, for example {column.example}."
            yield table.finding("error", None, column.name, "This column is missing.", cure)
    for i, header in enumerate(sheet.header):
        name = plain_name(header)
        if name in columns and places[name] != i:
            yield table.finding("error", None, header, "This column is there twice.", "Keep one of the two.")
        elif name not in columns and (header or _is_filled(sheet, i)):
            yield _unknown_column(table, header, name, columns)


def _is_filled(sheet: Sheet, i: int) -> bool:
    return any(len(cells) > i and cells[i].strip() for _, cells in sheet.rows)


def _unknown_column(table: Table, header: str, name: str, columns: dict[str, Column]) -> Finding:
    near = get_close_matches(name, columns, n=1, cutoff=0.5)
    cure = f"Did you mean {near[0]}?" if near else f"Columns used are: {', '.join(columns)}."
    return table.finding("warning", None, header or "(no header)", "This column is not used.", cure)


def _unread_row(number: int, cells: Sequence[str], places: dict[str, int]) -> Row:
    width = len(cells)
    texts = {name: cells[i].strip() for name, i in places.items() if i < width}
    return Row(number, {}, texts)


def _fill(table: Table, column: Column, decimal_comma: bool) -> Iterator[Finding]:
    """Read one column down all rows; equal texts are read once."""
    known: dict[str, Any] = {"": column.default}
    name = column.name
    must = column.required and name in table.headers
    for row in table.rows:
        text = row.texts.get(name, "")
        if must and not text:
            cure = f"Fill it in: {column.meaning}, for example {column.example}."
            yield table.finding("error", row, name, "This cell is blank.", cure)
        if text not in known:
            try:
                known[text] = read_cell(column, text, decimal_comma)
            except UnreadableError as fault:
                known[text] = fault
        value = known[text]
        if isinstance(value, UnreadableError):
            yield table.finding("error", row, name, f"“{text}” {value.problem}", value.cure)
            value = column.default
        row.values[name] = value


def read_cell(column: Column, text: str, decimal_comma: bool = False) -> Any:
    """Return the value of one filled cell. Raises UnreadableError."""
    if column.kind == "choice":
        return values.choice(text, column.options)
    value = values.PARSERS[column.kind](text, decimal_comma)
    if column.kind in ("number", "whole"):
        if value < column.least:
            low = "below zero" if column.least == 0 else f"less than {column.least:g}"
            raise UnreadableError(f"is {low}.", f"Write {column.least:g} or more, or leave it blank.")
        if value > column.most:
            raise UnreadableError(f"is more than {column.most:g}.", "Look at the figure again.")
    return value


def _too_wide(sheet: Sheet) -> Iterator[Finding]:
    width = len(sheet.header)
    for number, cells in sheet.rows:
        extra = [cell for cell in cells[width:] if cell.strip()]
        if extra and width:
            message = "This row has more cells than the header."
            cure = "Put text that holds a comma in quotation marks, or delete the cells too many."
            yield Finding("error", sheet.label, number, None, extra[0], message, cure)


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
