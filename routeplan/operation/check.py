"""Rules across cells and tables: each one short function that reads the draft and yields what is wrong."""

from collections.abc import Callable, Iterator
from difflib import get_close_matches

from routeplan.operation.characters import same
from routeplan.operation.check_counts import COUNT_RULES
from routeplan.operation.check_dates import DATE_RULES
from routeplan.operation.check_frames import FRAME_RULES
from routeplan.operation.check_places import PLACE_RULES
from routeplan.operation.check_positions import POSITION_RULES
from routeplan.operation.check_queens import QUEEN_RULES
from routeplan.operation.check_settings import SETTING_RULES
from routeplan.operation.check_splits import SPLIT_RULES
from routeplan.operation.check_stock import STOCK_RULES
from routeplan.operation.columns import TABLES
from routeplan.operation.findings import Finding
from routeplan.operation.names import YARDS_NAMED, alike
from routeplan.operation.rows import Draft, Row, Table

MOST_GUESSES = 20
"""Names that are not known for which the one that may be meant is looked for."""
Rule = Callable[[Draft], Iterator[Finding]]


def check(draft: Draft) -> list[Finding]:
    """Return the findings of every rule, in the order of RULES."""
    return [finding for rule in RULES for finding in rule(draft)]


def tables_are_filled(draft: Draft) -> Iterator[Finding]:
    """Yards, hives and splits hold at least one row each."""
    for name, thing in (("yards", "yard"), ("hives", "hive"), ("splits", "split")):
        table = draft[name]
        if table.headers and not table.rows:
            yield table.finding(
                "error", None, None, f"There is no {thing} in this table.", "Add a row for each."
            )


def ids_are_unique(draft: Draft) -> Iterator[Finding]:
    """A yard, an order, a kit and a crew stand in one row each."""
    for name in ("yards", "splits", "kits", "crews"):
        table, column = draft[name], TABLES[name][0].name
        for row, first in _repeated(table, column):
            message = f"“{row[column]}” is already in row {first.number}."
            yield table.finding("error", row, column, message, "Give each its own name, or delete one row.")


def _repeated(table: Table, column: str) -> Iterator[tuple[Row, Row]]:
    first: dict[str, Row] = {}
    for row in table.rows:
        if row[column]:
            earlier = first.setdefault(same(row[column]), row)
            if earlier is not row:
                yield row, earlier


def ids_look_apart(draft: Draft) -> Iterator[Finding]:
    """No two names can be taken for each other: leading zeros, O and 0, a hyphen more or less."""
    for name in ("yards", "splits", "kits"):
        column = TABLES[name][0].name
        yield from _look_alikes(draft[name], column, [(("",), row[column], row) for row in draft[name].rows])
    hives = [((row["yard"],), row["hive"], row) for row in draft.hives]
    yield from _look_alikes(draft["hives"], "hive", hives)


def _look_alikes(table: Table, column: str, ids: list[tuple[tuple[str], str, Row]]) -> Iterator[Finding]:
    seen: dict[tuple[tuple[str], str], tuple[str, Row]] = {}
    for group, text, row in ids:
        other, first = seen.setdefault((group, alike(text)), (text, row))
        if text and same(other) != same(text):
            message = f"“{text}” looks like “{other}” in row {first.number}; they are read as two."
            yield table.finding("warning", row, column, message, "Write them alike if they are one.")


def yards_are_known(draft: Draft) -> Iterator[Finding]:
    """Every yard named in another table stands in the yards table."""
    if "yard" not in draft["yards"].headers:
        return
    known = draft.ids("yards")
    near = _near_names(known)
    for name, column in YARDS_NAMED:
        for row in draft[name].rows:
            yard = row[column]
            if yard and yard not in known:
                meant = near(yard)
                cure = f"Did you mean “{meant}”?" if meant else "Add the yard, or correct the name."
                message = f"There is no yard “{yard}” in the yards table."
                yield draft[name].finding("error", row, column, message, cure)


def _near_names(known: set[str]) -> Callable[[str], str]:
    """Return what finds the known name most like another, "" for none; of many only the first are tried."""
    names, looks = sorted(known), {alike(name): name for name in sorted(known)}
    found: dict[str, str] = {}

    def near(name: str) -> str:
        if name not in found and len(found) < MOST_GUESSES:
            found[name] = looks.get(alike(name)) or next(iter(get_close_matches(name, names, n=1)), "")
        return found.get(name, "")

    return near


def hours_run_forward(draft: Draft) -> Iterator[Finding]:
    """Closing comes after opening, in yards and in the crew's day."""
    for name, first, last in (
        ("yards", "opens", "closes"),
        ("crews", "start", "end"),
        ("crews", "hives_from", "hives_until"),
    ):
        for row in draft[name].rows:
            if row[first] is not None and row[last] is not None and row[last] <= row[first]:
                message = f"“{last}” is not later than “{first}”."
                yield draft[name].finding("error", row, last, message, "Write the times as HH:MM, 24 hours.")


def one_crew(draft: Draft) -> Iterator[Finding]:
    """One crew is planned for: the first row, with a home; its truck has places."""
    crews = draft["crews"]
    if not crews.rows:
        message = "There is no crew: two people start from the first yard of the yards table."
        yield crews.finding("warning", None, None, message, "Add a crews table with home, people and places.")
        return
    if len(crews.rows) > 1:
        message = f"Only the first crew is planned for: “{crews.rows[0]['crew']}”."
        yield crews.finding("warning", crews.rows[1], "crew", message, "Put the crew of the day first.")
    if crews.rows[0]["places"] is None and not crews.rows[0].text("places"):
        message = "It is not said how many full boxes the truck holds: no limit is kept."
        yield crews.finding("warning", crews.rows[0], "places", message, "Write the number of boxes.")


RULES: tuple[Rule, ...] = (
    tables_are_filled,
    ids_are_unique,
    ids_look_apart,
    yards_are_known,
    hours_run_forward,
    one_crew,
    *POSITION_RULES,
    *PLACE_RULES,
    *COUNT_RULES,
    *DATE_RULES,
    *SPLIT_RULES,
    *QUEEN_RULES,
    *STOCK_RULES,
    *FRAME_RULES,
    *SETTING_RULES,
)
