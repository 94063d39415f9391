"""Rules on days: a year of two figures that may stand first, clocks that change while the crew is out."""

from collections.abc import Iterator
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from routeplan.operation.columns import TABLES
from routeplan.operation.dates import year_first
from routeplan.operation.findings import Finding
from routeplan.operation.rows import Draft
from routeplan.operation.toml_settings import LABEL

NEAR_DAYS = 366
"""A date this near to the day planned is likely the one that was meant."""
FAR_DAYS = 3 * 366
"""A date this far from it is likely not."""


def years_of_two_figures_stand_last(draft: Draft) -> Iterator[Finding]:
    """26-05-04 may be 2004 or 2026: where only the year first is near the day, it is asked."""
    for name, table in draft.tables.items():
        for column in (c.name for c in TABLES[name] if c.kind == "date" and c.name in table.headers):
            for row in table.rows:
                read, other = row[column], year_first(row.text(column))
                if read is None or other is None:
                    continue
                if abs(read - draft.day).days > FAR_DAYS and abs(other - draft.day).days <= NEAR_DAYS:
                    message = f"“{row.text(column)}” could be {read} or, with the year first, {other}."
                    yield table.finding("error", row, column, message, "Write the year with four figures.")


def clocks_go_on(draft: Draft) -> Iterator[Finding]:
    """The sheet counts on through a night in which clocks are changed; bees do so too, watches do not."""
    if not draft.settings.zone:
        return
    midnight = datetime.combine(draft.day, time(), ZoneInfo(draft.settings.zone))
    for row in draft["crews"].rows:
        before, after = ((midnight + timedelta(minutes=row[at])).utcoffset() for at in ("start", "end"))
        if before is None or after is None or before == after:
            continue
        gone = round((after - before).total_seconds() / 60)
        way, later = ("forward", "later") if gone > 0 else ("back", "earlier")
        message = f"On {draft.day} clocks go {way} by {abs(gone)} min while the crew may be out."
        cure = f"Start after the change, or read what comes after it {abs(gone)} min {later} on the clock."
        yield Finding("warning", LABEL, None, "zone", draft.settings.zone, message, cure)


DATE_RULES = (years_of_two_figures_stand_last, clocks_go_on)
