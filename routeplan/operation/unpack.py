"""Opens the zip of a workbook in bounded memory and walks through the XML in it."""

import zipfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from xml.parsers import expat

from routeplan.operation.refuse import MOST_PARTS, MOST_UNPACKED_BYTES, RefusedError, refuse_size

Attributes = dict[str, str]
_CHUNK = 1 << 20
_OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
"""How files begin that old spreadsheet programs wrote, and workbooks locked with a password."""

Cell = tuple[int, int]
"""Row number as shown, column counted from 0."""


@dataclass
class Scan:
    """What is special in one sheet: marks and texts of cells, hidden and struck rows, how far it reaches."""

    marks: dict[Cell, str] = field(default_factory=dict)
    texts: dict[Cell, str] = field(default_factory=dict)
    hidden: list[int] = field(default_factory=list)
    hidden_columns: list[int] = field(default_factory=list)
    struck: list[int] = field(default_factory=list)
    rows: int = 0
    columns: int = 0

    def reach(self, row: int, column: int) -> None:
        """Note a filled cell. Raises RefusedError when it lies beyond any table."""
        self.rows = max(self.rows, row)
        self.columns = max(self.columns, column + 1)
        refuse_size(self.rows, self.columns)


@contextmanager
def unpacked(path: Path) -> Iterator[zipfile.ZipFile]:
    """Open a workbook's zip once it is known to unpack to a bearable size.

    Raises
    ------
    RefusedError
        When it is no workbook, is damaged or locked, or would unpack to too much.
    """
    try:
        with path.open("rb") as file:
            if file.read(len(_OLD)) == _OLD:
                raise unreadable("locked with a password, or an old .xls under another name")
        with zipfile.ZipFile(path) as parts:
            _refuse_unsound(parts)
            yield parts
    except RefusedError:
        raise
    except (zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, expat.ExpatError, OSError) as fault:
        raise unreadable(str(fault)) from fault
    except (KeyError, ValueError) as fault:  # a part or an attribute that must be there, or no number in it
        raise unreadable(f"damaged: {fault}") from fault


def _refuse_unsound(parts: zipfile.ZipFile) -> None:
    """Unpack all parts once: locked ones, and packings that cannot be undone, come out here."""
    try:
        _refuse_bomb(parts)
    except (RuntimeError, EOFError) as fault:  # what zipfile raises for them
        raise unreadable(f"damaged, or locked with a password: {fault}") from fault


def unreadable(why: str) -> RefusedError:
    """Return the refusal of a file that is no workbook."""
    return RefusedError(f"cannot be opened as a workbook ({why}).", "Save it again as .xlsx or .ods.")


def _refuse_bomb(parts: zipfile.ZipFile) -> None:
    """Unpack all parts once, a piece at a time: sizes in the zip's own list may be wrong."""
    infos = parts.infolist()
    large = RefusedError(
        f"unpacks to more than {MOST_UNPACKED_BYTES // 1_000_000} million bytes.",
        "Keep the sheets of this operation only; delete formatted rows and columns around the tables.",
    )
    if len(infos) > MOST_PARTS or sum(info.file_size for info in infos) > MOST_UNPACKED_BYTES:
        raise large
    left = MOST_UNPACKED_BYTES
    for info in infos:
        with parts.open(info) as part:
            while piece := part.read(_CHUNK):
                left -= len(piece)
                if left < 0:
                    raise large


class Walker:
    """Called back for each element of a part, by its name without prefix."""

    def start(self, tag: str, attributes: Attributes) -> None:
        """An element begins."""

    def end(self, tag: str) -> None:
        """An element ends."""

    def data(self, text: str) -> None:
        """Text inside an element."""


def walk(parts: zipfile.ZipFile, name: str, walker: Walker) -> None:
    """Walk through one part. Raises expat.ExpatError, or RefusedError when it declares names of its own."""
    plain: Callable[[str], str] = _without_prefix
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler = lambda tag, attributes: walker.start(
        plain(tag), {plain(key): value for key, value in attributes.items()}
    )
    parser.EndElementHandler = lambda tag: walker.end(plain(tag))
    parser.CharacterDataHandler = walker.data
    parser.StartDoctypeDeclHandler = _refuse_doctype
    with parts.open(name) as part:
        parser.ParseFile(part)


def _without_prefix(name: str) -> str:
    return name.rpartition(":")[2]


def _refuse_doctype(*_: object) -> None:
    raise unreadable("it declares names of its own")
