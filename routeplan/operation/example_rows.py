"""Rows that only show what a row may look like: recognised by their mark, passed over, and said to be."""

from collections.abc import Sequence
from dataclasses import replace

from routeplan.operation.characters import same
from routeplan.operation.columns import TABLES
from routeplan.operation.findings import Finding
from routeplan.operation.grids import Sheet

EXAMPLE_MARK = "example:"


def without_examples(sheet: Sheet, named: Sequence[str | None]) -> tuple[Sheet, list[Finding]]:
    """Return a sheet without its example rows, and a remark on each that was there.

    `named` holds the column each header names, None for none. The mark stands in the table's first column.
    """
    first = TABLES[sheet.table][0].name
    if first not in named:
        return sheet, []
    at = list(named).index(first)
    marked = [number for number, cells in sheet.rows if len(cells) > at and is_example(cells[at])]
    if not marked:
        return sheet, []
    rows = tuple(row for row in sheet.rows if row[0] not in marked)
    message, cure = "This is the example row: it is passed over.", "Delete it when your own rows are in."
    header = sheet.header[at]
    found = [
        Finding("warning", sheet.label, number, header, EXAMPLE_MARK, message, cure) for number in marked
    ]
    return replace(sheet, rows=rows), found


def is_example(text: str) -> bool:
    """Whether a cell of a table's first column marks its row as an example."""
    return same(text).startswith(EXAMPLE_MARK)
