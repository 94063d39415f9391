"""Reads a workbook into grids: values as stored, told as the text a beekeeper would type."""

from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from routeplan.operation.characters import is_blank
from routeplan.operation.findings import Finding
from routeplan.operation.grids import Grid
from routeplan.operation.ods_scan import scan_ods
from routeplan.operation.refuse import MOST_BYTES, RefusedError, read_bytes
from routeplan.operation.synonyms import table_named
from routeplan.operation.unpack import Scan, unpacked, unreadable
from routeplan.operation.xlsx_scan import Scans, scan_xlsx

Cells = list[list[str]]


def read_workbook(path: Path) -> tuple[list[Grid], list[Finding]]:
    """Read all sheets of a workbook; none and an error when it cannot be read."""
    try:
        return _grids(path)
    except RefusedError as fault:
        return [], [Finding("error", path.name, None, None, "", fault.problem, fault.cure)]


def _grids(path: Path) -> tuple[list[Grid], list[Finding]]:
    from python_calamine import CalamineError, SheetVisibleEnum, load_workbook

    read_bytes(path, MOST_BYTES)
    scans = _scan(path)
    grids, findings = [], []
    try:
        book = load_workbook(str(path))
        for sheet in book.sheets_metadata:
            opened = book.get_sheet_by_name(sheet.name)
            label = f"{path.name}, {sheet.name}"
            texts = [[cell_text(c) for c in row] for row in opened.to_python(skip_empty_area=False)]
            findings += _merged(texts, label, opened.merged_cell_ranges or [])
            shown = sheet.visible == SheetVisibleEnum.Visible
            grid = _grid(sheet.name, label, texts, scans, shown)
            grids += [grid] if grid.rows or table_named(grid.name) else []
            findings += [_hidden_sheet(label)] if grid.rows and not shown else []
    except (CalamineError, OSError) as fault:
        raise unreadable(str(fault)) from fault
    return grids, findings


def _scan(path: Path) -> Scans:
    with unpacked(path) as parts:
        names = parts.namelist()
        if "xl/workbook.xml" in names:
            return scan_xlsx(parts)
        if "content.xml" in names:
            return Scans(scan_ods(parts))
    raise unreadable("it holds no sheets")


def _grid(title: str, label: str, texts: Cells, scans: Scans, shown: bool) -> Grid:
    scan = scans.sheets.get(title, Scan())
    for (number, column), text in scan.texts.items():
        if number <= len(texts) and column < len(texts[number - 1]):
            texts[number - 1][column] = text
    with_marks = {number for number, _ in scan.marks}
    rows = tuple(
        (number, cells)
        for number, cells in enumerate(texts, 1)
        if number in with_marks or not all(map(is_blank, cells))
    )
    return Grid(
        title.strip(),
        label,
        rows,
        days_from_1904=scans.days_from_1904,
        marks=scan.marks,
        hidden=tuple(scan.hidden),
        hidden_columns=tuple(scan.hidden_columns),
        struck=tuple(scan.struck),
        shown=shown,
        typed=True,
    )


def _merged(texts: Cells, label: str, ranges: list[Any]) -> list[Finding]:
    """Let a cell merged down over several rows count in each of them, as it is meant."""
    filled = []
    for (top, left), (bottom, _) in ranges:
        if top < bottom < len(texts) and left < len(texts[top]) and not is_blank(texts[top][left]):
            for row in range(top + 1, bottom + 1):
                texts[row][left] = texts[top][left]
            filled.append((top, left))
    if not filled:
        return []
    top, left = filled[0]
    message = f"{len(filled)} cells are merged over several rows: each counts for all its rows."
    cure = "Write it in every row."
    return [Finding("warning", label, top + 1, None, texts[top][left], message, cure)]


def _hidden_sheet(label: str) -> Finding:
    return Finding(
        "warning", label, None, None, "", "is hidden.", "Show it, or delete it if it is not meant."
    )


def cell_text(cell: Any) -> str:
    """Write a workbook's cell as the beekeeper would type it."""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, bool):
        return "TRUE" if cell else "FALSE"
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() else repr(cell)
    if isinstance(cell, datetime):
        return _moment(cell)
    if isinstance(cell, time):
        return cell.strftime("%H:%M") if not cell.second else cell.isoformat()
    if isinstance(cell, timedelta):
        minutes, seconds = divmod(round(cell.total_seconds()), 60)
        return f"{minutes // 60:02d}:{minutes % 60:02d}" + (f":{seconds:02d}" if seconds else "")
    if isinstance(cell, date):
        return cell.isoformat()
    return str(cell)


def _moment(cell: datetime) -> str:
    """A day with a time; midnight is the day alone, a day before all days the time alone."""
    if cell.year < 1900:
        return cell.strftime("%H:%M")
    return cell.date().isoformat() if cell.time() == time() else cell.isoformat(" ", "minutes")
