"""From a sheet of text to a table of values: every cell read by its column, every fault with its place."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Any

from routeplan.operation import units
from routeplan.operation.cells import ColumnReader, doubts, no_value
from routeplan.operation.characters import clean, is_blank
from routeplan.operation.columns import TABLES, Column
from routeplan.operation.example_rows import without_examples
from routeplan.operation.findings import Finding, Level
from routeplan.operation.grids import NO_VALUE, SHOWN, Sheet
from routeplan.operation.headings import also
from routeplan.operation.own_words import NONE, OwnWords
from routeplan.operation.rows import Row, Table
from routeplan.operation.synonyms import column_named
from routeplan.operation.unreadable import UnreadableError

MOST_FAULTS = 100
"""Different texts of one column that are named as faults; of more only the number is said."""


@dataclass
class _Found:
    """Findings of one column: each kind once, at its first row, with the other rows it is found in."""

    table: Table
    column: str
    first: dict[tuple[Level, str], tuple[Row, str, str, list[int]]] = field(default_factory=dict)

    def add(self, level: Level, row: Row, message: str, cure: str) -> None:
        known = self.first.setdefault((level, message), (row, message, cure, []))
        if known[0] is not row:
            known[3].append(row.number)

    def findings(self) -> Iterator[Finding]:
        for (level, _), (row, message, cure, again) in list(self.first.items())[:MOST_FAULTS]:
            said = message[:-1] + also(again) + "."
            yield self.table.finding(level, row, self.column, said, cure)
        rest = len(self.first) - MOST_FAULTS
        if rest > 0:
            message = f"{rest} more texts in this column cannot be read."
            yield self.table.finding(
                "error", None, self.column, message, "See whether it is the right column."
            )


def read_table(sheet: Sheet, words: OwnWords = NONE, date_order: str = "") -> tuple[Table, list[Finding]]:
    """Read all cells of a sheet; a faulty cell is reported and stands at its default."""
    columns = {column.name: column for column in TABLES[sheet.table]}
    named = [column_named(sheet.table, header, words) for header in sheet.header]
    sheet, examples = without_examples(sheet, named)
    places = {name: named.index(name) for name in columns if name in named}
    headers = {name: sheet.header[i] for name, i in places.items()}
    rows = tuple(_unread_row(number, cells, places) for number, cells in sheet.rows)
    table = Table(sheet.table, sheet.label, headers, rows)
    findings = [*examples, *_header(sheet, table, columns, named), *_too_wide(sheet)]
    for column in columns.values():
        reader = ColumnReader(column, sheet, words, headers.get(column.name, ""), date_order)
        findings += _fill(table, sheet, reader, places.get(column.name))
    for column in columns.values():
        if column.instead_of:
            findings += _stand_in(table, column)
    return table, findings


def _stand_in(table: Table, column: Column) -> Iterator[Finding]:
    """Let a column in another unit fill the one it stands in for."""
    for row in table.rows:
        if row[column.name] is None:
            continue
        if row.text(column.instead_of):
            message = f"{column.instead_of} is filled in this row too."
            yield table.finding("error", row, column.name, message, "Keep one of the two.")
        else:
            row.values[column.instead_of] = units.COLUMNS[column.name](row[column.name])
            row.texts[column.instead_of] = row.text(column.name)


def _header(
    sheet: Sheet, table: Table, columns: dict[str, Column], named: Sequence[str | None]
) -> Iterator[Finding]:
    """Name the columns that are missing, repeated or not known."""
    for column in columns.values():
        if column.required and column.name not in named:
            cure = f"Add it: {column.meaning}, for example {column.example}."
            yield table.finding("error", None, column.name, "This column is missing.", cure)
    for i, header in enumerate(sheet.header):
        name = named[i]
        if name and named.index(name) != i:
            first = sheet.header[named.index(name)]
            message = "This column is there twice" + (f", as “{first}” too." if first != header else ".")
            yield table.finding("error", None, header, message, "Keep one of the two.")
        elif not name and sheet.table == "yards" and _holds_halves(sheet, i):
            message = "N, S, E and W in a column of their own are not read."
            cure = "Write them behind the figures under lat and lon, like 75.4 W, or a minus for S and W."
            yield table.finding("error", None, header or "(no header)", message, cure)
        elif not name and (header or _is_filled(sheet, i)):
            yield _unknown_column(table, header, columns)


def _is_filled(sheet: Sheet, i: int) -> bool:
    return any(len(cells) > i and not is_blank(cells[i]) for _, cells in sheet.rows)


def _holds_halves(sheet: Sheet, i: int) -> bool:
    """Whether a column holds nothing but halves of the earth."""
    texts = {clean(cells[i]).upper() for _, cells in sheet.rows if len(cells) > i} - {""}
    return bool(texts) and texts <= {"N", "S", "E", "W", "NORTH", "SOUTH", "EAST", "WEST"}


def _unknown_column(table: Table, header: str, columns: dict[str, Column]) -> Finding:
    near = get_close_matches(header.casefold().replace(" ", "_")[:60], columns, n=1, cutoff=0.5)
    said = f"Did you mean {near[0]}?" if near else f"Columns used are: {', '.join(columns)}."
    own = f" Or say under [headers.{table.name}] in settings.toml what it stands for."
    return table.finding("warning", None, header or "(no header)", "This column is not used.", said + own)


def _too_wide(sheet: Sheet) -> Iterator[Finding]:
    width = len(sheet.header)
    for number, cells in sheet.rows:
        extra = [cell for cell in cells[width:] if not is_blank(cell)]
        if extra and width:
            message = "This row has more cells than the header."
            cure = "Put text that holds a comma in quotation marks, or delete the cells too many."
            yield Finding("error", sheet.label, number, None, extra[0], message, cure)


def _unread_row(number: int, cells: Sequence[str], places: dict[str, int]) -> Row:
    width = len(cells)
    return Row(number, {}, {name: cells[i].strip() for name, i in places.items() if i < width})


def _fill(table: Table, sheet: Sheet, reader: ColumnReader, place: int | None) -> Iterator[Finding]:
    """Read one column down all rows; equal texts are read once."""
    column, name = reader.column, reader.column.name
    if place is None:
        for row in table.rows:
            row.values[name] = column.default
        return
    found = _Found(table, name)
    if column.kind == "id":
        _take_as_shown(table, sheet, name, place)
    reader.look_at({row.text(name) for row in table.rows})
    known: dict[str, Any] = {}
    for row in table.rows:
        text = row.text(name)
        mark = sheet.marks.get((row.number, place)) if sheet.marks else None
        if text not in known:
            known[text] = reader.read(text)
        value = no_value(f"{_letters(place)}{row.number}") if mark == NO_VALUE else known[text]
        if isinstance(value, UnreadableError):
            problem = f"“{text}” {value.problem}" if text else value.problem
            found.add("error", row, problem, value.cure)
            value = column.default
        elif column.required and value == column.default:
            cure = f"Fill it in: {column.meaning}, for example {column.example}."
            found.add("error", row, "This cell is blank.", cure)
        for message, cure in doubts(column, text, mark):
            found.add("warning", row, message, cure)
        row.values[name] = value
    yield from found.findings()
    yield from _remarks(table, reader)


def _take_as_shown(table: Table, sheet: Sheet, name: str, place: int) -> None:
    """Let a name be what its cell shows, where that is more than its number."""
    for row in table.rows:
        mark = sheet.marks.get((row.number, place), "")
        if mark.startswith(SHOWN):
            row.texts[name] = mark.removeprefix(SHOWN)


def _remarks(table: Table, reader: ColumnReader) -> Iterator[Finding]:
    name = reader.column.name
    for text, message, cure in reader.remarks():
        row = next((row for row in table.rows if clean(row.text(name)) == text), None)
        yield table.finding("warning", row, name, message, cure)


def _letters(column: int) -> str:
    """Return the letters a spreadsheet shows over a column counted from 0."""
    letters, left = "", column + 1
    while left:
        left, rest = divmod(left - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
