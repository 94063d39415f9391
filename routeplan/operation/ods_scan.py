"""What an .ods (ISO/IEC 26300) says of its cells beside their values: formulas, hidden rows."""

import zipfile

from routeplan.operation.grids import NO_VALUE
from routeplan.operation.unpack import Attributes, Scan, Walker, walk


def scan_ods(parts: zipfile.ZipFile) -> dict[str, Scan]:
    """Walk through all sheets of an .ods, by title. Raises as unpack.walk does."""
    reader = _Tables()
    walk(parts, "content.xml", reader)
    return reader.sheets


class _Tables(Walker):
    """Follows the cells of all tables; one element may stand for many cells or rows alike."""

    def __init__(self) -> None:
        self.sheets: dict[str, Scan] = {}
        self._scan = Scan()
        self._row = 0
        self._rows = 1
        self._column = 0

    def start(self, tag: str, attributes: Attributes) -> None:
        if tag == "table" and "name" in attributes:
            self._scan = self.sheets.setdefault(attributes["name"], Scan())
            self._row, self._rows = 0, 0
        elif tag == "table-row":
            self._row += self._rows
            self._rows = int(attributes.get("number-rows-repeated", "1"))
            self._column = 0
            if attributes.get("visibility") in ("collapse", "filter") and self._rows < 10_000:
                self._scan.hidden += range(self._row + 1, self._row + self._rows + 1)
        elif tag in ("table-cell", "covered-table-cell"):
            columns = int(attributes.get("number-columns-repeated", "1"))
            self._cell(attributes, columns)
            self._column += columns

    def _cell(self, attributes: Attributes, columns: int) -> None:
        if "value-type" not in attributes and "formula" not in attributes:
            return
        self._scan.reach(self._row + self._rows, self._column + columns - 1)
        if "value-type" not in attributes:
            for row in range(self._row + 1, self._row + self._rows + 1):
                for column in range(self._column, self._column + columns):
                    self._scan.marks[row, column] = NO_VALUE
