"""Starts an operation: empty tables to fill in, or the example to look at."""

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from routeplan.operation.columns import TABLES
from routeplan.operation.setting_words import settings_text
from routeplan.operation.tables import SETTINGS_FILE


def start_operation(folder: Path, example: bool = False) -> list[Path]:
    """Write the tables of a new operation.

    Parameters
    ----------
    folder : where to write; made if it is not there.
    example : write the invented example instead of empty tables.

    Returns
    -------
    The files written.

    Raises
    ------
    FileExistsError
        When one of the files is already there; nothing is written then.
    """
    texts = _example_texts() if example else _empty_texts()
    paths = {folder / name: text for name, text in texts.items()}
    for path in paths:
        if path.exists():
            raise FileExistsError(f"{path} is already there; nothing was written.")
    folder.mkdir(parents=True, exist_ok=True)
    for path, text in paths.items():
        path.write_text(text, encoding="utf-8", newline="\n")
    return list(paths)


def _empty_texts() -> dict[str, str]:
    tables = {f"{name}.csv": ",".join(c.name for c in columns) + "\n" for name, columns in TABLES.items()}
    return tables | {SETTINGS_FILE: settings_text()}


def _example_texts() -> dict[str, str]:
    """The example lies in the installed package; in a checkout it lies in data/example."""
    room: Traversable = files("routeplan") / "example"
    if not room.is_dir():
        room = Path(__file__).parents[2] / "data" / "example"
    found = {item.name: item for item in room.iterdir() if item.is_file()}
    return {name: found[name].read_text(encoding="utf-8") for name in sorted(found)}
