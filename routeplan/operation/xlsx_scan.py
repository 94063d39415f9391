"""What an .xlsx (ISO/IEC 29500) says of its cells beside their values: formats, formulas, hidden rows."""

import re
import zipfile
from dataclasses import dataclass
from pathlib import PurePosixPath

from routeplan.operation.grids import LONG, NO_VALUE, POWER, SHOWN
from routeplan.operation.refuse import MOST_COLUMNS
from routeplan.operation.shown_numbers import shown
from routeplan.operation.unpack import Attributes, Scan, Walker, walk

_ZEROS = re.compile(r"0{2,}")
_SPECIAL = re.compile(r"E\+|%", re.IGNORECASE)
_DIGITS = re.compile(r"[0-9]+")
_SEEN = 0.5
"""Points of a row's height, letters of a column's width, of which something can be seen."""
_LONGEST = 15
"""Digits of a number that a spreadsheet keeps."""


@dataclass(frozen=True)
class Scans:
    """Each sheet of a workbook by title, and whether its days count from 1904."""

    sheets: dict[str, Scan]
    days_from_1904: bool = False


def scan_xlsx(parts: zipfile.ZipFile) -> Scans:
    """Walk through all sheets of an .xlsx. Raises as unpack.walk does, KeyError where a part is missing."""
    book, relations, styles = _Book(), _Relations(), _Styles()
    walk(parts, "xl/workbook.xml", book)
    walk(parts, "xl/_rels/workbook.xml.rels", relations)
    names = set(parts.namelist())
    if "xl/styles.xml" in names:
        walk(parts, "xl/styles.xml", styles)
    sheets = {}
    for title, relation in book.sheets:
        part = _part_of(relations.targets.get(relation, ""))
        if part in names:
            reader = _Cells(styles.formats, styles.struck)
            walk(parts, part, reader)
            sheets[title] = reader.scan
    return Scans(sheets, book.days_from_1904)


def _part_of(target: str) -> str:
    return target.lstrip("/") if target.startswith("/") else str(PurePosixPath("xl") / target)


class _Relations(Walker):
    def __init__(self) -> None:
        self.targets: dict[str, str] = {}

    def start(self, tag: str, attributes: Attributes) -> None:
        if tag == "Relationship":
            self.targets[attributes["Id"]] = attributes["Target"]


class _Book(Walker):
    """Titles of the sheets with their relations, and the first day that days count from."""

    def __init__(self) -> None:
        self.sheets: list[tuple[str, str]] = []
        self.days_from_1904 = False

    def start(self, tag: str, attributes: Attributes) -> None:
        if tag == "sheet":
            self.sheets.append((attributes.get("name", ""), attributes.get("id", "")))
        elif tag == "workbookPr":
            self.days_from_1904 = attributes.get("date1904") in ("1", "true")


class _Styles(Walker):
    """The number format of each cell style: zeros, a power of ten, per cent, text, or "" for others."""

    def __init__(self) -> None:
        self.formats: list[str] = []
        self.struck: list[bool] = []
        """Whether each cell style has a line through its text."""
        self._fonts: list[bool] = []
        self._in_fonts = False
        self._codes = {"9": "0%", "10": "0.00%", "11": "0.00E+00", "48": "##0.0E+0"}
        self._in_cells = False

    def start(self, tag: str, attributes: Attributes) -> None:
        if tag == "numFmt":
            self._codes[attributes["numFmtId"]] = attributes.get("formatCode", "")
        elif tag == "fonts":
            self._in_fonts = True
        elif tag == "font" and self._in_fonts:
            self._fonts.append(False)
        elif tag == "strike" and self._in_fonts and self._fonts:
            self._fonts[-1] = attributes.get("val", "1") not in ("0", "false")
        elif tag == "cellXfs":
            self._in_cells = True
        elif tag == "xf" and self._in_cells:
            code = self._codes.get(attributes.get("numFmtId", "0"), "")
            told = _ZEROS.fullmatch(code) or _SPECIAL.search(code) or shown(code, "1")
            self.formats.append(code if told else "")
            font = int(attributes.get("fontId", "0"))
            self.struck.append(font < len(self._fonts) and self._fonts[font])

    def end(self, tag: str) -> None:
        if tag == "cellXfs":
            self._in_cells = False
        elif tag == "fonts":
            self._in_fonts = False


class _Cells(Walker):
    """Follows the cells of one sheet."""

    def __init__(self, formats: list[str], struck: list[bool]) -> None:
        self.scan = Scan()
        self._formats = formats
        self._struck = struck
        self._row = 0
        self._column = -1
        self._kind = ""
        self._format = ""
        self._through = False
        self._formula = False
        self._value: list[str] = []
        self._in_value = False

    def start(self, tag: str, attributes: Attributes) -> None:
        if tag == "c":
            place = attributes.get("r")
            self._column = column_of(place) if place else self._column + 1
            self._kind = attributes.get("t", "n")
            style = int(attributes.get("s", "0"))
            self._format = self._formats[style] if style < len(self._formats) else ""
            self._through = style < len(self._struck) and self._struck[style]
            self._formula, self._value = False, []
        elif tag in ("v", "t"):
            self._in_value = True
        elif tag == "f":
            self._formula = True
        elif tag == "col" and _is_hidden(attributes, "width"):
            first, last = int(attributes["min"]), int(attributes["max"])
            self.scan.hidden_columns += range(first - 1, min(last, MOST_COLUMNS))
        elif tag == "row":
            self._row = int(attributes.get("r", self._row + 1))
            self._column = -1
            if _is_hidden(attributes, "ht"):
                self.scan.hidden.append(self._row)

    def data(self, text: str) -> None:
        if self._in_value:
            self._value.append(text)

    def end(self, tag: str) -> None:
        if tag in ("v", "t"):
            self._in_value = False
        elif tag == "c" and (self._value or self._formula):
            self._close("".join(self._value))

    def _close(self, value: str) -> None:
        """Note what is special about the cell that ends here."""
        scan, place = self.scan, (self._row, self._column)
        scan.reach(*place)
        if self._through and self._row not in scan.struck[-1:]:
            scan.struck.append(self._row)
        if self._formula and not value and self._kind != "str":
            scan.marks[place] = NO_VALUE
        elif self._kind == "e":
            scan.texts[place] = value
        elif self._kind == "n" and "%" in self._format and value:
            scan.texts[place] = f"{float(value) * 100:.10g}%"
        elif self._kind == "n" and self._format and _DIGITS.fullmatch(value):
            if text := shown(self._format, value):
                scan.marks[place] = SHOWN + text
            elif "E" in self._format.upper():
                scan.marks[place] = POWER
            else:
                scan.texts[place] = value.zfill(len(self._format))
        elif self._kind == "n" and len(value) > _LONGEST and _is_long(value):
            scan.marks[place] = LONG


def _is_hidden(attributes: Attributes, size: str) -> bool:
    """Whether a row or column is hidden, or drawn together until nothing of it is seen."""
    return attributes.get("hidden") in ("1", "true") or float(attributes.get(size, "1")) < _SEEN


def _is_long(value: str) -> bool:
    return abs(float(value)) >= float(10**_LONGEST)


def column_of(place: str) -> int:
    """Return the column of a place like E2, counted from 0."""
    column = 0
    for letter in place.rstrip("0123456789"):
        column = column * 26 + ord(letter.upper()) - ord("A") + 1
    return column - 1
