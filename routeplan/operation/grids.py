"""Tables as text: a grid as it lies in a file, and a sheet whose header row is found."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

Rows = tuple[tuple[int, Sequence[str]], ...]


@dataclass(frozen=True)
class Grid:
    """All filled rows of one CSV file or one sheet of a workbook.

    Attributes
    ----------
    name : stem of the file or title of the sheet.
    label : what the beekeeper calls it, e.g. "hives.csv" or "operation.xlsx, hives".
    rows : (row number as a spreadsheet shows it, cells).
    decimal_comma : a comma is the decimal mark in it.
    days_from_1904 : plain numbers for days count from 1904, not from 1900.
    marks : what is special about a cell, by row number and column counted from 0.
    hidden : row numbers that are hidden.
    hidden_columns : columns that are hidden, counted from 0.
    struck : numbers of rows with a line through what stands there.
    shown : False for a sheet that is hidden as a whole.
    typed : its cells know what they are, so that a date in it was once read by a spreadsheet.
    """

    name: str
    label: str
    rows: Rows
    decimal_comma: bool = False
    days_from_1904: bool = False
    marks: Mapping[tuple[int, int], str] = field(default_factory=dict)
    hidden: tuple[int, ...] = ()
    hidden_columns: tuple[int, ...] = ()
    struck: tuple[int, ...] = ()
    shown: bool = True
    typed: bool = False


@dataclass(frozen=True)
class Sheet:
    """One table as text, its header row apart from the rows under it; else as in a Grid."""

    table: str
    label: str
    header: tuple[str, ...]
    rows: Rows
    decimal_comma: bool = False
    days_from_1904: bool = False
    marks: Mapping[tuple[int, int], str] = field(default_factory=dict)
    typed: bool = False


NO_VALUE = "formula without a value"
POWER = "shown as a power of ten"
LONG = "longer than a spreadsheet keeps"
SHOWN = "a name as shown: "
"""Marks of a cell; behind SHOWN stands what is shown in place of its number."""
