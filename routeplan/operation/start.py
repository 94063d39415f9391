"""Starts an operation: the files of empty tables to fill in, or of the example to look at."""

import csv
import io
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from routeplan.operation.columns import TABLES
from routeplan.operation.example_rows import EXAMPLE_MARK
from routeplan.operation.guide import guide_text
from routeplan.operation.setting_words import settings_text
from routeplan.operation.start_workbook import table_workbook
from routeplan.operation.tables import SETTINGS_FILE

WORKBOOK_FILE, GUIDE_FILE = "operation.xlsx", "guide.txt"


def start_files(workbook: bool = False) -> dict[str, bytes]:
    """Return the files of an operation to fill in, by name: tables with an example row each, guide, settings.

    With `workbook` the tables and the guide are sheets of one workbook.
    """
    tables = {name: [[c.name for c in columns], example_row(name)] for name, columns in TABLES.items()}
    return _files(tables, settings_text(), workbook) | (
        {} if workbook else {GUIDE_FILE: _bytes(guide_text())}
    )


def example_files(workbook: bool = False) -> dict[str, bytes]:
    """Return the files of the invented example, by name; with `workbook` its tables are one workbook."""
    texts = _example_texts()
    tables = {name: list(csv.reader(io.StringIO(texts[f"{name}.csv"]))) for name in TABLES}
    return _files(tables, texts[SETTINGS_FILE], True) if workbook else _all_bytes(texts)


def example_row(table: str) -> list[str]:
    """Return the row that shows what a row of a table may look like; reading passes it over."""
    first, *rest = (column.example for column in TABLES[table])
    return [f"{EXAMPLE_MARK} {first}", *rest]


def _files(tables: dict[str, list[list[str]]], settings: str, workbook: bool) -> dict[str, bytes]:
    if workbook:
        return {WORKBOOK_FILE: table_workbook(tables), SETTINGS_FILE: _bytes(settings)}
    return _all_bytes(
        {f"{name}.csv": _csv(rows) for name, rows in tables.items()} | {SETTINGS_FILE: settings}
    )


def _csv(rows: list[list[str]]) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()


def _bytes(text: str) -> bytes:
    return text.encode("utf-8")


def _all_bytes(texts: dict[str, str]) -> dict[str, bytes]:
    return {name: _bytes(text) for name, text in texts.items()}


def _example_texts() -> dict[str, str]:
    """The example lies in the installed package; in a checkout it lies in data/example."""
    room: Traversable = files("routeplan") / "example"
    if not room.is_dir():
        room = Path(__file__).parents[2] / "data" / "example"
    found = {item.name: item for item in room.iterdir() if item.is_file()}
    return {name: found[name].read_text(encoding="utf-8") for name in sorted(found)}
