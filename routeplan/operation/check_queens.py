"""Rules on hives that are split in their own right, and on what their splits need to come by a queen."""

from collections.abc import Callable, Iterator

from routeplan.operation.findings import Finding
from routeplan.operation.rows import Draft, Row
from routeplan.operation.world import HEALTH_USABLE, QUEENS_NOT_LAYING

MOST_PARTS = 2
MOST_BROKEN_UP = 4
NOT_WORTH_PARTING = ("drone layer", "laying workers")


def own_right_is_named(draft: Draft) -> Iterator[Finding]:
    """A hive split in its own right is named with its yard, and stands there."""
    table = draft["splits"]
    hives: dict[str, list[str]] = {}
    for hive in draft.hives:
        hives.setdefault(hive["yard"], []).append(hive["hive"])
    for row in table.rows:
        name, yard = row["hive"], row["from"]
        if name and not yard:
            message = f"Hive “{name}” is to be split in its own right, but its yard is not named."
            yield table.finding("error", row, "from", message, "Write its yard under from.")
        elif name and yard in hives and name not in hives[yard]:
            near = [other for other in hives[yard] if _plain(other) == _plain(name)]
            cure = f"Did you mean “{near[0]}”?" if near else "Look at the names in the hives table."
            yield table.finding("error", row, "hive", f"There is no hive “{name}” at “{yard}”.", cure)


def _plain(name: str) -> str:
    return name.casefold().lstrip("0")


def own_right_once(draft: Draft) -> Iterator[Finding]:
    """A hive is split in its own right by one row only, but where it is broken up."""
    table = draft["splits"]
    first: dict[tuple[str, str], Row] = {}
    for row in table.rows:
        if row["hive"] and row["from"]:
            earlier = first.setdefault((row["from"], row["hive"]), row)
            if earlier is not row and not (earlier["break_up"] and row["break_up"]):
                message = f"Hive “{row['hive']}” is already split in its own right in row {earlier.number}."
                yield table.finding("error", row, "hive", message, "Keep one row for it, with count 1 or 2.")


def own_right_leaves_a_part(draft: Draft) -> Iterator[Finding]:
    """One or two parts leave and the rest stays; a queen leaves with one."""
    table = draft["splits"]
    for row in table.rows:
        if row["break_up"] and not row["hive"]:
            message = "It is not said which hive is to be broken up."
            yield table.finding("error", row, "hive", message, "Name the hive, and its yard under from.")
        most = 1 if row["queen"] == "parent's" else MOST_BROKEN_UP if row["break_up"] else MOST_PARTS
        if row["hive"] and (row["count"] or 0) > most:
            queen = ", and there is one queen to go with it" if most == 1 else ""
            rest = "" if row["break_up"] else ", the rest stays"
            message = f"At most {most} of one hive may leave{rest}{queen}."
            cure = (
                "Write 1." if most == 1 else f"Write 1 to {most}." if most > MOST_PARTS else "Write 1 or 2."
            )
            yield table.finding("error", row, "count", message, cure)


def broken_up_as_a_whole(draft: Draft) -> Iterator[Finding]:
    """All rows of a hive broken up ask for up to four parts of one priority; its queen goes with one."""
    table = draft["splits"]
    rows: dict[tuple[str, str], list[Row]] = {}
    for row, hive in _own_right(draft):
        if row["break_up"]:
            rows.setdefault((hive["yard"], hive["hive"]), []).append(row)
    queens = {(hive["yard"], hive["hive"]): hive["queen"] for hive in draft.hives}
    for key, listed in rows.items():
        last, name = listed[-1], f"Hive “{key[1]}”"
        parts = sum(row["count"] or 0 for row in listed)
        along = sum(row["queen"] == "parent's" for row in listed)
        if len(listed) > 1 and parts > MOST_BROKEN_UP:
            message = (
                f"{name} is to be broken up into {parts}; at most {MOST_BROKEN_UP} of one hive may leave."
            )
            yield table.finding("error", last, "count", message, f"Ask for {MOST_BROKEN_UP} in all.")
        if len({row["priority"] for row in listed}) > 1:
            message = f"The parts of {name} are made together, and their priorities differ."
            yield table.finding("error", last, "priority", message, "Write the same in all its rows.")
        if queens[key] in QUEENS_NOT_LAYING:
            continue
        if along > 1:
            message = f"{name} has one queen, and {along} rows ask for her."
            yield table.finding("error", last, "queen", message, "Keep one row for the part she goes with.")
        elif not along:
            message = f"{name} is to be broken up, and no part has its queen: she would be lost."
            cure = "Add a row with count 1 and parent's under queen; if it has none, write queenless."
            yield table.finding("error", last, "break_up", message, cure)
        elif parts == 1:
            message = f"{name} is to be broken up into one part: that is the hive itself, moved."
            yield table.finding("error", last, "count", message, "Add a row for what else it gives.")


