"""What the commands write: the files of a plan, all or none."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from routeplan.cli.exits import USAGE, fail
from routeplan.cli.reading import TO_SHARE, bytes_of

if TYPE_CHECKING:
    from routeplan.operation.world import Operation
    from routeplan.plan import Plan


def plan_folder(source: Path, day: date, out: Path | None, share: bool) -> Path:
    """Return where the plan goes; a copy to pass on never lies beside files that hold positions."""
    base = source if source.is_dir() else source.parent
    folder = out or base / "plans" / f"{day.isoformat()}{TO_SHARE if share else ''}"
    if share:
        from routeplan.output.contents import PLACES, STOPS

        if private := [name for name in (STOPS, PLACES) if (folder / name).exists()]:
            words = f"{folder} holds {' and '.join(private)}, with positions: choose another folder."
            raise click.BadParameter(words, param_hint="'--share'")
    return folder


def write_plan(
    operation: Operation,
    made: Plan,
    folder: Path,
    run: dict[str, object],
    share: bool = False,
    earlier: Path | None = None,
) -> list[Path]:
    """Write the files of a plan; `earlier` is the folder of the plan it was made from."""
    return put(folder, contents(operation, made, (folder, earlier), run, share), only_new=False)


def put(folder: Path, contents: dict[str, bytes], only_new: bool) -> list[Path]:
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
        fail(f"Cannot write all of it into {folder}: {fault}.", USAGE)
    except HeldError as fault:
        cure = "Close it there and run this again."
        fail(f"Cannot write {folder / fault.name}: it is open in another program. {cure} {kept}", USAGE)
    except AlreadyThereError as fault:
        fail(f"{fault}; nothing was written.", USAGE)
    except OSError as fault:
        fail(f"Cannot write into {folder}: {fault.strerror or fault}. {kept}", USAGE)


def contents(
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
        return plan_files(operation, made, run, bytes_of(old) if old else None, share)
    except CalendarFormatError:
        click.echo(f"warning: {old} cannot be read as a calendar: all its events count as new.", err=True)
        return plan_files(operation, made, run, shared=share)
