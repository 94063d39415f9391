"""Rules on what is asked for: orders, their kits, the frames and combs these need, the forecast."""

from collections.abc import Callable, Iterator

from routeplan.operation import units
from routeplan.operation.findings import Finding
from routeplan.operation.rows import Draft, Row
from routeplan.operation.settings import Settings
from routeplan.operation.world import TRADE_KITS

BOX_COMBS = 5  # what most nuc boxes hold (common practice)
LAYING = ("mated", "parent's")
PARTS = ("capped", "open", "food", "shakes", "drawn", "fill")

Contents = dict[str, int]


def contents_of_kits(draft: Draft) -> dict[str, Contents]:
    """Return what each kit holds: those of the trade, replaced and added to by the kits table."""
    trade = {kit.name: {part: getattr(kit, part) for part in PARTS} for kit in TRADE_KITS}
    return trade | {
        row["kit"]: {part: row[part] for part in PARTS} for row in draft["kits"].rows if row["kit"]
    }


def bees_of(kit: Contents, settings: Settings) -> float:
    """Return the frames of bees that come into a split of this kit."""
    bees = settings.bees
    brood = kit["capped"] + kit["open"]
    return brood * bees.per_brood_frame + kit["food"] * bees.per_food_frame + kit["shakes"] * bees.per_shake


def kits_are_known(draft: Draft) -> Iterator[Finding]:
    """Every kit asked for is in the kits table or one of the trade's own."""
    known = contents_of_kits(draft)
    for row in draft["splits"].rows:
        if row["kit"] and row["kit"] not in known:
            message = f"There is no kit “{row['kit']}”."
            cure = f"Add it to the kits table, or ask for one of: {', '.join(sorted(known))}."
            yield draft["splits"].finding("error", row, "kit", message, cure)


def kits_are_sound(draft: Draft) -> Iterator[Finding]:
    """A kit takes something, has food, and fits a nuc box."""
    table = draft["kits"]
    for row in table.rows:
        frames, combs = _frames(row), _frames(row) + row["drawn"] + row["fill"]
        if not frames:
            message = f"Kit “{row['kit']}” takes no frame out of a hive."
            yield table.finding("error", row, "kit", message, "Fill in capped, open and food.")
            continue
        if not row["food"]:
            message = f"Kit “{row['kit']}” has no food frame; a moved split has few foragers for two weeks."
            yield table.finding("warning", row, "food", message, "Add a food frame, or feed at once.")
        if combs > BOX_COMBS:
            message = f"Kit “{row['kit']}” fills {combs} combs; most nuc boxes hold {BOX_COMBS}."
            yield table.finding("warning", row, "kit", message, "Have boxes that large, or lessen the kit.")


def kits_have_a_range(draft: Draft) -> Iterator[Finding]:
    """The most of a kit is not less than what it takes, and what comes on top has a place in the box."""
    table = draft["kits"]
    for row in table.rows:
        more = 0
        for kind in ("capped", "open", "shakes"):
            most = row[f"{kind}_most"]
            if most is not None and most < row[kind]:
                message = f"At most {most}, and the kit takes {row[kind]}."
                yield table.finding(
                    "error", row, f"{kind}_most", message, "Write the larger number, or none."
                )
            elif most is not None and kind != "shakes":
                more += most - row[kind]
        if more > row["fill"]:
            message = f"{more} frames may come on top, and only {row['fill']} of fill make place for them."
            yield table.finding("warning", row, "fill", message, "Add fill, or lessen the most.")


def _frames(row: Row) -> int:
    return int(row["capped"] + row["open"] + row["food"])


def queens_can_come(draft: Draft) -> Iterator[Finding]:
    """The kit of each order suits its way to a queen."""
    table, kits = draft["splits"], contents_of_kits(draft)
    for row in table.rows:
        if row["queen"] == "own cells" and row["hive"] is None:
            message = "Only a hive with charged queen cells, split in its own right, gives its own cells."
            yield table.finding("error", row, "hive", message, "Name that hive, and its yard under from.")
        elif row["kit"] in kits and row["queen"] in ("raise own", "own cells"):
            yield from _raises_its_own(draft, row, kits[row["kit"]])
        elif row["kit"] in kits and row["queen"] in LAYING and not kits[row["kit"]]["drawn"]:
            message = f"Kit “{row['kit']}” has no drawn comb; a laying queen lays at once."
            yield table.finding("warning", row, "kit", message, "Give the kit a drawn comb.")


