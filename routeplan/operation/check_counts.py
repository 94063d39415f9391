"""Rules on hives: which look counts, how old it is, whether its figures can be, and notes on health."""

from collections.abc import Callable, Iterator, Sequence

from routeplan.operation.findings import Finding
from routeplan.operation.rows import Draft, Row, Table

MOST_FRAMES = 40.0  # four deep boxes of ten: more is a slip of the pen (common practice)
BROOD_OVER_BEES = 10.0
FEW = 5


def one_look_counts(draft: Draft) -> Iterator[Finding]:
    """Of several rows of one hive it is clear which is newest."""
    table = draft["hives"]
    looks: dict[tuple[str, str], list[Row]] = {}
    for row in table.rows:
        if row["yard"] and row["hive"]:
            looks.setdefault((row["yard"], row["hive"]), []).append(row)
    for rows in looks.values():
        if len(rows) > 1:
            yield from _looks_of_one(table, rows)


def _looks_of_one(table: Table, rows: list[Row]) -> Iterator[Finding]:
    seen: dict[object, Row] = {}
    dated = any(row["inspected"] for row in rows)
    for row in rows:
        name = f"Hive “{row['hive']}” of yard “{row['yard']}”"
        if row["inspected"] is None and row.text("inspected"):
            continue  # its date cannot be read, and that is said
        if row["inspected"] is None and dated:
            message = f"{name} has {len(rows)} rows, this one without a date."
            yield table.finding(
                "error", row, "inspected", message, "Write the day of each look, or keep one row."
            )
            continue
        first = seen.setdefault(row["inspected"], row)
        if first is not row and first.values == row.values:
            message = f"{name}: the same as row {first.number}."
            yield table.finding("warning", row, "hive", message, "Delete one of the two.")
        elif first is not row:
            day = "the same day" if dated else "no day either"
            message = f"{name}: row {first.number} has {day} and other figures: {_difference(first, row)}."
            yield table.finding("error", row, "inspected", message, "Keep the row that is right.")


def _difference(first: Row, row: Row) -> str:
    """Return the first column in which two rows differ, with what stands there."""
    name = next(name for name, value in first.values.items() if value != row[name])
    return f"{name} is {first.text(name) or 'blank'} there and {row.text(name) or 'blank'} here"


def looks_are_dated(draft: Draft) -> Iterator[Finding]:
    """Counts bear the day they were made; those that do not are taken as of the day planned."""
    table = draft["hives"]
    undated = [row for row in draft.hives if not row.text("inspected")]
    if undated:
        message = (
            f"{_hives(undated)} no day of inspection{_rows(undated)}: the counts are taken as of the day."
        )
        yield table.finding("warning", None, "inspected", message, "Write the day of the look, YYYY-MM-DD.")


def looks_are_past(draft: Draft) -> Iterator[Finding]:
    """No count was made after the day planned for."""
    for row in draft["hives"].rows:
        if row["inspected"] is not None and row["inspected"] > draft.day:
            message = f"{row['inspected']} is after the day planned, {draft.day}."
            yield draft["hives"].finding(
                "error", row, "inspected", message, "Correct the date, or plan a later day."
            )


def looks_are_fresh(draft: Draft) -> Iterator[Finding]:
    """Old counts are named; those older than the last day give nothing."""
    limits = draft.settings.limits
    old = _aged(draft, limits.count_warn_days, limits.count_last_days)
    too_old = _aged(draft, limits.count_last_days, None)
    cure = "Look again before the day if you count on them."
    yield from _each_or_all(draft, old, limits.count_warn_days, "count", "", cure)
    yield from _each_or_all(draft, too_old, limits.count_last_days, "count", ": nothing is taken", cure)


def cells_are_fresh(draft: Draft) -> Iterator[Finding]:
    """A hive without queen cells may have built some since: said where the count itself is not old yet."""
    limits = draft.settings.limits
    old = _aged(draft, limits.cells_days, limits.count_warn_days)
    cure = "Look for queen cells before a frame leaves."
    yield from _each_or_all(draft, old, limits.cells_days, "look for queen cells", "", cure)


