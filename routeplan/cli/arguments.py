"""Arguments and options that several commands have."""

from pathlib import Path

import click

SOURCE = click.argument("source", type=click.Path(exists=True, path_type=Path))
PLAN_FILE = click.argument(
    "plan_file", metavar="PLAN", type=click.Path(exists=True, dir_okay=False, path_type=Path)
)
NOTES = click.argument(
    "notes", nargs=-1, required=True, type=click.Path(exists=True, dir_okay=False, path_type=Path)
)
DAY = click.option("--day", type=click.DateTime(["%Y-%m-%d"]), help="Day to plan (YYYY-MM-DD).")
