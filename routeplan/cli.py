"""The command line: the only place that prints, exits and turns faults into sentences.

Exit codes: 0 all that was asked for is planned and audited; 1 faults in the data, all listed; 2 wrong usage;
3 a plan was written but something asked for is not in it; 4 no plan; 5 the plan failed its audit.
"""

from __future__ import annotations

import signal
import sys
import time
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from routeplan import __version__

if TYPE_CHECKING:
    from routeplan.audit import Violation
    from routeplan.field.notes import Notes
    from routeplan.field.state import State
    from routeplan.operation.findings import Finding
    from routeplan.operation.settings import Settings
    from routeplan.operation.world import Operation
    from routeplan.plan import Plan

DATA_FAULT, USAGE, NOT_ALL, NO_PLAN, FAILED_AUDIT = 1, 2, 3, 4, 5
TO_SHARE, AGAIN = "-to-share", "again-"
SOURCE = click.argument("source", type=click.Path(exists=True, path_type=Path))
PLAN_FILE = click.argument(
    "plan_file", metavar="PLAN", type=click.Path(exists=True, dir_okay=False, path_type=Path)
)
NOTES = click.argument(
    "notes", nargs=-1, required=True, type=click.Path(exists=True, dir_okay=False, path_type=Path)
)
DAY = click.option("--day", type=click.DateTime(["%Y-%m-%d"]), help="Day to plan (YYYY-MM-DD).")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="routeplan")
def main() -> None:
    """Plan the splitting day of a beekeeper with several yards.

    An operation is a folder of tables (yards.csv, hives.csv, splits.csv and more) or one workbook.
    """
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")


@main.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--example", is_flag=True, help="Write an invented operation instead of empty tables.")
@click.option("--workbook", is_flag=True, help="Write one workbook instead of CSV files.")
def new(folder: Path, example: bool, workbook: bool) -> None:
    """Start an operation: write its tables and a guide to their columns into FOLDER."""
    from routeplan.operation.start import example_files, start_files

    for path in _put(folder, example_files(workbook) if example else start_files(workbook), only_new=True):
        click.echo(f"wrote {path}")
    if not example:
        click.echo(
            "Fill in yards, hives and splits; the guide says what goes where. Then let check read them."
        )


@main.command()
@SOURCE
@DAY
@click.option("--json", "for_programs", is_flag=True, help="Write the findings as JSON, for programs.")
def check(source: Path, day: date | None, for_programs: bool) -> None:
    """Read the tables of SOURCE and list every fault and warning, table by table, with a verdict."""
    from routeplan.operation.findings_said import as_json, grouped, verdict

    operation, findings = _found(source, day)
    if for_programs:
        click.echo(as_json(operation, findings))
    else:
        for line in grouped(findings):
            click.echo(line)
        click.echo(verdict(operation, findings))
    if operation is None:
        sys.exit(DATA_FAULT)