def _aged(draft: Draft, over: int, most: int | None) -> list[Row]:
    """Return the hives last looked at more than `over` days before the day, and at most `most`."""
    ages = [(row, (draft.day - row["inspected"]).days) for row in draft.hives if row["inspected"]]
    return [row for row, age in ages if age > over and (most is None or age <= most)]


def counts_can_be(draft: Draft) -> Iterator[Finding]:
    """Figures agree with each other and with what hives hold."""
    table = draft["hives"]
    for row in draft["hives"].rows:
        for column in ("bees", "brood", "capped", "open", "food"):
            if (row[column] or 0) > MOST_FRAMES:
                message = f"{row[column]:g} frames is more than a hive holds."
                yield table.finding("warning", row, column, message, "Look at the figure again.")
        yield from _brood_can_be(table, row)


def _brood_can_be(table: Table, row: Row) -> Iterator[Finding]:
    brood, capped, open_, bees = row["brood"], row["capped"], row["open"], row["bees"]
    part = max(capped or 0.0, open_ or 0.0)
    if brood is not None and part > brood + 1e-6:
        cure = "brood is capped and open together; correct one of them."
        column = "capped" if part == capped else "open"
        yield table.finding("error", row, column, f"{part:g} is more than all brood, {brood:g}.", cure)
    elif brood is not None and capped is not None and open_ is not None and abs(capped + open_ - brood) > 0.5:
        message = f"capped and open make {capped + open_:g}, not {brood:g}: capped and open are used."
        yield table.finding("warning", row, "brood", message, "Correct one of the three.")
    total = (capped or 0.0) + (open_ or 0.0) or brood
    if total and bees is not None and total > bees + BROOD_OVER_BEES:
        message = f"{total:g} frames of brood under {bees:g} frames of bees cannot be."
        yield table.finding("warning", row, "bees", message, "Look at the figures again.")


def health_is_said(draft: Draft) -> Iterator[Finding]:
    """Blank health is usable and said once a table; text that is not known stops giving and is named."""
    for name, rows in (("yards", draft["yards"].rows), ("hives", draft.hives)):
        table = draft[name]
        blank = [row for row in rows if row["health"] == "not stated"]
        if blank:
            whom = f"any of the {name}" if len(blank) == len(rows) else f"{len(blank)} of {len(rows)} {name}"
            message = f"Health is not stated for {whom}: taken as usable."
            cure = "Look at the brood of each donor before a frame leaves."
            yield table.finding("warning", None, "health", message, cure)
        for row in rows:
            if row["health"] == "unclear":
                message = f"“{row.text('health')}” is not known as healthy: nothing leaves and nothing comes."
                cure = "Write clear, suspected or confirmed."
                yield table.finding("warning", row, "health", message, cure)


def _each_or_all(
    draft: Draft, rows: Sequence[Row], over: int, what: str, so: str, cure: str
) -> Iterator[Finding]:
    """A few old counts or looks one by one, many in one finding."""
    table = draft["hives"]
    if len(rows) > FEW:
        message = f"The {what} of {len(rows)} hives is more than {over} days old on the day{so}{_rows(rows)}."
        yield table.finding("warning", None, "inspected", message, cure)
        return
    for row in rows:
        age = (draft.day - row["inspected"]).days
        name = f"hive “{row['hive']}” of yard “{row['yard']}”"
        yield table.finding(
            "warning", row, "inspected", f"The {what} of {name} is {age} days old on the day{so}.", cure
        )


def _hives(rows: Sequence[Row]) -> str:
    return "1 hive has" if len(rows) == 1 else f"{len(rows)} hives have"


def _rows(rows: Sequence[Row]) -> str:
    first = ", ".join(str(row.number) for row in rows[:FEW])
    more = f" and {len(rows) - FEW} more" if len(rows) > FEW else ""
    return f" (row{'s' if len(rows) > 1 else ''} {first}{more})"


COUNT_RULES: tuple[Callable[[Draft], Iterator[Finding]], ...] = (
    one_look_counts,
    looks_are_dated,
    looks_are_past,
    looks_are_fresh,
    cells_are_fresh,
    counts_can_be,
    health_is_said,
)
