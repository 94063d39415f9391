"""Rules on what yards are like: room, pairs, flows and fences."""

from collections.abc import Callable, Iterator

from routeplan.operation.findings import Finding
from routeplan.operation.rows import Draft, Row


def room_is_said(draft: Draft) -> Iterator[Finding]:
    """Where splits may be placed, it is said for how many there is room."""
    table = draft["yards"]
    open_end = [
        row["yard"] for row in table.rows if row["yard"] and row["takes_splits"] and not row.text("room")
    ]
    if open_end:
        names = ", ".join(open_end[:6]) + (f" and {len(open_end) - 6} more" if len(open_end) > 6 else "")
        message = f"Room is not said for {names}: no limit is kept."
        yield table.finding("warning", None, "room", message, "Write how many more hives each can take.")


def pairs_say_something(draft: Draft) -> Iterator[Finding]:
    """A row of pairs names two different yards once and says something about them."""
    table = draft["pairs"]
    seen: dict[frozenset[str], Row] = {}
    for row in table.rows:
        if not (row["yard"] and row["other"]):
            continue
        both = frozenset((row["yard"], row["other"]))
        first = seen.setdefault(both, row)
        if len(both) == 1:
            yield table.finding("error", row, "other", "Both yards are the same.", "Name two yards.")
        elif first is not row:
            message = f"These two yards are already in row {first.number}."
            yield table.finding("error", row, "other", message, "Keep one row for each two yards.")
        elif not row.text("flying_km") and not row.text("drive_min"):
            yield table.finding(
                "warning", row, None, "This row says nothing.", "Fill in flying_km, flying_mi or drive_min."
            )


def flows_are_in_order(draft: Draft) -> Iterator[Finding]:
    """A flow does not end before it begins."""
    for row in draft["yards"].rows:
        if row["flow_from"] and row["flow_until"] and row["flow_until"] < row["flow_from"]:
            message = f"The flow lasts from {row['flow_from']} until {row['flow_until']}, which is before."
            yield draft["yards"].finding("error", row, "flow_until", message, "Look at both dates.")


def bears_are_fenced(draft: Draft) -> Iterator[Finding]:
    """Where bears come, it is known whether a fence stands."""
    for row in draft["yards"].rows:
        if row["bear"] and row["fence"] is None and row["takes_splits"]:
            message = "Bears come here, and it is not said whether a fence stands: taken as none."
            cure = "Write yes or no under fence; without one splits need a fence kit in stock."
            yield draft["yards"].finding("warning", row, "fence", message, cure)


PLACE_RULES: tuple[Callable[[Draft], Iterator[Finding]], ...] = (
    room_is_said,
    pairs_say_something,
    flows_are_in_order,
    bears_are_fenced,
)
