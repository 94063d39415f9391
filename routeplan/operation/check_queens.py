"""Rules on splits in their own right, on queens and cells, and on what stock and money say of them."""

from collections.abc import Callable, Iterator
from datetime import timedelta

from routeplan.operation.findings import Finding
from routeplan.operation.rows import Draft


def own_right_can_be(draft: Draft) -> Iterator[Finding]:
    """A hive split in its own right stands in the yard named, once, and has what its queen way needs."""
    table, seen = draft["splits"], set()
    hives = {(row["yard"], row["hive"]): row for row in draft.hives}
    for row in table.rows:
        if row["hive"] is None:
            continue
        key = (row["from"], row["hive"])
        hive = hives.get(key)
        if row["from"] is None:
            message = f"Hive “{row['hive']}” is to be split in its own right, but its yard is not named."
            yield table.finding("error", row, "from", message, "Write its yard under from.")
            continue
        if hive is None:
            message = f"There is no hive “{row['hive']}” at “{row['from']}”."
            yield table.finding("error", row, "hive", message, "Look at the names in the hives table.")
            continue
        if key in seen:
            message = f"Hive “{row['hive']}” is split in its own right twice."
            yield table.finding("error", row, "hive", message, "Keep one row for it, with count 1 or 2.")
        seen.add(key)
        most = 1 if row["queen"] == "parent's" else 2
        if row["count"] and row["count"] > most:
            message = f"At most {most} of one hive may leave; part of it stays."
            yield table.finding("error", row, "count", message, f"Write {most}.")
        if row["queen"] == "own cells" and hive["queen_cells"] != "charged":
            message = f"No charged queen cells are recorded for hive “{row['hive']}”."
            yield table.finding("error", row, "queen", message, "Ask for another way to a queen.")
        if hive["queen"] == "queenless":
            message = (
                f"Hive “{row['hive']}” is queenless: what stays on its stand needs a queen or a cell too."
            )
            yield table.finding("warning", row, "hive", message, "Bring one more.")


def charged_hives_are_split(draft: Draft) -> Iterator[Finding]:
    """A hive with charged queen cells gives to no other split; it is the first to be split in its own right."""
    named = {(row["from"], row["hive"]) for row in draft["splits"].rows}
    for row in draft.hives:
        if row["queen_cells"] == "charged" and (row["yard"], row["hive"]) not in named:
            message = f"Hive “{row['hive']}” has charged queen cells: split it first, in its own right."
            cure = "Add a row to splits with its yard under from, its name under hive, queen own cells."
            yield draft["hives"].finding("warning", row, "queen_cells", message, cure)


def queens_are_there(draft: Draft) -> Iterator[Finding]:
    """As many mated queens and ripe cells as asked for can be used on the day, where they are counted."""
    table = draft["splits"]
    for way, item, days in (("mated", "mated queen", 0), ("ripe cell", "ripe cell", 1)):
        rows = [r for r in draft["stock"].rows if r["item"] == item]
        asked = sum(r["count"] or 0 for r in table.rows if r["queen"] == way)
        day = draft.day + timedelta(days=days)
        there = sum(
            r["count"] or 0
            for r in rows
            if (r["from"] is None or r["from"] <= day) and (r["until"] is None or day <= r["until"])
        )
        if rows and asked > there:
            message = f"{asked} splits ask for a {item}; {there} can be used on {day}."
            yield draft["stock"].finding("warning", rows[0], "count", message, "The others stay unplaced.")


def stock_dates_are_in_order(draft: Draft) -> Iterator[Finding]:
    """Nothing can be used until a day before it can be used from."""
    for row in draft["stock"].rows:
        if row["from"] and row["until"] and row["until"] < row["from"]:
            message = f"It can be used from {row['from']} until {row['until']}, which is before."
            yield draft["stock"].finding("error", row, "until", message, "Look at both dates.")


def swaps_have_stock(draft: Draft) -> Iterator[Finding]:
    """What may stand in for food frames is counted at home."""
    swaps, items = draft.settings.swaps, {row["item"] for row in draft["stock"].rows}
    for allowed, item in ((swaps.food_comb, "food comb"), (swaps.feeder, "feeder")):
        if allowed and item not in items:
            message = f"A {item} may stand in for food frames, but none is in stock."
            yield draft["stock"].finding("warning", None, "item", message, "Add how many there are.")


def money_can_be_counted(draft: Draft) -> Iterator[Finding]:
    """The least money needs to know what an hour costs."""
    settings = draft.settings
    if settings.objective == "money" and settings.costs.per_hour <= 0:
        message = "The plan is to cost the least money, but an hour costs nothing."
        cure = "Set per_hour under [costs], or objective to minutes."
        yield Finding("error", "settings.toml", None, "costs.per_hour", "", message, cure)


def grades_are_known(draft: Draft) -> Iterator[Finding]:
    """A word for the strength of a hive is one that the settings explain."""
    known = dict(draft.settings.grades)
    for row in draft.hives:
        if row["grade"] and row["grade"] not in known:
            message = f"The settings do not say what the grade “{row['grade']}” stands for."
            words = f" or use one of: {', '.join(sorted(known))}" if known else ""
            cure = f"Add [grades.{row['grade']}] with bees, brood and food to settings.toml{words}."
            yield draft["hives"].finding("error", row, "grade", message, cure)


QUEEN_RULES: tuple[Callable[[Draft], Iterator[Finding]], ...] = (
    own_right_can_be,
    charged_hives_are_split,
    queens_are_there,
    stock_dates_are_in_order,
    swaps_have_stock,
    money_can_be_counted,
    grades_are_known,
)
