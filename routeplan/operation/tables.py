"""Opens a folder of CSV files or one workbook and hands out grids of text; no cell is interpreted here."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from routeplan.operation.csv_files import read_csv
from routeplan.operation.findings import Finding
from routeplan.operation.grids import Grid
from routeplan.operation.refuse import RefusedError, refuse_link
from routeplan.operation.synonyms import table_named
from routeplan.operation.workbooks import read_workbook

WORKBOOKS = (".xlsx", ".xlsm", ".ods")
TEXTS = (".csv", ".tsv", ".tab")
NOT_READ = (".xls", ".xlsb", ".numbers", ".fods")
"""Ends of files that may hold tables and are not read; others lie in the folder for other reasons."""
SETTINGS_FILE = "settings.toml"


@dataclass(frozen=True)
class Source:
    """All grids found, settings.toml where there is one, and what is to be said of the files.

    `where` is what the beekeeper calls the place of the tables; `suffix` is how their files end.
    """

    grids: tuple[Grid, ...]
    settings: Path | None
    findings: tuple[Finding, ...]
    where: str = ""
    suffix: str = ""


def open_source(source: Path) -> Source:
    """Open the tables of an operation.

    Parameters
    ----------
    source : folder of CSV files, folder with one workbook, or a workbook (.xlsx, .xlsm, .ods).
    """
    try:
        if source.is_dir():
            refuse_link(source)
            return _open_folder(source)
    except RefusedError as fault:
        return _nothing(source.name, fault.problem, fault.cure)
    if source.is_file() and source.suffix.casefold() in WORKBOOKS:
        return _open_workbook(source)
    problem = "is neither a folder nor a workbook." if source.exists() else "is not there."
    return _nothing(
        source.name, problem, "Name a folder of CSV files, or a workbook that ends in .xlsx or .ods."
    )


def table_label(source: Path, table: str) -> str:
    """Return what the beekeeper calls a table: the name of its file, or of the workbook and its sheet."""
    if source.is_file():
        return f"{source.name}, {table}"
    files = sorted(p for p in source.iterdir() if not p.name.startswith((".", "~$")))
    own = [p.name for p in files if p.suffix.casefold() in TEXTS and table_named(p.stem) == table]
    books = [f"{p.name}, {table}" for p in files if p.suffix.casefold() in WORKBOOKS]
    return [*own, *books, table][0]


def _nothing(label: str, problem: str, cure: str) -> Source:
    return Source((), None, (Finding("error", label, None, None, "", problem, cure),))


def _open_folder(folder: Path) -> Source:
    files = sorted(p for p in folder.iterdir() if p.is_file() and not p.name.startswith((".", "~$")))
    texts = [p for p in files if _is_text(p)]
    workbooks = [p for p in files if p.suffix.casefold() in WORKBOOKS]
    other = list(_not_read(files))
    if any(table_named(p.stem) == "yards" for p in texts) or not workbooks:
        return _open_texts(folder, texts, workbooks, other)
    if len(workbooks) > 1:
        problem = f"holds several workbooks: {', '.join(p.name for p in workbooks)}."
        return _nothing(folder.name, problem, "Name the workbook that is meant.")
    source = _open_workbook(workbooks[0])
    unused = [_not_used(p.name, f"the tables are read from {workbooks[0].name}") for p in texts]
    findings = (*source.findings, *unused, *other)
    return Source(source.grids, source.settings, findings, source.where, source.suffix)


def _open_texts(folder: Path, texts: list[Path], workbooks: list[Path], other: list[Finding]) -> Source:
    findings = [*other, *(_not_used(p.name, "the tables are read from the CSV files") for p in workbooks)]
    grids = []
    for path in texts:
        grid, faults = read_csv(path)
        findings += faults
        grids += [grid] if grid else []
    return Source(tuple(grids), _settings_beside(folder), tuple(findings), folder.name, ".csv")


def _open_workbook(path: Path) -> Source:
    grids, findings = read_workbook(path)
    return Source(tuple(grids), _settings_beside(path.parent), tuple(findings), path.name)


def _settings_beside(folder: Path) -> Path | None:
    path = folder / SETTINGS_FILE
    return path if path.is_file() else None


def _not_used(label: str, why: str) -> Finding:
    return Finding("warning", label, None, None, "", f"is not used: {why}.", "Keep only one of the two.")


def _is_text(path: Path) -> bool:
    suffix = path.suffix.casefold()
    return suffix in TEXTS or (suffix == ".txt" and table_named(path.stem) is not None)


def _not_read(files: Iterable[Path]) -> Iterable[Finding]:
    """Name files that may hold a table and are of a kind that is not read."""
    for path in files:
        if path.suffix.casefold() in NOT_READ:
            cure = "Save it as .csv, .xlsx or .ods if its tables are meant."
            yield Finding("warning", path.name, None, None, "", "is not read.", cure)
