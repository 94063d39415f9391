"""Commands about what really happened: replan, record."""

from __future__ import annotations

import sys
import time
from datetime import datetime
from pathlib import Path

import click

from routeplan import __version__
from routeplan.cli.arguments import NOTES, PLAN_FILE, SOURCE
from routeplan.cli.exits import DATA_FAULT, NO_PLAN, NOT_ALL, USAGE, fail
from routeplan.cli.reading import AGAIN, bytes_of, day_so_far, plan_of, text_of
from routeplan.cli.said import not_written, print_summary, print_unplaced
from routeplan.cli.writing import contents, write_plan


@click.command()
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
    state = day_so_far(
        source, plan_file, notes, from_stop, None if at is None else 3600 * at.hour + 60 * at.minute
    )
    from routeplan.audit import audited
    from routeplan.audit.replan import lost
    from routeplan.plan import clock
    from routeplan.planning.replan import plan_again

    made = plan_again(state, seconds)
    violations, told = audited(state.operation, made)
    violations += lost(made, state.entries, state.plan)
    if violations:
        not_written(violations)
    if not made.splits:
        print_unplaced(state.operation, made)
        fail(
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
    print_summary(state.operation, made)
    for path in write_plan(state.operation, made, folder, run, earlier=plan_file.parent):
        click.echo(f"wrote {path}")
    if made.unplaced:
        print_unplaced(state.operation, made)
        sys.exit(NOT_ALL)


@click.command()
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

    made = plan_of(plan_file)
    state = day_so_far(source, plan_file, notes, len(made.stops), None)
    if state.aboard:
        fail(f"The day is not finished: {len(state.aboard)} boxes are made and not placed.", DATA_FAULT)
    if state.begun:
        fail(f"The day is not finished: {len(state.begun)} boxes are begun and not completed.", DATA_FAULT)
    day, base = made.day.isoformat(), source if source.is_dir() else source.parent
    draft, _ = read_draft(source, made.day)
    log = base / MOVEMENTS
    tables = recorded(draft, state, text_of(log) if log.exists() else "")
    plans = base / "plans"
    files = {f"plans/{p.relative_to(plans)}": bytes_of(p) for p in plans.rglob("*") if p.is_file()}
    files = {name: content for name, content in files.items() if not name.startswith(f"plans/{day}/")}
    if (base / "settings.toml").exists():
        files["settings.toml"] = bytes_of(base / "settings.toml")
    run: dict[str, object] = {"routeplan": __version__}
    of_day = contents(state.operation, as_it_was(state), (plan_file.parent,), run, share=False)
    files |= {f"plans/{day}/{name}": content for name, content in of_day.items()}
    files |= {name: text.encode() for name, text in tables.items()}
    folder = out or base.parent / f"{source.stem if source.is_file() else source.name}-after-{day}"
    try:
        write_folder(folder, files)
    except AlreadyThereError as fault:
        fail(f"{fault}; nothing was written.", USAGE)
    except OSError as fault:
        fail(f"Cannot write {folder}: {fault.strerror or fault}. Nothing was written.", USAGE)
    for line in state.told:
        click.echo(line)
    click.echo(f"wrote {folder}: {len(state.splits)} splits now stand as hives in their yards")