def _raises_its_own(draft: Draft, row: Row, kit: Contents) -> Iterator[Finding]:
    table, least = draft["splits"], draft.settings.limits.own_queen_bees
    bees = bees_of(kit, draft.settings)
    if not kit["open"]:
        message = f"Kit “{row['kit']}” has no open brood to raise a queen from."
        yield table.finding("error", row, "kit", message, "Add an open frame, or bring a cell or a queen.")
    if bees < least - 1e-6:
        message = f"Kit “{row['kit']}” brings {bees:.1f} frames of bees; raising a queen takes {least:g}."
        yield table.finding("error", row, "kit", message, "Add shakes or brood, or bring a cell or a queen.")


def orders_are_in_time(draft: Draft) -> Iterator[Finding]:
    """Nothing is asked for by a day that has passed."""
    for row in draft["splits"].rows:
        if row["by"] is not None and row["by"] < draft.day:
            message = f"Asked for by {row['by']}, and the day planned is {draft.day}."
            yield draft["splits"].finding(
                "warning", row, "by", message, "Delete the row if it is no longer wanted."
            )


def fixed_yards_can_be(draft: Draft) -> Iterator[Finding]:
    """A yard that must give has hives; a yard that must take splits takes them."""
    table = draft["splits"]
    with_hives = {row["yard"] for row in draft.hives}
    takes = {row["yard"]: row["takes_splits"] for row in draft["yards"].rows}
    for row in table.rows:
        if draft.hives and row["from"] in takes and row["from"] not in with_hives:
            message = f"“{row['from']}” has no hives to give."
            yield table.finding("error", row, "from", message, "Name a yard with hives, or leave it blank.")
        if not takes.get(row["to"], True):
            message = f"“{row['to']}” takes no splits."
            yield table.finding("error", row, "to", message, "Name another yard, or leave it blank.")


def frames_match(draft: Draft) -> Iterator[Finding]:
    """Hives, kits and stock speak of the same frame formats."""
    usual = draft.settings.frame
    formats = {row["frame"] or usual for row in draft.hives}
    for row in draft["kits"].rows:
        if formats and row["frame"] and row["frame"] not in formats:
            message = f"No hive has “{row['frame']}” frames."
            yield draft["kits"].finding("warning", row, "frame", message, "Look at the name of the format.")
    combs = [row for row in draft["stock"].rows if row["item"] in ("drawn comb", "foundation")]
    for format_ in sorted(formats - {row["frame"] or usual for row in combs}) if combs else ():
        message = f"No combs are listed for “{format_}” frames: no split can be made from them."
        cure = "Add the drawn combs and foundation you have in that format."
        yield draft["stock"].finding("warning", None, "frame", message, cure)


def forecasts_say_how_warm(draft: Draft) -> Iterator[Finding]:
    """Each row of weather says how warm it gets, in one of its two columns."""
    table = draft["weather"]
    if table.rows and not {"max_c", "max_f"} & set(table.headers):
        yield table.finding("error", None, "max_c", "This column is missing.", "Add max_c, or max_f.")
        return
    for row in table.rows:
        if row["max_c"] is None and not row.text("max_c") and not row.text("max_f"):
            name = "max_c" if "max_c" in table.headers else "max_f"
            yield table.finding("error", row, name, "This cell is blank.", "Write the warmest hour.")


def forecast_is_there(draft: Draft) -> Iterator[Finding]:
    """The day's warmest hour is known, for the minutes a split may be shut in."""
    known = any(row["date"] == draft.day for row in draft["weather"].rows)
    if not known and draft.settings.shut_in.warmest_c is None:
        minutes = draft.settings.shut_in.screened_min[1]
        minutes = minutes if draft.settings.shut_in.screened else minutes / 4
        heat = units.temperatures(20, 25, draft.settings.temperature)
        message = f"No temperature for {draft.day}: splits may be shut in {minutes:g} min, as at {heat}."
        yield draft["weather"].finding(
            "warning", None, "max_c", message, "Add the forecast of the warmest hour."
        )


SPLIT_RULES: tuple[Callable[[Draft], Iterator[Finding]], ...] = (
    kits_are_known,
    kits_are_sound,
    kits_have_a_range,
    queens_can_come,
    orders_are_in_time,
    fixed_yards_can_be,
    frames_match,
    forecasts_say_how_warm,
    forecast_is_there,
)