@main.command()
@SOURCE
@DAY
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="Folder for the plan  [default: plans/DAY in the operation].",
)
@click.option(
    "--seconds", type=click.FloatRange(min=1), default=60.0, show_default=True, help="Time for planning."
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
    operation = _read(source, day)
    avoid = _yards(operation, avoid)
    folder = _plan_folder(source, operation.day, out, share)
    from routeplan.audit import audit as audit_plan
    from routeplan.planning.avoid import as_asked, without_yards
    from routeplan.planning.solve import plan_in_full

    stop = _Stop()
    left = max(1.0, seconds - (time.monotonic() - began))
    made = plan_in_full(without_yards(operation, avoid), left, _Progress(), stop)
    made = as_asked(operation, made, avoid)
    violations = audit_plan(operation, made)
    if violations:
        _not_written(violations)
    if not made.stops:
        _list_unplaced(operation, made)
        proved = made.proof.count_status == "optimal"
        why = "none of the splits asked for can be placed" if proved else "none was found in the time given"
        _fail(f"No plan: {why}. Nothing was written.", NO_PLAN)
    run = {
        "seconds": round(time.monotonic() - began, 1),
        "routeplan": __version__,
        "stopped_early": stop.asked,
    }
    written = _write(operation, made, folder, run, share)
    _summary(operation, made)
    for path in written:
        click.echo(f"wrote {path}")
    if made.unplaced:
        _list_unplaced(operation, made)
        sys.exit(NOT_ALL)


@main.command()
@SOURCE
@PLAN_FILE
@click.argument("notes", nargs=-1, type=click.Path(exists=True, dir_okay=False, path_type=Path))
def audit(source: Path, plan_file: Path, notes: tuple[Path, ...]) -> None:
    """Check PLAN (a plan.json, also one edited by hand) against every rule, from the tables alone.

    Of a plan made in mid-day give the field NOTES it was made from too.
    """
    from routeplan.audit import audit as audit_plan

    made = _plan(plan_file)
    operation = _with_notes(_read(source, made.day), made, notes)
    violations = audit_plan(operation, made)
    for violation in violations:
        click.echo(f"{violation.rule}: {violation.what}")
    if violations:
        _fail(f"{len(violations)} broken.", FAILED_AUDIT)
    click.echo(f"No rule is broken: {len(made.splits)} splits, {len(made.stops)} stops.")


@main.command()
@SOURCE
@PLAN_FILE
@NOTES
@click.option("--from", "from_stop", type=click.IntRange(min=1), help="Number of the stop that is done last.")
@click.option("--at", type=click.DateTime(["%H:%M"]), help="Time now  [default: the last one noted].")
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the plan  [default: beside PLAN].")
@click.option(
    "--seconds", type=click.FloatRange(min=0.5), default=1.0, show_default=True, help="Time for planning."
)
def replan(
    source: Path,
    plan_file: Path,
    notes: tuple[Path, ...],
    from_stop: int | None,
    at: datetime | None,
    out: Path | None,
    seconds: float,
) -> None:
    """Plan the rest of the day again: PLAN and field NOTES (JSON or CSV) say what was planned and happened.

    What is done stands; no split already made is lost; as little as can be changes. Of a plan made again
    itself, give all notes of the day.
    """
    began = time.monotonic()
    state = _state(
        source, plan_file, notes, from_stop, None if at is None else 3600 * at.hour + 60 * at.minute
    )
    from routeplan.audit import audited
    from routeplan.audit.replan import lost
    from routeplan.plan import box_numbers, clock
    from routeplan.planning.replan import plan_again

    made = plan_again(state, seconds)
    violations, told = audited(state.operation, made)
    violations += lost(made, state.entries, box_numbers(state.plan))
    if violations:
        _not_written(violations)
    if not made.splits:
        _list_unplaced(state.operation, made)
        _fail(
            "No plan: nothing is made yet, and no way was found to make anything. Nothing was written.",
            NO_PLAN,
        )
    assert made.done is not None
    folder = out or plan_file.parent / f"{AGAIN}{clock(made.done.at)[:5].replace(':', '')}"
    run = {"seconds": round(time.monotonic() - began, 1), "routeplan": __version__}
    click.echo(f"Planned again from {clock(made.done.at)[:5]}:")
    for line in made.done.changed:
        click.echo(f"  {line}")
    for violation in told:
        click.echo(f"  Already so: {violation.what} ({violation.rule})")
    _summary(state.operation, made)
    for path in _write(state.operation, made, folder, run, earlier=plan_file.parent):
        click.echo(f"wrote {path}")
    if made.unplaced:
        _list_unplaced(state.operation, made)
        sys.exit(NOT_ALL)


@main.command()
@SOURCE
@PLAN_FILE
@NOTES
@click.option("--out", type=click.Path(path_type=Path), help="New folder  [default: SOURCE-after-DAY].")
def record(source: Path, plan_file: Path, notes: tuple[Path, ...], out: Path | None) -> None:
    """Fold a finished day back into the tables, as a new folder beside SOURCE, which stays as it is.

    What NOTES do not say otherwise was done as planned.
    """
    from routeplan.field.record import MOVEMENTS, recorded
    from routeplan.operation.read import read_draft
    from routeplan.output.files import AlreadyThereError, write_folder
    from routeplan.planning.replan import as_it_was

    made = _plan(plan_file)
    state = _state(source, plan_file, notes, len(made.stops), None)
    if state.aboard:
        _fail(f"The day is not finished: {len(state.aboard)} boxes are made and not placed.", DATA_FAULT)
    day, base = made.day.isoformat(), source if source.is_dir() else source.parent
    draft, _ = read_draft(source, made.day)
    log = base / MOVEMENTS
    tables = recorded(draft, state, _text(log) if log.exists() else "")
    plans = base / "plans"
    files = {f"plans/{p.relative_to(plans)}": _bytes(p) for p in plans.rglob("*") if p.is_file()}
    files = {name: content for name, content in files.items() if not name.startswith(f"plans/{day}/")}
    if (base / "settings.toml").exists():
        files["settings.toml"] = _bytes(base / "settings.toml")
    run: dict[str, object] = {"routeplan": __version__}
    of_day = _contents(state.operation, as_it_was(state), (plan_file.parent,), run, share=False)
    files |= {f"plans/{day}/{name}": content for name, content in of_day.items()}
    files |= {name: text.encode() for name, text in tables.items()}
    folder = out or base.parent / f"{source.stem if source.is_file() else source.name}-after-{day}"
    try:
        write_folder(folder, files)
    except AlreadyThereError as fault:
        _fail(f"{fault}; nothing was written.", USAGE)
    except OSError as fault:
        _fail(f"Cannot write {folder}: {fault.strerror or fault}. Nothing was written.", USAGE)
    for line in state.told:
        click.echo(line)
    click.echo(f"wrote {folder}: {len(state.splits)} splits now stand as hives in their yards")


def _state(
    source: Path, plan_file: Path, notes: tuple[Path, ...], from_stop: int | None, at_s: int | None
) -> State:
    """Read a plan and the notes about it, exit when anything in them is wrong."""
    from routeplan.field.log import log_of
    from routeplan.field.state import state_of

    made = _plan(plan_file)
    operation = _read(source, made.day)
    log, faults = log_of(operation, made, _notes(notes))
    state = None
    if log is not None:
        state, faults = state_of(operation, made, log, from_stop, at_s)
    if state is None:
        _print_findings(faults)
        _fail("The notes do not fit the plan; nothing was written.", DATA_FAULT)
    return state


def _with_notes(operation: Operation, made: Plan, notes: tuple[Path, ...]) -> Operation:
    """The operation with what was found on the day before a plan was made."""
    from routeplan.field.log import log_of
    from routeplan.field.state import as_it_is

    log, faults = log_of(operation, made, _notes(notes), before=True)
    if log is None:
        _print_findings(faults)
        _fail("The notes do not fit the plan.", DATA_FAULT)
    return as_it_is(operation, made, log)


def _notes(paths: tuple[Path, ...]) -> list[Notes]:
    """Read files of field notes, exit with all faults when there are any."""
    from routeplan.field.notes import read_notes

    read = []
    for path in paths:
        try:
            notes, findings = read_notes(path)
        except OSError as fault:
            _fail(f"{path}: {fault.strerror or fault}", USAGE)
        _print_findings(findings)
        if notes is not None:
            read.append(notes)
    if len(read) < len(paths):
        _fail("The notes cannot be read; nothing was written.", DATA_FAULT)
    return read


@main.command("forecast")
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

    path = plan_file or _newest_plan(source)
    made = _plan(path)
    operation = _read(source, made.day)
    all_told = told(operation, made)
    for line in forecast_lines(all_told):
        click.echo(line)
    page = {"forecast.html": forecast_page(all_told).encode()}
    for written in _put(out or path.parent, page, only_new=False):
        click.echo(f"wrote {written}")


@main.command()
@SOURCE
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="Day to ask for  [default: today].")
def due(source: Path, on: date | None) -> None:
    """List the looks that are due, from the plans in the folder plans of SOURCE.

    What later looks in its hives table did is left out.
    """
    from routeplan.operation.read import read_looks
    from routeplan.output.due import due_lines

    queens = _settings(source).queens
    plans, faults = _readable(_plans(source))
    for fault in faults:
        click.echo(fault, err=True)
    for line in due_lines(plans, _date(on) or date.today(), queens, read_looks(source)):
        click.echo(line)
    if faults:
        sys.exit(DATA_FAULT)