def own_right_fits_its_kit(draft: Draft) -> Iterator[Finding]:
    """The kit is for the frames of the hive that is split in its own right."""
    formats = {row["kit"]: row["frame"] for row in draft["kits"].rows}
    for row, hive in _own_right(draft):
        has, needs = hive["frame"] or draft.settings.frame, formats.get(row["kit"])
        if needs and needs != has:
            message = f"Kit “{row['kit']}” is for “{needs}” frames; hive “{row['hive']}” has “{has}”."
            yield draft["splits"].finding("error", row, "kit", message, "Ask for a kit of that format.")


def own_cells_are_there(draft: Draft) -> Iterator[Finding]:
    """A hive whose own cells are asked for had charged cells at a look that is not old."""
    table, last = draft["splits"], draft.settings.limits.cells_days
    for row, hive in _own_right(draft):
        if row["queen"] != "own cells":
            continue
        age = (draft.day - (hive["inspected"] or draft.day)).days
        if hive["queen_cells"] != "charged":
            message = f"No charged queen cells are recorded for hive “{row['hive']}”."
            cure = "Write charged under queen_cells if it has some, or ask for another way to a queen."
            yield table.finding("error", row, "queen", message, cure)
        elif age > last:
            message = f"The cells of hive “{row['hive']}” were seen {age} days before the day: hatched since."
            cure = f"Look again; a look up to {last} days old serves."
            yield table.finding("error", row, "queen", message, cure)


def own_right_has_a_queen(draft: Draft) -> Iterator[Finding]:
    """The parent's queen is a laying one; workers or drone layers are not parted; who stays gets a queen."""
    table = draft["splits"]
    for row, hive in _own_right(draft):
        queen, name = hive["queen"], f"Hive “{row['hive']}”"
        if queen in NOT_WORTH_PARTING:
            message = f"{name} is noted as {queen}: splits of it would fail."
            yield table.finding("error", row, "hive", message, "Name another hive, or delete the row.")
        elif row["queen"] == "parent's" and queen in QUEENS_NOT_LAYING:
            message = f"{name} is noted as {queen}: it has no queen that could go with the split."
            yield table.finding("error", row, "queen", message, "Ask for another way to a queen.")
        elif queen == "queenless" and not row["break_up"]:
            message = f"{name} is queenless: what stays at the stand needs a queen or a cell too."
            cells = hive["queen_cells"] == "charged"
            cure = "Leave it a good cell of its own." if cells else "Bring one more than the splits need."
            yield table.finding("warning", row, "hive", message, cure)


def charged_hives_are_split(draft: Draft) -> Iterator[Finding]:
    """A hive with charged queen cells gives to no other split; it is first split in its own right."""
    named = {(row["from"], row["hive"]) for row in draft["splits"].rows}
    sick = {row["yard"] for row in draft["yards"].rows if row["health"] not in HEALTH_USABLE}
    for row in draft.hives:
        may = row["may_give"] and row["health"] in HEALTH_USABLE and row["yard"] not in sick
        worth = may and row["queen"] not in NOT_WORTH_PARTING
        if worth and row["queen_cells"] == "charged" and (row["yard"], row["hive"]) not in named:
            message = (
                f"Hive “{row['hive']}” of yard “{row['yard']}” has charged queen cells and gives nothing."
            )
            cure = (
                "Split it first, in its own right: add a row to splits with its yard under from and its hive."
            )
            yield draft["hives"].finding("warning", row, "queen_cells", message, cure)


def _own_right(draft: Draft) -> Iterator[tuple[Row, Row]]:
    """Orders that split a hive in its own right, each with that hive's newest look."""
    hives = {(hive["yard"], hive["hive"]): hive for hive in draft.hives}
    for row in draft["splits"].rows:
        hive = hives.get((row["from"], row["hive"]))
        if hive is not None:
            yield row, hive


QUEEN_RULES: tuple[Callable[[Draft], Iterator[Finding]], ...] = (
    own_right_is_named,
    own_right_once,
    own_right_leaves_a_part,
    broken_up_as_a_whole,
    own_right_fits_its_kit,
    own_cells_are_there,
    own_right_has_a_queen,
    charged_hives_are_split,
)
