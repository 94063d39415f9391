"""The command line: the only room that prints, exits and turns faults into sentences.

Exit codes: 0 all that was asked for is planned and audited; 1 faults in the data, all listed; 2 wrong usage;
3 a plan was written but something asked for is not in it; 4 no plan; 5 the plan failed its audit.
"""

import sys

import click

from routeplan import __version__
from routeplan.cli.exits import DATA_FAULT, FAILED_AUDIT, NO_PLAN, NOT_ALL, USAGE
from routeplan.cli.mid_day import record, replan
from routeplan.cli.planning import audit, due, forecast_command, plan
from routeplan.cli.tables import check, new

__all__ = ["DATA_FAULT", "FAILED_AUDIT", "NOT_ALL", "NO_PLAN", "USAGE", "main"]


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="routeplan")
def main() -> None:
    """Plan the splitting day of a beekeeper with several yards.

    An operation is a folder of tables (yards.csv, hives.csv, splits.csv and more) or one workbook.
    """
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")


for command in (new, check, plan, audit, replan, record, forecast_command, due):
    main.add_command(command)
