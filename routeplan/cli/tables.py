"""Commands about the tables: new, check."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

import click

from routeplan.cli.arguments import DAY, SOURCE
from routeplan.cli.exits import DATA_FAULT
from routeplan.cli.reading import operation_and_findings
from routeplan.cli.writing import put


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--example", is_flag=True, help="Write an invented operation instead of empty tables.")
@click.option("--workbook", is_flag=True, help="Write one workbook instead of CSV files.")
def new(folder: Path, example: bool, workbook: bool) -> None:
    """Start an operation: write its tables and a guide to their columns into FOLDER."""
    from routeplan.operation.start import example_files, start_files

    for path in put(folder, example_files(workbook) if example else start_files(workbook), only_new=True):
        click.echo(f"wrote {path}")
    if not example:
        click.echo(
            "Fill in yards, hives and splits; the guide says what goes where. Then let check read them."
        )


@click.command()
@SOURCE
@DAY
@click.option("--json", "for_programs", is_flag=True, help="Write the findings as JSON, for programs.")
def check(source: Path, day: date | None, for_programs: bool) -> None:
    """Read the tables of SOURCE and list every fault and warning, table by table, with a verdict."""
    from routeplan.operation.findings_said import as_json, grouped, verdict

    operation, findings = operation_and_findings(source, day)
    if for_programs:
        click.echo(as_json(operation, findings))
    else:
        for line in grouped(findings):
            click.echo(line)
        click.echo(verdict(operation, findings))
    if operation is None:
        sys.exit(DATA_FAULT)