def _settings(source: Path) -> Settings:
    """Read the settings alone; print what is wrong with them, exit when anything is."""
    from routeplan.operation.tables import open_source
    from routeplan.operation.toml_settings import read_settings

    settings, findings = read_settings(open_source(source).settings)
    _print_findings(findings)
    if findings:
        _fail("Put the settings right first.", DATA_FAULT)
    return settings


def _readable(paths: list[Path]) -> tuple[list[Plan], list[str]]:
    """Return the plans that can be read, and what is wrong with the others."""
    from routeplan.plan import PlanFormatError, from_json

    plans, faults = [], []
    for path in paths:
        try:
            plans.append(from_json(_text(path)))
        except (PlanFormatError, UnicodeDecodeError) as fault:
            faults.append(f"{path}: {fault}")
    return plans, faults


def _plans(source: Path) -> list[Path]:
    """Return the last plan of each day in the operation's folder, by day; copies to pass on are left out."""
    base = source if source.is_dir() else source.parent
    days = sorted(p.parent for p in base.glob("plans/*/plan.json") if not p.parent.name.endswith(TO_SHARE))
    return [max(day.rglob("plan.json"), key=_made_again) for day in days]


def _made_again(plan_file: Path) -> str:
    """When a plan was made again in mid-day, as its folder says; "" for the day's first."""
    name = plan_file.parent.name
    return name if name.startswith(AGAIN) else ""


