"""Files as beekeepers bring them: one table of the sound operation replaced by what a case is about."""

import csv
import io
from collections.abc import Callable
from datetime import date
from pathlib import Path

import openpyxl
from openpyxl.worksheet.worksheet import Worksheet

from routeplan.operation.findings import Finding
from routeplan.operation.read import read_operation
from routeplan.operation.world import Hive, Operation
from tests.operation.sound import SOUND, write_operation

DAY = date(2026, 5, 6)
Shape = Callable[[Worksheet], None]
Read = tuple[Operation | None, list[Finding]]
Cells = list[list[object]]

YARDS = "yard,lat,lon,room,health\nCreek,52.0613,-2.7254,6,ok\nMill,52.1304,-2.7261,6,ok\n"
SPLITS = "order,count,kit\nA,1,three-frame\n"
PLAIN = {
    "yards.csv": YARDS,
    "splits.csv": SPLITS,
    "pairs.csv": "",
    "weather.csv": "",
    "settings.toml": 'day = "2026-05-06"\n',
}
"""Two yards on one day in May; the hives are each case's own."""


def read_hives(folder: Path, hives: str | bytes, **others: str | bytes) -> Read:
    """Read the plain operation with this hives.csv; other files by their stem."""
    write_operation(folder, PLAIN)
    for stem, content in {"hives": hives, **others}.items():
        name = f"{stem}.toml" if stem == "settings" else f"{stem}.csv"
        data = content if isinstance(content, bytes) else content.encode()
        (folder / name).write_bytes(data)
    return read_operation(folder)


def hives_of(read: Read) -> dict[str, Hive]:
    """Hives by name of an operation that must be sound."""
    operation, findings = read
    assert operation is not None, [f.sentence() for f in findings]
    return {hive.id: hive for hive in operation.hives}


def places(read: Read, level: str) -> list[tuple[str, int | None, str | None]]:
    return [(f.table, f.row, f.column) for f in read[1] if f.level == level]


def said(read: Read, level: str = "warning") -> str:
    """All sentences of one level, one a line."""
    return "\n".join(f.sentence() for f in read[1] if f.level == level)


def table(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text)))


def read_book(
    folder: Path, hives: list[list[object]], shape: Shape | None = None, **extra: list[list[object]]
):
    """Read the plain operation from a workbook whose hives sheet holds these cells, shaped further."""
    folder.mkdir(parents=True, exist_ok=True)
    book = openpyxl.Workbook()
    book.remove(book.active)
    sheets: dict[str, Cells] = {
        **extra,
        "yards": [list(row) for row in table(YARDS)],
        "splits": [list(row) for row in table(SPLITS)],
        "crews": [list(row) for row in table(SOUND["crews.csv"])],
        "hives": hives,
    } | extra
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    if shape:
        shape(book["hives"])
    book.save(folder / "bees.xlsx")
    (folder / "settings.toml").write_text(PLAIN["settings.toml"])
    return read_operation(folder / "bees.xlsx")
