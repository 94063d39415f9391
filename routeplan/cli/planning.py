"""Commands about a plan: plan, audit, forecast, due."""

from __future__ import annotations

import sys
import time
from datetime import date
from pathlib import Path

import click

from routeplan import __version__
from routeplan.cli.arguments import DAY, PLAN_FILE, SOURCE
from routeplan.cli.exits import DATA_FAULT, FAILED_AUDIT, NO_PLAN, NOT_ALL, fail
from routeplan.cli.progress import Progress, Stop
from routeplan.cli.reading import (
    date_of,
    last_plans,
    newest_plan,
    operation_of,
    plan_of,
    plans_of,
    settings_of,
    with_notes,
    yards_called,
)
from routeplan.cli.said import not_written, print_summary, print_unplaced
from routeplan.cli.writing import plan_folder, put, write_plan

KEPT_S, KEPT_HIVE_S = 1.0, 1 / 1500
"""Seconds kept of the time for a plan for its audit and files, and so many more for each hive."""


@click.command()
@SOURCE
@DAY
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="Folder for the plan  [default: plans/DAY in the operation].",
)
@click.option(
    "--seconds", type=click.FloatRange(min=1), default=60.0, show_default=True, help="Time for all of it."
)
@click.option(
    "--avoid",
    multiple=True,
    metavar="YARD",
    help="Take no splits to YARD and nothing from its hives; may be given several times.",
)
@click.option(
    "--share",
    is_flag=True,
    help="Write a copy to pass on: no positions, gate codes, ways in, notes  [into plans/DAY-to-share].",
)
def plan(
    source: Path, day: date | None, out: Path | None, seconds: float, avoid: tuple[str, ...], share: bool
) -> None:
    """Plan the day: plan.json, day.html, plan.xlsx, stops.gpx, places.geojson and followups.ics.

    Ctrl-C ends the search with the best plan found so far.
    """
    began = time.monotonic()
    operation = operation_of(source, day)
    avoid = yards_called(operation, avoid)
    folder = plan_folder(source, operation.day, out, share)
    from routeplan.audit import audit as audit_plan
    from routeplan.planning.avoid import as_asked, without_yards
    from routeplan.planning.solve import plan_in_full

    stop = Stop()
    kept = KEPT_S + KEPT_HIVE_S * len(operation.hives)
    left = max(1.0, seconds - kept - (time.monotonic() - began))
    made = plan_in_full(without_yards(operation, avoid), left, Progress(), stop)
    made = as_asked(operation, made, avoid)
    violations = audit_plan(operation, made)
    if violations:
        not_written(violations)
    if not made.stops:
        print_unplaced(operation, made)
        proved = made.proof.count_status == "optimal"
        why = "none of the splits asked for can be placed" if proved else "none was found in the time given"
        fail(f"No plan: {why}. Nothing was written.", NO_PLAN)
    run = {
        "seconds": round(time.monotonic() - began, 1),
        "routeplan": __version__,
        "stopped_early": stop.asked,
    }
    written = write_plan(operation, made, folder, run, share)
    print_summary(operation, made)
    for path in written:
        click.echo(f"wrote {path}")
    if made.unplaced:
        print_unplaced(operation, made)
        sys.exit(NOT_ALL)


@click.command()
@SOURCE
@PLAN_FILE
@click.argument("notes", nargs=-1, type=click.Path(exists=True, dir_okay=False, path_type=Path))
def audit(source: Path, plan_file: Path, notes: tuple[Path, ...]) -> None:
    """Check PLAN (a plan.json, also one edited by hand) against every rule, from the tables alone.

    Of a plan made in mid-day give the field NOTES it was made from too.
    """
    from routeplan.audit import audit as audit_plan

    made = plan_of(plan_file)
    operation = with_notes(operation_of(source, made.day), made, notes)
    violations = audit_plan(operation, made)
    for violation in violations:
        click.echo(f"{violation.rule}: {violation.what}")
    if violations:
        fail(f"{len(violations)} broken.", FAILED_AUDIT)
    click.echo(f"No rule is broken: {len(made.splits)} splits, {len(made.stops)} stops.")


@click.command("forecast")
@SOURCE
@click.argument(
    "plan_file",
    metavar="[PLAN]",
    required=False,
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
)
@click.option(
    "--out", type=click.Path(path_type=Path), help="Folder for the page  [default: where PLAN lies]."
)
def forecast_command(source: Path, plan_file: Path | None, out: Path | None) -> None:
    """Say how every split and every hive that gave fares after PLAN (else the newest plan of SOURCE).

    Prints a table and writes forecast.html.
    """
    from routeplan.output.forecast_page import forecast_page
    from routeplan.output.forecast_said import forecast_lines
    from routeplan.output.told import told

    path = plan_file or newest_plan(source)
    made = plan_of(path)
    operation = operation_of(source, made.day)
    all_told = told(operation, made)
    for line in forecast_lines(all_told):
        click.echo(line)
    page = {"forecast.html": forecast_page(all_told).encode()}
    for written in put(out or path.parent, page, only_new=False):
        click.echo(f"wrote {written}")


@click.command()
@SOURCE
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="Day to ask for  [default: today].")
def due(source: Path, on: date | None) -> None:
    """List the looks that are due, from the plans in the folder plans of SOURCE.

    What later looks in its hives table did is left out.
    """
    from routeplan.operation.read import read_looks
    from routeplan.output.due import due_lines

    queens = settings_of(source).queens
    plans, faults = plans_of(last_plans(source))
    for fault in faults:
        click.echo(fault, err=True)
    for line in due_lines(plans, date_of(on) or date.today(), queens, read_looks(source)):
        click.echo(line)
    if faults:
        sys.exit(DATA_FAULT)