def _newest_plan(source: Path) -> Path:
    plans = _plans(source)
    if not plans:
        raise click.UsageError(f"There is no plan in {source}: make one first, or name its plan.json.")
    return plans[-1]


def _text(path: Path) -> str:
    return _bytes(path).decode("utf-8")


def _bytes(path: Path) -> bytes:
    """Read a file; exit with one line when it cannot be opened."""
    try:
        return path.read_bytes()
    except OSError as fault:
        cure = "Close it in other programs, and see that you may read it."
        _fail(f"Cannot read {path}: {fault.strerror or fault}. {cure}", USAGE)


def _plan(path: Path) -> Plan:
    """Read a plan.json; exit with its fault when it cannot be read."""
    from routeplan.output.files import put_right
    from routeplan.plan import PlanFormatError, from_json

    put_right(path.parent)
    try:
        return from_json(_text(path))
    except (PlanFormatError, UnicodeDecodeError) as fault:
        _fail(f"{path}: {fault}", DATA_FAULT)


def _read(source: Path, day: date | None) -> Operation:
    """Read an operation, print its findings, exit when one is an error."""
    from routeplan.operation.findings import errors

    operation, findings = _found(source, day)
    _print_findings(findings)
    if operation is None:
        wrong = len(errors(findings))
        _fail(f"{wrong} {'fault' if wrong == 1 else 'faults'} to put right before planning.", DATA_FAULT)
    return operation


def _found(source: Path, day: date | None) -> tuple[Operation | None, list[Finding]]:
    """Read an operation; return it, None when a finding is an error, and all findings."""
    from routeplan.colony.odd_counts import odd_counts
    from routeplan.colony.season import late_orders
    from routeplan.colony.weak_orders import weak_orders
    from routeplan.operation.read import read_operation
    from routeplan.operation.tables import table_label

    operation, findings = read_operation(source, _date(day))
    if operation is not None:
        of_season = [*odd_counts(operation), *late_orders(operation), *weak_orders(operation)]
        findings += [replace(f, table=table_label(source, f.table)) for f in of_season]
    return operation, findings


def _yards(operation: Operation, names: tuple[str, ...]) -> tuple[str, ...]:
    """Return the yards of these names, capitals aside; exit with near names when there is none."""
    from difflib import get_close_matches

    ids = [yard.id for yard in operation.yards]
    found = []
    for name in names:
        same = [i for i in ids if i == name] or [i for i in ids if i.casefold() == name.casefold()]
        if len(same) != 1:
            near = same or get_close_matches(name, ids, 3, 0.4)
            words = f" Did you mean {' or '.join(near)}?" if near else ""
            raise click.BadParameter(f"There is no yard {name!r}.{words}", param_hint="'--avoid'")
        found += same
    return tuple(dict.fromkeys(found))


def _date(day: date | None) -> date | None:
    """Click gives a moment; the tables want its date."""
    return None if day is None else date(day.year, day.month, day.day)


def _print_findings(findings: list[Finding]) -> None:
    for level in ("error", "warning"):
        for finding in findings:
            if finding.level == level:
                click.echo(f"{level}: {finding.sentence()}", err=True)


def _plan_folder(source: Path, day: date, out: Path | None, share: bool) -> Path:
    """Return where the plan goes; a copy to pass on never lies beside files that hold positions."""
    base = source if source.is_dir() else source.parent
    folder = out or base / "plans" / f"{day.isoformat()}{TO_SHARE if share else ''}"
    if share:
        from routeplan.output.contents import PLACES, STOPS

        if private := [name for name in (STOPS, PLACES) if (folder / name).exists()]:
            words = f"{folder} holds {' and '.join(private)}, with positions: choose another folder."
            raise click.BadParameter(words, param_hint="'--share'")
    return folder


