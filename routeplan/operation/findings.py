"""What is wrong, or worth knowing, about the input: data with a place, never an exception."""

from dataclasses import dataclass
from typing import Literal

Level = Literal["error", "warning"]


@dataclass(frozen=True)
class Finding:
    """One fault or remark about the input.

    Attributes
    ----------
    level : "error" stops planning, "warning" does not.
    table : file or sheet the beekeeper knows, e.g. "hives.csv" or "operation.xlsx, hives".
    row : row number as a spreadsheet shows it (header is row 1), None for the whole table.
    column : header as written in the file, None for the whole row.
    found : the text found, as written; "" where there is none.
    message : what is wrong, in one sentence.
    cure : what to do about it, in one sentence.
    """

    level: Level
    table: str
    row: int | None
    column: str | None
    found: str
    message: str
    cure: str

    def sentence(self) -> str:
        """Return the finding as one line: place, what is wrong, what to do."""
        at = self._at()
        return f"{self.table}{', ' + at if at else ''}: {self.message} {self.cure}".rstrip()

    def in_table(self) -> str:
        """Return the finding as one line below the name of its table."""
        at = self._at()
        return f"{at + ': ' if at else ''}{self.message} {self.cure}".rstrip()

    def _at(self) -> str:
        row = None if self.row is None else f"row {self.row}"
        column = None if self.column is None else f"column {self.column}"
        return ", ".join(part for part in (row, column) if part)


def errors(findings: list[Finding]) -> list[Finding]:
    """Return only the findings that stop planning."""
    return [f for f in findings if f.level == "error"]
