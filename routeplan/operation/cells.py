"""Reads the cells of one column: codes, a spreadsheet's marks, dates in one order, then the kind of value."""

import re
from collections.abc import Iterable, Iterator
from typing import Any

from routeplan.operation import dates, values
from routeplan.operation.characters import clean, same
from routeplan.operation.columns import Column
from routeplan.operation.grids import LONG, POWER, SHOWN, Sheet
from routeplan.operation.own_words import OwnWords
from routeplan.operation.unreadable import UnreadableError

_ERROR_CELL = re.compile(
    r"#[¡¿]?[^\W\d_a-z][^\Wa-z]*(?:/[^\Wa-z]+)?[!?]|#N/[AD]|#NV|#GETTING_DATA|#{3,}|Err:[0-9]{3}"
)
"""#REF!, #N/A and the like, in the words of any language; a cell too narrow for its number."""
_POWER_OF_TEN = re.compile(r"[0-9](?:[.,][0-9]+)?E\+[0-9]+", re.IGNORECASE)
_ONCE_A_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{1,2}-[A-Z][a-z]{2}|[A-Z][a-z]{2}-[0-9]{2}")
PER_HUNDRED = "mites per 100 bees"
"""Unit of what may be written in per cent too."""
_MADE_INERT = re.compile(r"^'(?='*[=+\-@])")


class ColumnReader:
    """Reads the texts of one column of one sheet.

    Parameters
    ----------
    column : the column.
    sheet : the sheet it stands in.
    words : the beekeeper's own headers and codes.
    header : its header as written.
    date_order : what settings.toml says of dates whose column does not tell.
    """

    def __init__(
        self, column: Column, sheet: Sheet, words: OwnWords, header: str, date_order: str = ""
    ) -> None:
        self.column = column
        self._sheet = sheet
        self._header = header
        self._meanings = words.meanings(sheet.table, column.name)
        self._each = words.each(sheet.table, header)
        self._date_order = date_order
        self._order = dates.Order()
        self._turned_round = ""
        self._converted: dict[str, str] = {}

    def look_at(self, texts: Iterable[str]) -> None:
        """Look at all texts of the column before one is read: together they may tell the order of dates."""
        if self.column.kind == "date":
            plain = [self._plain(text) for text in texts]
            self._order = dates.order_of(plain, self._header, self._date_order)
            self._turned_round = dates.turned_round(plain) if self._sheet.typed else ""

    def read(self, text: str) -> Any:
        """Return the value of a text, the column's default for a blank, or an UnreadableError as a value."""
        plain = self._plain(text)
        if not plain:
            return self.column.default
        try:
            return self._value(plain)
        except UnreadableError as fault:
            return self._with_codes(fault) if self.column.kind in ("choice", "yes/no") else fault

    def _with_codes(self, fault: UnreadableError) -> UnreadableError:
        section = f"[codes.{self._sheet.table}.{self.column.name}]"
        cure = f"{fault.cure} Or say under {section} in settings.toml what it stands for."
        return UnreadableError(fault.problem, cure)

    def remarks(self) -> Iterator[tuple[str, str, str]]:
        """Yield what is to be said of the column as a whole: a text of it, a remark, what to do."""
        proof, first, asked = self._order.proof, self._order.first, self._date_order
        if proof and asked and first != asked:
            message = f"“{proof}” can only be {first}, so the column is read so; the setting says {asked}."
            yield proof, message, "Correct the date, or date_order in settings.toml."
        if day := self._turned_round:
            message = f"{day} may have been turned round by the spreadsheet: “{proof}” was left as text."
            yield day, message, "See whether day and month are right in the real dates."
        for text, meaning in list(self._converted.items())[:1]:
            more = f", and {len(self._converted) - 1} more like it" if len(self._converted) > 1 else ""
            message = f"“{text}” is read as a spreadsheet's own number for {meaning}{more}."
            yield text, message, "Format the column as dates or times, or write them out."

    def _plain(self, text: str) -> str:
        if self.column.kind == "text":
            text = _MADE_INERT.sub("", text)
            return self._meanings.get(same(text), text) if self._meanings else text
        plain = _MADE_INERT.sub("", clean(text))
        return self._meanings.get(plain.casefold(), plain) if self._meanings else plain

    def _value(self, plain: str) -> Any:
        if self.column.kind != "text" and _ERROR_CELL.fullmatch(plain):
            raise UnreadableError(
                "is a fault of the spreadsheet's own.", "Correct the formula, or write the value itself."
            )
        if self.column.kind == "date":
            day = dates.day_of(plain, self._order, self._sheet.days_from_1904)
            if dates.is_serial(plain):
                self._converted[plain] = day.isoformat()
            return day
        if self.column.unit == PER_HUNDRED and plain.endswith("%"):
            plain = plain.removesuffix("%").strip()
        value = read_cell(self.column, plain, self._sheet.decimal_comma, self._each)
        if self.column.kind == "time" and values.is_share_of_day(plain):
            self._converted[plain] = f"{value // 60:02d}:{value % 60:02d}"
        return value


def read_cell(column: Column, text: str, decimal_comma: bool = False, each: float = 1.0) -> Any:
    """Return the value of one filled cell; a number counts `each` units. Raises UnreadableError."""
    if column.kind == "choice":
        return values.choice(text, column.options)
    value = values.PARSERS[column.kind](text, decimal_comma)
    if column.kind in ("number", "whole"):
        value *= each if each != 1 else 1
        if value < column.least:
            low = "below zero" if column.least == 0 else f"less than {column.least:g}"
            raise UnreadableError(f"is {low}.", f"Write {column.least:g} or more, or leave it blank.")
        if value > column.most:
            raise UnreadableError(f"is more than {column.most:g}.", "Look at the figure again.")
    return value


def no_value(place: str) -> UnreadableError:
    """Return the fault of a cell whose formula was never worked out."""
    return UnreadableError(
        f"This cell has a formula but no saved value ({place}).",
        "Open the workbook in a spreadsheet program and save it, or write the value itself.",
    )


def doubts(column: Column, text: str, mark: str | None) -> Iterator[tuple[str, str]]:
    """Yield what may be wrong with a cell that was read, and what to do: names that spreadsheets change."""
    if column.kind == "text" and _ERROR_CELL.fullmatch(text):
        yield f"“{text}” is a fault of the spreadsheet's own, kept as text.", "Correct the formula."
    if column.kind != "id":
        return
    cure = "Format the column as text and type the name again if it is wrong."
    if mark == POWER:
        shown, typed = f"{float(text):.2E}", f"{float(text):.0E}".replace("+0", "").replace("+", "")
        yield f"“{text}” is a number shown as {shown}: it may have been typed as {typed}.", cure
    elif _POWER_OF_TEN.fullmatch(text):
        yield f"“{text}” looks like a name such as 1E5 that a spreadsheet made a number of.", cure
    elif mark and mark.startswith(SHOWN):
        yield (
            f"“{text}” is how a number is shown, and read so.",
            "Format the column as text and type the names.",
        )
    elif mark == LONG:
        yield f"“{text}” is a number longer than a spreadsheet keeps: its last figures are lost.", cure
    elif _ONCE_A_DATE.fullmatch(text):
        yield f"“{text}” looks like a name such as 1-2 that a spreadsheet made a date of.", cure
