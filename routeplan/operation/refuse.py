"""What is refused before it is opened: files no beekeeper's table comes near, and links."""

from pathlib import Path

MOST_BYTES = 20_000_000
MOST_SETTINGS_BYTES = 1_000_000
MOST_UNPACKED_BYTES = 150_000_000
MOST_PARTS = 2_000
MOST_ROWS = 100_000
MOST_COLUMNS = 256
MOST_CELLS = 4_000_000


class RefusedError(ValueError):
    """What is given cannot be a table of an operation: what is wrong, and what to do instead."""

    def __init__(self, problem: str, cure: str) -> None:
        super().__init__(problem)
        self.problem = problem
        self.cure = cure


def read_bytes(path: Path, most: int = MOST_BYTES) -> bytes:
    """Return what is in a file. Raises RefusedError when it is too large or cannot be opened."""
    try:
        with path.open("rb") as file:
            data = file.read(most + 1)
    except OSError as fault:
        cure = "Close it in other programs, and see that you may read it."
        raise RefusedError(f"cannot be opened: {fault.strerror or fault}.", cure) from fault
    if len(data) > most:
        cure = "Keep the rows and columns that are needed, or see whether it is the right file."
        raise RefusedError(f"is larger than {most // 1_000_000} million bytes.", cure)
    return data


def refuse_link(path: Path) -> None:
    """Raise RefusedError when a folder is only a link to another one."""
    if path.is_symlink():
        raise RefusedError("is a link, not the folder itself.", "Name the folder the link leads to.")


def refuse_size(rows: int, columns: int) -> None:
    """Raise RefusedError when a table has more rows or columns than any operation needs."""
    if rows > MOST_ROWS:
        cure = "Keep the rows of this operation only; delete formatted rows below the table."
        raise RefusedError(f"has more than {MOST_ROWS:,} rows.", cure)
    if columns > MOST_COLUMNS:
        cure = "Keep the columns that are needed; delete what stands far to the right."
        raise RefusedError(f"has more than {MOST_COLUMNS} columns.", cure)
    if rows * columns > MOST_CELLS:
        cure = "Keep the rows and columns that are needed."
        raise RefusedError(f"has more than {MOST_CELLS:,} cells.", cure)
