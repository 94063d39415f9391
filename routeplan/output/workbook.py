"""The plan as a workbook, for those who go on working with it in a spreadsheet."""

import os
from pathlib import Path

import pandas as pd
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from routeplan.operation.world import Operation
from routeplan.output import forecast_sheet, result_sheets, work_sheets
from routeplan.output.day import Day, day_of
from routeplan.output.inert import writable
from routeplan.output.sheet import Cell, Sheet
from routeplan.plan import Plan

WIDEST = 60
CELL_LETTERS = 32_767
"""Longest text of a cell, a limit of the format."""
ALWAYS = (
    "Stops",
    "Hive work",
    "Next hives",
    "Splits",
    "Load",
    "Weeks after",
    "Looks",
    "Forecast",
    "Not in the plan",
    "Hives",
    "Totals",
)
"""Sheets that are there on every day; the others only when the plan has something for them."""


def write_workbook(
    operation: Operation, plan: Plan, path: str | os.PathLike[str], shared: bool = False
) -> None:
    """Write the plan as an .xlsx workbook; the file appears whole or not at all.

    Sheets: those of ALWAYS, and First passes, Feed, What helps, Other plans, Money where the plan has them.
    Numbers are numbers, their unit in the header; times of day are text HH:MM. Text that looks like a formula
    stays text.

    Parameters
    ----------
    operation : what the plan was made from.
    plan : the day's plan.
    path : where to write.
    shared : a copy to pass on, without positions, gate codes and notes.

    Raises
    ------
    OSError : the file cannot be written.
    """
    target = Path(path)
    unfinished = target.with_name(f".{target.stem}.part.xlsx")
    try:
        with pd.ExcelWriter(unfinished, engine="openpyxl") as writer:
            for name, (columns, rows) in sheets(day_of(operation, plan, shared)).items():
                table = pd.DataFrame(rows, columns=list(columns), dtype=object)
                table.map(_writable).to_excel(writer, sheet_name=name, index=False)
                _finish(writer.sheets[name])
        unfinished.replace(target)
    finally:
        unfinished.unlink(missing_ok=True)


def sheets(day: Day) -> dict[str, Sheet]:
    """Return every sheet's columns and rows, by name, in order."""
    found = {
        "Stops": work_sheets.stops(day),
        "Hive work": work_sheets.hive_work(day),
        "First passes": work_sheets.first_passes(day),
        "Next hives": work_sheets.next_hives(day),
        "Splits": result_sheets.splits(day),
        "Load": work_sheets.load_list(day),
        "Weeks after": result_sheets.weeks_after(day),
        "Looks": result_sheets.dated_looks(day),
        "Forecast": forecast_sheet.how_they_fare(day),
        "Feed": forecast_sheet.what_is_fed(day),
        "Not in the plan": result_sheets.not_in_the_plan(day),
        "What helps": result_sheets.what_helps(day),
        "Other plans": result_sheets.other_plans(day),
        "Hives": result_sheets.hives(day),
        "Money": result_sheets.costs(day),
        "Totals": result_sheets.totals(day),
    }
    return {name: sheet for name, sheet in found.items() if sheet[1] or name in ALWAYS}


def _writable(value: Cell) -> Cell:
    if not isinstance(value, str):
        return value
    return writable(value)[:CELL_LETTERS] or None


def _finish(sheet: Worksheet) -> None:
    """Make every text inert, the header stand still and the columns wide enough to read.

    Text wraps, and stands at the top, in rows that hold more than one line; styles are dear in large sheets.
    """
    sheet.freeze_panes = "A2"
    for column in sheet.iter_cols():
        longest = max(len(str(cell.value)) for cell in column if cell.value is not None)
        sheet.column_dimensions[get_column_letter(column[0].column)].width = min(WIDEST, max(8, longest + 2))
    for row in sheet.iter_rows():
        texts = [cell for cell in row if isinstance(cell.value, str)]
        wraps = any(len(cell.value) + 2 > WIDEST or "\n" in cell.value for cell in texts)
        for cell in texts:
            cell.data_type = "s"
            if wraps:
                cell.alignment = Alignment(wrap_text=True, vertical="top")
            if cell.row > 1 and cell.value[:1] in ("=", "+", "-", "@", "\t", "\r"):
                cell.quotePrefix = True
        if row[0].row == 1:
            for cell in row:
                cell.font = Font(bold=True)
