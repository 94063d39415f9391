"""Tables as one workbook: a sheet for each, lists to choose from, a note on each column, and the guide."""

import io
import re
from datetime import date, time

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from routeplan.operation import guide
from routeplan.operation.columns import TABLES, Column
from routeplan.operation.example_rows import EXAMPLE_MARK

LAST_ROW = 5000
FORMULA_STARTS = "=+-@\t\r"
"""A text that begins so is kept from being taken for a formula."""
FORMATS = {
    "id": "@",
    "text": "@",
    "format": "@",
    "place": "@",
    "days": "@",
    "date": "yyyy-mm-dd",
    "time": "hh:mm",
}
YARDS = ("yard", "other", "from", "to")
HEALTH = ("clear", "suspected", "confirmed")
PROMPT_LETTERS, TITLE_LETTERS = 255, 32
"""Limits of the file format."""


def table_workbook(tables: dict[str, list[list[str]]]) -> bytes:
    """Return tables of text, each with its header row first, as an .xlsx workbook with a sheet for each."""
    book = Workbook()
    book.remove(book.active)
    yards = tables.get("yards", [])
    first_yard = 3 if len(yards) > 1 and yards[1][0].startswith(EXAMPLE_MARK) else 2
    for name, (header, *rows) in tables.items():
        sheet = book.create_sheet(name)
        known = {column.name: column for column in TABLES[name]}
        columns = [known[word] for word in header]
        sheet.append(header)
        for texts in rows:
            _fill(sheet, columns, texts)
        _dress(sheet, columns, name, first_yard)
    _add_guide(book.create_sheet(guide.SHEET))
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def _fill(sheet: Worksheet, columns: list[Column], texts: list[str]) -> None:
    example = texts[0].startswith(EXAMPLE_MARK)
    number = sheet.max_row + 1
    for i, (column, text) in enumerate(zip(columns, texts, strict=True), 1):
        if not text:
            continue
        cell = sheet.cell(number, i, text)
        cell.data_type = "s"
        if example:
            cell.font = Font(italic=True, color="FF777777")
        else:
            _type(cell, column, text)
        cell.number_format = FORMATS.get(column.kind, cell.number_format)
        cell.quotePrefix = cell.data_type == "s" and text[0] in FORMULA_STARTS


def _type(cell: Cell, column: Column, text: str) -> None:
    """Turn plain numbers, dates and times into cells of their own kind; any other text stays text."""
    if column.kind in ("number", "whole", "latitude", "longitude") and re.fullmatch(r"-?\d+(\.\d+)?", text):
        cell.value = float(text) if "." in text else int(text)
        if column.kind in ("latitude", "longitude"):
            cell.number_format = "0." + "0" * len(text.partition(".")[2])
    elif column.kind == "date" and re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        cell.value = date.fromisoformat(text)
    elif column.kind == "time" and re.fullmatch(r"\d\d:\d\d", text) and text != "24:00":
        cell.value = time.fromisoformat(text)


def _dress(sheet: Worksheet, columns: list[Column], table: str, first_yard: int) -> None:
    sheet.freeze_panes = "B2"
    for i, column in enumerate(columns, 1):
        letter = get_column_letter(i)
        head = sheet.cell(1, i)
        head.font = Font(bold=True)
        longest = max(len(str(cell.value or "")) for cell in sheet[letter])
        width = sheet.column_dimensions[letter]
        width.width = min(40, max(9, longest + 2))
        if column.kind in FORMATS:
            width.number_format = FORMATS[column.kind]
        rule = _rule(column, table, first_yard)
        sheet.add_data_validation(rule)
        rule.add(f"{letter}2:{letter}{LAST_ROW}")


def _rule(column: Column, table: str, first_yard: int) -> DataValidation:
    """Return what a column lets one choose or warns of; none forbids: reading knows more spellings."""
    if column.kind == "choice":
        rule = _list(f'"{",".join(column.options)}"')
    elif column.kind == "yes/no":
        rule = _list('"yes,no"')
    elif column.kind == "health":
        rule = _list(f'"{",".join(HEALTH)}"')
    elif column.kind == "id" and column.name in YARDS and table != "yards":
        rule = _list(f"yards!$A${first_yard}:$A${LAST_ROW}")
    elif column.kind in ("number", "whole"):
        kind = "whole" if column.kind == "whole" else "decimal"
        rule = DataValidation(
            kind, formula1=f"{column.least:g}", formula2=f"{column.most:.0f}", operator="between"
        )
    elif column.kind in ("latitude", "longitude"):
        most = 90 if column.kind == "latitude" else 180
        rule = DataValidation("decimal", formula1=f"{-most}", formula2=f"{most}", operator="between")
    elif column.kind == "date":
        rule = DataValidation("date", formula1="36526", operator="greaterThan")
    elif column.kind == "time":
        rule = DataValidation("time", formula1="0", formula2="0.999988", operator="between")
    else:
        rule = DataValidation(None)
    rule.errorStyle, rule.allow_blank = "warning", True
    rule.showErrorMessage = rule.type is not None
    rule.error = f"Usual here: {guide.written(column)}. Keep it all the same?"[:PROMPT_LETTERS]
    rule.showInputMessage = True
    rule.promptTitle = column.name[:TITLE_LETTERS]
    unit = f" ({column.unit})" if column.unit else ""
    rule.prompt = f"{column.meaning}{unit}. Blank: {guide.blank(column)}."[:PROMPT_LETTERS]
    return rule


def _list(formula: str) -> DataValidation:
    return DataValidation("list", formula1=formula)


def _add_guide(sheet: Worksheet) -> None:
    sheet.append([guide.HOW])
    sheet.append(guide.HEADINGS)
    for row in guide.rows():
        sheet.append(row)
    sheet.freeze_panes = "A3"
    for row in sheet.iter_rows(min_row=2):
        for cell in row:
            cell.alignment = Alignment(wrap_text=True, vertical="top")
            cell.font = Font(bold=cell.row == 2)
            if isinstance(cell.value, str):
                cell.data_type = "s"
    for letter, width in zip("ABCDEFG", (10, 16, 30, 16, 24, 24, 50), strict=True):
        sheet.column_dimensions[letter].width = width
