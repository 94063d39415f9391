"""Reads an operation: tables in, one checked Operation out, or everything that is wrong with them."""

from datetime import date
from pathlib import Path

from routeplan.operation.build import build_operation
from routeplan.operation.check import check
from routeplan.operation.columns import TABLES
from routeplan.operation.findings import Finding, errors
from routeplan.operation.grids import Grid, Sheet
from routeplan.operation.headings import lay_out
from routeplan.operation.names import one_spelling
from routeplan.operation.pick import pick_tables
from routeplan.operation.rows import Draft, Table, newest_looks
from routeplan.operation.settings import Settings
from routeplan.operation.sheet_rows import read_table
from routeplan.operation.tables import open_source
from routeplan.operation.toml_settings import read_settings
from routeplan.operation.world import Look, Operation


def read_operation(source: Path, day: date | None = None) -> tuple[Operation | None, list[Finding]]:
    """Read and check an operation.

    Parameters
    ----------
    source : folder of CSV files, folder with one workbook, or a workbook; settings.toml lies beside them.
    day : the day planned for; else the setting `day`, else today.

    Returns
    -------
    The Operation, None when any finding is an error, and all findings of all tables, errors first.
    """
    draft, findings = read_draft(source, day)
    return (None if errors(findings) else build_operation(draft)), findings


def read_draft(source: Path, day: date | None = None) -> tuple[Draft, list[Finding]]:
    """Read and check the tables of an operation as rows of values, as `read_operation`."""
    opened = open_source(source)
    settings, findings = read_settings(opened.settings)
    grids, picked = pick_tables(opened, settings.words)
    draft, faults = read_grids(grids, settings, day)
    if day is not None or not _day_is_lost(findings):
        faults += check(draft)
    findings = [*opened.findings, *picked, *findings, *faults]
    findings.sort(key=lambda finding: finding.level)
    return draft, findings


def read_looks(source: Path) -> tuple[Look, ...]:
    """Read all dated looks of the hives table as far as they can be read; nothing is checked."""
    opened = open_source(source)
    settings, _ = read_settings(opened.settings)
    grids, _ = pick_tables(opened, settings.words)
    draft, _ = read_grids(grids, settings)
    return tuple(
        Look(
            row["yard"],
            row["hive"],
            row["inspected"],
            row["eggs_seen"] is True,
            row["treated_until"],
            row["test_frame"],
        )
        for row in draft["hives"].rows
        if row["yard"] and row["hive"] and row["inspected"]
    )


def _day_is_lost(of_settings: list[Finding]) -> bool:
    """Whether the day stands in settings that cannot be read, so that no rule on dates would be fair."""
    return any(fault.column in (None, "day") for fault in errors(of_settings))


def read_grids(
    grids: dict[str, Grid], settings: Settings, day: date | None = None
) -> tuple[Draft, list[Finding]]:
    """Find the headers of all tables and read their cells."""
    sheets: dict[str, Sheet] = {}
    findings: list[Finding] = []
    for name, grid in grids.items():
        sheets[name], faults = lay_out(grid, name, settings.words)
        findings += faults
    draft, faults = read_sheets(sheets, settings, day)
    return draft, findings + faults


def read_sheets(
    sheets: dict[str, Sheet], settings: Settings, day: date | None = None
) -> tuple[Draft, list[Finding]]:
    """Read all cells of all sheets; tables that are not there are empty."""
    findings: list[Finding] = []
    tables: dict[str, Table] = {}
    for name in TABLES:
        tables[name] = Table(name, name)
        if name in sheets:
            tables[name], faults = read_table(sheets[name], settings.words, settings.date_order)
            findings += faults
    findings += one_spelling(tables)
    set_day = date.fromisoformat(settings.day) if settings.day else date.today()
    return Draft(day or set_day, settings, tables, newest_looks(tables["hives"])), findings