def _write(
    operation: Operation,
    made: Plan,
    folder: Path,
    run: dict[str, object],
    share: bool = False,
    earlier: Path | None = None,
) -> list[Path]:
    """Write the files of a plan; `earlier` is the folder of the plan it was made from."""
    return _put(folder, _contents(operation, made, (folder, earlier), run, share), only_new=False)


def _put(folder: Path, contents: dict[str, bytes], only_new: bool) -> list[Path]:
    """Write files, all or none; exit with one line that says what to do when that cannot be."""
    from routeplan.output.files import (
        AlreadyThereError,
        HeldError,
        PartlyWrittenError,
        write_new,
        write_whole,
    )

    kept = "What was there before is unchanged."
    try:
        return (write_new if only_new else write_whole)(folder, contents)
    except PartlyWrittenError as fault:
        _fail(f"Cannot write all of it into {folder}: {fault}.", USAGE)
    except HeldError as fault:
        cure = "Close it there and run this again."
        _fail(f"Cannot write {folder / fault.name}: it is open in another program. {cure} {kept}", USAGE)
    except AlreadyThereError as fault:
        _fail(f"{fault}; nothing was written.", USAGE)
    except OSError as fault:
        _fail(f"Cannot write into {folder}: {fault.strerror or fault}. {kept}", USAGE)


def _contents(
    operation: Operation,
    made: Plan,
    folders: tuple[Path | None, ...],
    run: dict[str, object],
    share: bool,
) -> dict[str, bytes]:
    """Return the files of a plan; the calendar goes on from the first that lies in one of the folders."""
    from routeplan.output.contents import FOLLOWUPS, plan_files
    from routeplan.output.followups import CalendarFormatError

    old = next((f / FOLLOWUPS for f in folders if f and (f / FOLLOWUPS).exists()), None)
    try:
        return plan_files(operation, made, run, _bytes(old) if old else None, share)
    except CalendarFormatError:
        click.echo(f"warning: {old} cannot be read as a calendar: all its events count as new.", err=True)
        return plan_files(operation, made, run, shared=share)


def _summary(operation: Operation, made: Plan) -> None:
    from routeplan.output.said import lines

    for line in lines(operation, made):
        click.echo(line)


def _list_unplaced(operation: Operation, made: Plan) -> None:
    from routeplan.output.said import beside

    click.echo("Not in the plan:", err=True)
    for row in made.unplaced:
        click.echo(f"  {row.count} of order {row.order}: {row.reason} ({row.rule})", err=True)
    for heading, lines in beside(operation, made):
        click.echo(f"{heading}:", err=True)
        for line in lines:
            click.echo(f"  {line}", err=True)


def _not_written(violations: list[Violation]) -> NoReturn:
    for violation in violations:
        click.echo(f"{violation.rule}: {violation.what}", err=True)
    _fail(
        "The plan breaks these rules, so nothing was written. "
        "This is a fault of routeplan: please report it.",
        FAILED_AUDIT,
    )


def _fail(words: str, code: int) -> NoReturn:
    click.echo(words, err=True)
    sys.exit(code)


class _Stop:
    """Turns the first Ctrl-C into "finish with what there is"; a second one ends the program."""

    def __init__(self) -> None:
        self.asked = False
        signal.signal(signal.SIGINT, self._interrupt)

    def _interrupt(self, number: int, frame: object) -> None:
        if self.asked:
            raise KeyboardInterrupt
        self.asked = True
        click.echo("\nstopping with the best plan so far ...", err=True)

    def __call__(self) -> bool:
        return self.asked


class _Progress:
    """Progress of planning: one line rewritten on a terminal, plain lines now and then elsewhere."""

    def __init__(self) -> None:
        self.began = time.monotonic()
        self.live = sys.stderr.isatty()
        self.next = 1.0
        self.best: int | None = None

    def __call__(self, stage: str, best: int | None, bound: int | None) -> None:
        self.best = best if best is not None else self.best
        spent = time.monotonic() - self.began
        if spent < self.next:
            return
        self.next = spent + (0.2 if self.live else 5.0)
        words = f"{spent:4.0f} s  {stage}"
        if best is not None:
            words += f", best {best / 60:.0f} min"
        if best is not None and bound is not None:
            words += f", within {max(0.0, (best - bound) / best):.1%} of the best possible"
        click.echo(f"\r{words:<78}" if self.live else words, err=True, nl=not self.live)
