"""Reads one CSV file into a grid: how it is written, what parts its cells, no cell interpreted."""

import csv
import io
import itertools
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from routeplan.operation.characters import is_blank
from routeplan.operation.encodings import decode
from routeplan.operation.findings import Finding
from routeplan.operation.grids import Grid
from routeplan.operation.refuse import RefusedError, read_bytes, refuse_size
from routeplan.operation.synonyms import is_header

DELIMITERS = ",;\t|"
_SEP_LINE = re.compile(r'"?sep=(.)"?\r?\n?', re.IGNORECASE)
_TWICE = re.compile("[ÂÃ][\u00a0-\u00bf]|â€[™œ˜“”¢¦\u009d]")
"""Letters with accents and quotation marks of UTF-8, read as Windows-1252 and saved."""
LOOKED_AT = 20
"""Rows at the start of a file in which its header is looked for."""


def read_csv(path: Path) -> tuple[Grid | None, list[Finding]]:
    """Read a CSV file; None and an error when it cannot be read, a warning when its encoding is not sure."""
    try:
        data = read_bytes(path)
    except RefusedError as fault:
        return None, [Finding("error", path.name, None, None, "", fault.problem, fault.cure)]
    return read_bytes_of_csv(data, path.stem, path.name)


def read_bytes_of_csv(data: bytes, name: str, label: str) -> tuple[Grid | None, list[Finding]]:
    """Read what stands in a CSV file, as `read_csv`."""
    try:
        decoded = decode(data)
        grid = parse_csv(decoded.text, name, label)
    except RefusedError as fault:
        return None, [Finding("error", label, None, None, "", fault.problem, fault.cure)]
    except csv.Error as fault:
        problem, cure = f"cannot be read as CSV: {fault}.", "Look for a quotation mark that is never closed."
        return None, [Finding("error", label, None, None, "", problem, cure)]
    findings = [] if decoded.said else [_not_sure(grid, decoded.way)]
    return grid, findings + list(_saved_wrongly(grid))


def _not_sure(grid: Grid, way: str) -> Finding:
    row, found = _first_special(grid)
    words = f" “{found}” in row {row} is one place to look." if found else ""
    message, cure = (
        f"is not UTF-8: it was read as {way}.",
        f"See whether letters with accents are right.{words}",
    )
    return Finding("warning", grid.label, None, None, found, message, cure)


def parse_csv(text: str, name: str, label: str) -> Grid:
    """Read CSV text; a first line like `sep=;` says what parts the cells, else the header does.

    Raises
    ------
    csv.Error
        When a quotation mark is not closed or stands where it cannot.
    RefusedError
        When there are more rows or columns than any operation needs.
    """
    said = _SEP_LINE.match(text)
    body = text[said.end() :] if said else text
    delimiter = said[1] if said else _delimiter(body)
    rows = []
    for number, cells in enumerate(_rows(body, delimiter, strict=True), 1):
        refuse_size(number, len(cells))
        if not all(map(is_blank, cells)):
            rows.append((number, cells))
    return Grid(name, label, tuple(rows), decimal_comma=delimiter != ",")


def _rows(text: str, delimiter: str, strict: bool) -> Iterator[list[str]]:
    return csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=strict)


def _delimiter(text: str) -> str:
    """Return what parts the cells: what makes most headers known, else most rows alike in width."""
    head = text[:50_000]
    return max(DELIMITERS, key=lambda sign: _fit(head, sign))


def _fit(text: str, delimiter: str) -> tuple[int, int, int]:
    """Return how well a sign parts cells: headers known, rows of the usual width, that width."""
    try:
        rows = list(itertools.islice(_rows(text, delimiter, strict=False), LOOKED_AT))
    except csv.Error:
        return 0, 0, 0
    known = max((sum(map(is_header, row)) for row in rows), default=0)
    widths = Counter(len(row) for row in rows if len(row) > 1)
    width, alike = max(widths.items(), key=lambda item: (item[1], item[0]), default=(0, 0))
    return known, alike, width


def _saved_wrongly(grid: Grid) -> Iterator[Finding]:
    """Name the first text that another program read in the wrong way and saved so."""
    for number, cells in grid.rows:
        for cell in cells:
            if not cell.isascii() and _TWICE.search(cell):
                text = cell.strip()[:60]
                message = f"“{text}” was read in the wrong way by the program that saved it."
                yield Finding("warning", grid.label, number, None, text, message, "Write its letters again.")
                return


def _first_special(grid: Grid) -> tuple[int, str]:
    """Return row and text of the first cell with a letter beyond plain English."""
    for number, cells in grid.rows:
        for cell in cells:
            if not cell.isascii():
                return number, cell.strip()[:60]
    return 0, ""
