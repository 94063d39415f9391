"""All files of a plan, by name, as they are written."""

import tempfile
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

from routeplan.operation.world import Operation
from routeplan.output.day import day_of
from routeplan.output.followups import followups_ics
from routeplan.output.page import day_page
from routeplan.output.places import places_geojson
from routeplan.output.waypoints import stops_gpx
from routeplan.output.workbook import write_workbook
from routeplan.plan import Plan, to_json

FOLLOWUPS = "followups.ics"
"""The one file that goes on from the one before it."""
STOPS, PLACES = "stops.gpx", "places.geojson"
"""Files about positions: a plan to pass on has none."""


def plan_files(
    operation: Operation,
    plan: Plan,
    run: Mapping[str, object],
    before: bytes | None = None,
    shared: bool = False,
) -> dict[str, bytes]:
    """Return every file of a plan.

    Parameters
    ----------
    operation, plan : what was planned from, and the plan.
    run : the record of the run, kept apart in plan.json.
    before : the calendar written for the plan before this one, if there is one.
    shared : a copy to pass on: no positions, gate codes or notes, and no file that is about positions.

    Raises
    ------
    CalendarFormatError
        When `before` cannot be read as a calendar.
    """
    day = day_of(operation, plan, shared)
    stamp = datetime.now(UTC).replace(microsecond=0)
    files = {
        "plan.json": to_json(day.plan, dict(run)).encode(),
        "day.html": day_page(operation, plan, shared).encode(),
        "plan.xlsx": _workbook(operation, plan, shared),
    }
    if not shared:
        files |= {STOPS: stops_gpx(day), PLACES: places_geojson(day)}
    return files | {FOLLOWUPS: followups_ics(day, stamp, before)}


def _workbook(operation: Operation, plan: Plan, shared: bool) -> bytes:
    with tempfile.TemporaryDirectory() as scratch:
        path = Path(scratch) / "plan.xlsx"
        write_workbook(operation, plan, path, shared)
        return path.read_bytes()
