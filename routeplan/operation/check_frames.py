"""Rules on frames looked at one by one."""

from collections.abc import Callable, Iterator

from routeplan.operation.findings import Finding
from routeplan.operation.rows import Draft, Row

BOTH_SIDES = 20.0
OFF_FRAMES = 1.5
"""So far the frames of a hive may be from its count; tenths are estimates (common practice)."""


def frames_can_be(draft: Draft) -> Iterator[Finding]:
    """A frame stands in a hive of the hives table, once, and no more than its two sides are covered."""
    table, hives = draft["frames"], {(row["yard"], row["hive"]) for row in draft.hives}
    seen: dict[tuple[str, str, int], Row] = {}
    for row in table.rows:
        key = (row["yard"], row["hive"])
        if draft.hives and all(key) and key not in hives:
            message = f"There is no hive “{row['hive']}” at “{row['yard']}” in the hives table."
            yield table.finding("error", row, "hive", message, "Correct the name, or add the hive.")
        first = seen.setdefault((*key, row["number"]), row)
        if first is not row and row["number"] is not None:
            message = f"Frame {row['number']} of this hive is already in row {first.number}."
            yield table.finding("error", row, "number", message, "Keep the newest row.")
        covered = row["capped"] + row["open"] + row["food"]
        if covered > BOTH_SIDES + 1e-6:
            message = f"{covered:g} tenths; the two sides of a frame have {BOTH_SIDES:g}."
            yield table.finding(
                "error", row, "capped", message, "Write tenths of each side, both sides added."
            )


def frames_agree(draft: Draft) -> Iterator[Finding]:
    """Where all frames of a hive were looked at they come to what was counted, as far as estimates go."""
    table = draft["frames"]
    sums: dict[tuple[str, str], list[Row]] = {}
    for row in table.rows:
        sums.setdefault((row["yard"], row["hive"]), []).append(row)
    for hive in draft.hives:
        rows = sums.get((hive["yard"], hive["hive"]), [])
        for kind in ("capped", "open", "food") if rows else ():
            there = sum(row[kind] for row in rows) / BOTH_SIDES
            if hive[kind] is not None and there > hive[kind] + OFF_FRAMES:
                held = f"The frames of hive “{hive['hive']}” hold {there:.1f} {kind}"
                message = f"{held}, it was counted {hive[kind]:g}."
                yield table.finding(
                    "warning", rows[0], kind, message, "Look again, or correct one of the two."
                )


FRAME_RULES: tuple[Callable[[Draft], Iterator[Finding]], ...] = (frames_can_be, frames_agree)
