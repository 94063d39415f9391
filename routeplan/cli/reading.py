"""What the commands read: operations, plans, field notes; each exits with a sentence when it cannot."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from routeplan.cli.exits import DATA_FAULT, USAGE, fail
from routeplan.cli.said import print_findings

if TYPE_CHECKING:
    from routeplan.field.notes import Notes
    from routeplan.field.state import State
    from routeplan.operation.findings import Finding
    from routeplan.operation.settings import Settings
    from routeplan.operation.world import Operation
    from routeplan.plan import Plan

TO_SHARE, AGAIN = "-to-share", "again-"
"""How the folders of copies to pass on end, and how those of plans made in mid-day begin."""


def text_of(path: Path) -> str:
    return bytes_of(path).decode("utf-8")


def bytes_of(path: Path) -> bytes:
    """Read a file; exit with one line when it cannot be opened."""
    try:
        return path.read_bytes()
    except OSError as fault:
        cure = "Close it in other programs, and see that you may read it."
        fail(f"Cannot read {path}: {fault.strerror or fault}. {cure}", USAGE)


def date_of(day: date | None) -> date | None:
    """Click gives a moment; the tables want its date."""
    return None if day is None else date(day.year, day.month, day.day)


def operation_and_findings(source: Path, day: date | None) -> tuple[Operation | None, list[Finding]]:
    """Read an operation; return it, None when a finding is an error, and all findings."""
    from routeplan.colony.odd_counts import odd_counts
    from routeplan.colony.season import late_orders
    from routeplan.colony.weak_orders import weak_orders
    from routeplan.operation.read import read_operation
    from routeplan.operation.tables import table_label

    operation, findings = read_operation(source, date_of(day))
    if operation is not None:
        of_season = [*odd_counts(operation), *late_orders(operation), *weak_orders(operation)]
        findings += [replace(f, table=table_label(source, f.table)) for f in of_season]
    return operation, findings


def operation_of(source: Path, day: date | None) -> Operation:
    """Read an operation, print its findings, exit when one is an error."""
    from routeplan.operation.findings import errors

    operation, findings = operation_and_findings(source, day)
    print_findings(findings)
    if operation is None:
        wrong = len(errors(findings))
        fail(f"{wrong} {'fault' if wrong == 1 else 'faults'} to put right before planning.", DATA_FAULT)
    return operation


def yards_called(operation: Operation, names: tuple[str, ...]) -> tuple[str, ...]:
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


def settings_of(source: Path) -> Settings:
    """Read the settings alone; print what is wrong with them, exit when anything is."""
    from routeplan.operation.tables import open_source
    from routeplan.operation.toml_settings import read_settings

    settings, findings = read_settings(open_source(source).settings)
    print_findings(findings)
    if findings:
        fail("Put the settings right first.", DATA_FAULT)
    return settings


def plan_of(path: Path) -> Plan:
    """Read a plan.json; exit with its fault when it cannot be read."""
    from routeplan.output.files import put_right
    from routeplan.plan import PlanFormatError, from_json

    put_right(path.parent)
    try:
        return from_json(text_of(path))
    except (PlanFormatError, UnicodeDecodeError) as fault:
        fail(f"{path}: {fault}", DATA_FAULT)


def plans_of(paths: list[Path]) -> tuple[list[Plan], list[str]]:
    """Return the plans that can be read, and what is wrong with the others."""
    from routeplan.plan import PlanFormatError, from_json

    plans, faults = [], []
    for path in paths:
        try:
            plans.append(from_json(text_of(path)))
        except (PlanFormatError, UnicodeDecodeError) as fault:
            faults.append(f"{path}: {fault}")
    return plans, faults


def last_plans(source: Path) -> list[Path]:
    """Return the last plan of each day in the operation's folder, by day, after any of that day that cannot
    be read; copies to pass on are left out."""
    base = source if source.is_dir() else source.parent
    days = sorted(p.parent for p in base.glob("plans/*/plan.json") if not p.parent.name.endswith(TO_SHARE))
    return [path for day in days for path in _last_of(day)]


def _last_of(day: Path) -> list[Path]:
    """The plan made last of those in a day's folder, whatever they are called: the one that takes most of the
    day as done, of those alike the one made again most often. Before it those that cannot be read."""
    from routeplan.plan import PlanFormatError, from_json

    read: dict[Path, Plan] = {}
    unread = []
    for path in sorted(day.rglob("plan.json")):
        if not path.parent.name.endswith(TO_SHARE):
            try:
                read[path] = from_json(text_of(path))
            except (PlanFormatError, UnicodeDecodeError):
                unread.append(path)
    by_id = {plan.id: plan for plan in read.values()}

    def times_again(plan: Plan | None) -> int:
        times = 0
        while plan is not None and plan.done is not None and times < len(by_id):
            plan, times = by_id.get(plan.done.plan), times + 1
        return times

    def revision(path: Path) -> tuple[int, int]:
        plan = read[path]
        return plan.done.at if plan.done else -1, times_again(plan)

    return [*unread, max(read, key=revision)] if read else unread


def newest_plan(source: Path) -> Path:
    plans = last_plans(source)
    if not plans:
        raise click.UsageError(f"There is no plan in {source}: make one first, or name its plan.json.")
    return plans[-1]


def notes_of(paths: tuple[Path, ...]) -> list[Notes]:
    """Read files of field notes, exit with all faults when there are any."""
    from routeplan.field.notes import read_notes

    read = []
    for path in paths:
        try:
            notes, findings = read_notes(path)
        except OSError as fault:
            fail(f"{path}: {fault.strerror or fault}", USAGE)
        print_findings(findings)
        if notes is not None:
            read.append(notes)
    if len(read) < len(paths):
        fail("The notes cannot be read; nothing was written.", DATA_FAULT)
    return read


def with_notes(operation: Operation, made: Plan, notes: tuple[Path, ...]) -> Operation:
    """The operation with what was found on the day before a plan was made."""
    from routeplan.field.log import log_of
    from routeplan.field.state import as_it_is

    log, faults = log_of(operation, made, notes_of(notes), before=True)
    if log is None:
        print_findings(faults)
        fail("The notes do not fit the plan.", DATA_FAULT)
    return as_it_is(operation, made, log)


def day_so_far(
    source: Path, plan_file: Path, notes: tuple[Path, ...], from_stop: int | None, at_s: int | None
) -> State:
    """Read a plan and the notes about it, exit when anything in them is wrong."""
    from routeplan.field.log import log_of
    from routeplan.field.state import state_of

    made = plan_of(plan_file)
    operation = operation_of(source, made.day)
    log, faults = log_of(operation, made, notes_of(notes))
    state = None
    if log is not None:
        state, faults = state_of(operation, made, log, from_stop, at_s)
    if state is None:
        print_findings(faults)
        fail("The notes do not fit the plan; nothing was written.", DATA_FAULT)
    return state
