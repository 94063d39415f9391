"""Which grid is which table: by its name, else by its columns where only one can be meant."""

from difflib import get_close_matches

from routeplan.operation import guide
from routeplan.operation.characters import plain_name, same
from routeplan.operation.columns import REQUIRED_TABLES, TABLES
from routeplan.operation.findings import Finding
from routeplan.operation.grids import Grid
from routeplan.operation.headings import known_columns
from routeplan.operation.own_words import OwnWords
from routeplan.operation.synonyms import table_named
from routeplan.operation.tables import Source

ENOUGH = 3
"""Columns that must be known before a grid is taken for a table by them alone."""


def pick_tables(source: Source, words: OwnWords) -> tuple[dict[str, Grid], list[Finding]]:
    """Return the grid of each table, with what is missing, there twice or not used."""
    picked: dict[str, Grid] = {}
    findings: list[Finding] = []
    spare: list[Grid] = []
    tables = [grid for grid in source.grids if same(grid.name) != guide.SHEET]
    for grid in sorted(tables, key=lambda grid: plain_name(grid.name) not in TABLES):
        table = table_named(grid.name)
        if table is None:
            spare.append(grid)
        elif table not in picked:
            picked[table] = grid
        elif plain_name(grid.name) == plain_name(picked[table].name):
            findings.append(_twice(grid, picked[table]))
        else:
            findings.append(_other_name(grid, picked[table], table))
    for table in REQUIRED_TABLES:
        if table not in picked and _can_be_missing(table, source):
            found = [grid for grid in spare if grid.shown and _has_columns(grid, table, words)]
            if len(found) == 1:
                picked[table] = found[0]
                spare.remove(found[0])
                findings.append(_by_columns(found[0], table))
            else:
                findings.append(_missing(table, source, found))
    findings += (_unknown(grid, source.suffix) for grid in spare)
    return picked, findings


def _can_be_missing(table: str, source: Source) -> bool:
    """A file that is there and cannot be read is said to be so already."""
    unread = {f.table.rpartition(".")[0] for f in source.findings if f.level == "error"}
    nothing_read = bool(unread) and not source.grids
    return not nothing_read and table not in {table_named(name) for name in unread}


def _has_columns(grid: Grid, table: str, words: OwnWords) -> bool:
    known = known_columns(grid, table, words)
    required = {column.name for column in TABLES[table] if column.required}
    return required <= known and len(known) >= ENOUGH and _fits_best(grid, table, words)


def _fits_best(grid: Grid, table: str, words: OwnWords) -> bool:
    counts = {other: len(known_columns(grid, other, words)) for other in TABLES}
    return all(counts[table] > count for other, count in counts.items() if other != table)


def _by_columns(grid: Grid, table: str) -> Finding:
    message = f"is read as the table {table}, by its columns."
    return Finding("warning", grid.label, None, None, "", message, f"Name it {table}.")


def _missing(table: str, source: Source, found: list[Grid]) -> Finding:
    label = f"{table}{source.suffix}" if source.suffix else f"sheet {table}"
    if found:
        names = ", ".join(grid.label for grid in found)
        cure = f"Name the one that is meant {table}; by their columns these may be: {names}."
    else:
        cure = f"Add it to {source.where}; `routeplan new` writes empty tables to fill in."
    return Finding("error", label, None, None, "", "is missing.", cure)


def _unknown(grid: Grid, suffix: str) -> Finding:
    near = get_close_matches(grid.name.casefold(), TABLES, n=1)
    cure = f"Did you mean {near[0]}{suffix}?" if near else f"Tables used are: {', '.join(TABLES)}."
    return Finding("warning", grid.label, None, None, "", "is not used.", cure)


def _other_name(grid: Grid, first: Grid, table: str) -> Finding:
    message = f"is not used: the table {table} is read from {first.label}."
    return Finding("warning", grid.label, None, None, "", message, "Keep only one of the two.")


def _twice(grid: Grid, first: Grid) -> Finding:
    message = f"is there twice: {first.label} is the same table."
    return Finding("error", grid.label, None, None, "", message, "Keep one of the two.")
