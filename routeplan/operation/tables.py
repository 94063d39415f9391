"""Opens a folder of CSV files or one workbook and hands out sheets of text; no cell is interpreted here."""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from routeplan.operation.columns import REQUIRED_TABLES, TABLES
from routeplan.operation.findings import Finding

WORKBOOKS = (".xlsx", ".ods")
SETTINGS_FILE = "settings.toml"


@dataclass(frozen=True)
class Sheet:
    """One table as text.

    `label` is what the beekeeper calls it; `rows` holds (row number as a spreadsheet shows it, cells);
    `decimal_comma` says that a comma is the decimal mark in it.
    """

    table: str
    label: str
    header: tuple[str, ...]
    rows: tuple[tuple[int, Sequence[str]], ...]
    decimal_comma: bool = False


@dataclass(frozen=True)
class Source:
    """All sheets found, by table name, and settings.toml where there is one."""

    sheets: dict[str, Sheet]
    settings: Path | None
    findings: tuple[Finding, ...]


def open_source(source: Path) -> Source:
    """Open the tables of an operation.

    Parameters
    ----------
    source : folder of CSV files, folder with one workbook, or a workbook (.xlsx, .ods).
    """
    if source.is_dir():
        return _open_folder(source)
    if source.is_file() and source.suffix.casefold() in WORKBOOKS:
        return _open_workbook(source)
    problem = "is neither a folder nor a workbook." if source.exists() else "is not there."
    cure = "Name a folder of CSV files, or a workbook that ends in .xlsx or .ods."
    return Source({}, None, (Finding("error", source.name, None, None, "", problem, cure),))


def _open_folder(folder: Path) -> Source:
    files = sorted(p for p in folder.iterdir() if p.is_file() and not p.name.startswith((".", "~$")))
    tables = [p for p in files if p.suffix.casefold() == ".csv"]
    workbooks = [p for p in files if p.suffix.casefold() in WORKBOOKS]
    if any(p.stem.casefold() == "yards" for p in tables) or not workbooks:
        return _open_csv_files(folder, tables, workbooks)
    if len(workbooks) > 1:
        problem = f"holds several workbooks: {', '.join(p.name for p in workbooks)}."
        fault = Finding("error", folder.name, None, None, "", problem, "Name the workbook that is meant.")
        return Source({}, None, (fault,))
    source = _open_workbook(workbooks[0])
    unused = [_not_used(p.name, f"the tables are read from {workbooks[0].name}") for p in tables]
    return Source(source.sheets, source.settings, (*source.findings, *unused))


def _open_csv_files(folder: Path, tables: list[Path], workbooks: list[Path]) -> Source:
    findings = [_not_used(p.name, "the tables are read from the CSV files") for p in workbooks]
    sheets: dict[str, Sheet] = {}
    for path in tables:
        name = path.stem.casefold()
        if name not in TABLES:
            findings.append(_unknown_table(path.name, name, ".csv"))
        elif name in sheets:
            findings.append(_twice(path.name))
        else:
            sheet, faults = _read_csv(path, name)
            findings += faults
            sheets |= {name: sheet} if sheet else {}
    seen = {p.stem.casefold() for p in tables}
    findings += [_missing(f"{name}.csv", folder.name) for name in REQUIRED_TABLES if name not in seen]
    return Source(sheets, _settings_beside(folder), tuple(findings))


def _open_workbook(path: Path) -> Source:
    from python_calamine import CalamineError, load_workbook

    try:
        book = load_workbook(str(path))
        pages = {
            title: book.get_sheet_by_name(title).to_python(skip_empty_area=False)
            for title in book.sheet_names
        }
    except (CalamineError, OSError) as fault:
        text = f"cannot be opened as a workbook ({fault})."
        finding = Finding("error", path.name, None, None, "", text, "Save it again as .xlsx or .ods.")
        return Source({}, None, (finding,))
    findings, sheets = [], {}
    for title, cells in pages.items():
        name, label = title.strip().casefold(), f"{path.name}, {title}"
        if name not in TABLES:
            findings.append(_unknown_table(label, name, ""))
        elif name in sheets:
            findings.append(_twice(label))
        else:
            sheets[name] = _sheet(name, label, [[_cell_text(cell) for cell in row] for row in cells])
    findings += [_missing(f"sheet {name}", path.name) for name in REQUIRED_TABLES if name not in sheets]
    return Source(sheets, _settings_beside(path.parent), tuple(findings))


def _read_csv(path: Path, name: str) -> tuple[Sheet | None, list[Finding]]:
    try:
        text = path.read_bytes().decode("utf-8-sig")
        sheet = parse_csv(text, name, path.name)
    except UnicodeDecodeError as fault:
        problem = f"is not UTF-8 text (byte {fault.start + 1})."
        cure = "Save it again as “CSV UTF-8”."
        return None, [Finding("error", path.name, None, None, "", problem, cure)]
    except csv.Error as fault:
        problem, cure = f"cannot be read as CSV: {fault}.", "Look for a quotation mark that is never closed."
        return None, [Finding("error", path.name, None, None, "", problem, cure)]
    return sheet, []


def parse_csv(text: str, table: str, label: str) -> Sheet:
    """Read CSV text; its header line says what parts the cells: comma, semicolon or tab. Raises csv.Error."""
    first = text.split("\n", 1)[0]
    delimiter = max(",;\t", key=first.count)
    lines = io.StringIO(text, newline="")
    rows = list(csv.reader(lines, delimiter=delimiter, strict=True))
    return _sheet(table, label, rows, decimal_comma=delimiter != ",")


def _sheet(table: str, label: str, rows: list[list[str]], decimal_comma: bool = False) -> Sheet:
    header = tuple(cell.strip() for cell in rows[0]) if rows else ()
    filled = (
        (i, row) for i, row in enumerate(rows[1:], 2) if any(cell and not cell.isspace() for cell in row)
    )
    return Sheet(table, label, header, tuple(filled), decimal_comma)


def _cell_text(cell: Any) -> str:
    """Write a workbook's cell as the beekeeper would type it."""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() else repr(cell)
    if isinstance(cell, datetime):
        return cell.date().isoformat() if cell.time() == time() else cell.isoformat(" ")
    if isinstance(cell, time):
        return cell.strftime("%H:%M") if not cell.second else cell.isoformat()
    if isinstance(cell, timedelta):
        minutes, seconds = divmod(round(cell.total_seconds()), 60)
        return f"{minutes // 60:02d}:{minutes % 60:02d}" + (f":{seconds:02d}" if seconds else "")
    if isinstance(cell, date):
        return cell.isoformat()
    return str(cell)


def _settings_beside(folder: Path) -> Path | None:
    path = folder / SETTINGS_FILE
    return path if path.is_file() else None


def _missing(label: str, where: str) -> Finding:
    cure = f"Add it to {where}; `routeplan new` writes empty tables to fill in."
    return Finding("error", label, None, None, "", "is missing.", cure)


def _unknown_table(label: str, name: str, suffix: str) -> Finding:
    near = get_close_matches(name, TABLES, n=1)
    cure = f"Did you mean {near[0]}{suffix}?" if near else f"Tables used are: {', '.join(TABLES)}."
    return Finding("warning", label, None, None, "", "is not used.", cure)


def _twice(label: str) -> Finding:
    message = "is there twice, but for capitals or blanks in its name."
    return Finding("error", label, None, None, "", message, "Keep one of the two.")


def _not_used(label: str, why: str) -> Finding:
    return Finding("warning", label, None, None, "", f"is not used: {why}.", "Keep only one of the two.")
