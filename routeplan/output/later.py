"""The weeks after: trips to each yard that gets splits, its dated looks, and what counts against a yard."""

from collections.abc import Sequence
from dataclasses import dataclass

from routeplan.output import measures
from routeplan.output.day import Day
from routeplan.output.looks import Look, looks, trips_needed, when
from routeplan.plan import After

LOOKS_ARE = (
    "Days counted from the splitting day, common practice; the weather and what is found decide. "
    "Looks that fall together share a trip."
)

TRIPS = "{parts}: {time} and {road} there and back each, {all} in all."
ONE_TRIP = "{parts}: {all} and {road} there and back."
LOOKED_AFTER = "Somebody comes by every week anyway: no trip counted{but}."
BUT_CELLS = " but the one with cells"
NO_TRIPS = "No trip counted."
MORE_TRIPS = (
    "The looks below fall on {needed} days at least; {counted} of them are counted (settings under later)."
)
FEW = "Few splits here ({here}; a trip is worth it from {least}): {time} counted against it."
ROBBING = (
    "No flow here: in this dearth {strong} beside the splits may rob them: {time} counted against it. "
    "Entrances as small as they go, feed at dusk."
)
AFTER_LINE = "In the weeks after: {trips}, {time} in all"
OVER = (
    "Splits go to {yards} that nobody looks after; more than {most} on one day count {time} against the plan."
)
SWAPS = "{swaps} for frames that are short: {time} counted against the plan."


@dataclass(frozen=True)
class YardLater:
    """One yard in the weeks after: its splits, its trips in a sentence, its dated looks."""

    yard: str
    boxes: str
    lines: tuple[str, ...]
    looks: tuple[tuple[str, str, str], ...]


def weeks_after(day: Day) -> tuple[YardLater, ...]:
    """Return every yard with something to do later: those that get splits first, in the order of placing."""
    dated = looks(day)
    rows = {row.yard: row for row in day.plan.after}
    yards = dict.fromkeys([*rows, *(look.yard for look in dated)])
    return tuple(
        YardLater(
            yard,
            _boxes(day, yard),
            _lines(day, rows[yard], [k for k in dated if k.yard == yard]) if yard in rows else (),
            tuple((when(day.plan.day, look), look.who, look.words) for look in dated if look.yard == yard),
        )
        for yard in yards
    )


def _boxes(day: Day, yard: str) -> str:
    here = [s.id for s in day.splits() if s.to_yard == yard]
    return day.box_words(here) if here else ""


def trips(row: After) -> int:
    """Return how many trips a yard asks for in the weeks after."""
    return row.trips + row.feeding_trips + row.cell_trips


def after_line(day: Day) -> str:
    """Say in one line what the splits ask for in the weeks after; nothing if no trip."""
    count = sum(trips(row) for row in day.plan.after)
    time = measures.span(day.plan.totals.later_s)
    return AFTER_LINE.format(trips=measures.counted(count, "trip"), time=time) if count else ""


def _lines(day: Day, row: After, dated: Sequence[Look]) -> tuple[str, ...]:
    settings = day.operation.settings
    lines = [_trips_line(day, row)]
    if row.few_s:
        here, least = measures.counted(row.splits, "split"), settings.later.few_splits
        lines.append(FEW.format(here=here, least=least, time=measures.span(row.few_s)))
    if row.robbing_s:
        strong = row.robbing_s // max(1, round(60 * settings.later.robbing_min))
        hives = measures.counted(strong, "strong hive")
        lines.append(ROBBING.format(strong=hives, time=measures.span(row.robbing_s)))
    counted = row.trips + row.feeding_trips
    if row.trips and (needed := trips_needed(dated)) > counted:
        lines.append(MORE_TRIPS.format(needed=needed, counted=counted))
    return tuple(lines)


def _trips_line(day: Day, row: After) -> str:
    looked_after = day.operation.yard(row.yard).looked_after
    cells = f"cells in on {measures.days_after(day.plan.day, 1, 1)}"
    counted = ((row.trips, "trip to look", "trips to look"), (row.feeding_trips, "to feed", "to feed"))
    parts = [measures.counted(n, one, many) for n, one, many in counted if n]
    parts += [cells] if row.cell_trips else []
    said = LOOKED_AFTER.format(but=BUT_CELLS if row.cell_trips else "") + " " if looked_after else ""
    if not parts:
        return said.strip() or NO_TRIPS
    text = ONE_TRIP if trips(row) == 1 else TRIPS
    words = measures.joined(parts)
    return said + text.format(
        parts=words[0].upper() + words[1:],
        time=measures.span(row.trip_s),
        road=day.distance(row.trip_m),
        all=measures.span(trips(row) * row.trip_s),
    )


def against(day: Day) -> tuple[str, ...]:
    """Say what counts against the plan as a whole: many receiving yards, swaps."""
    settings, plan = day.operation.settings, day.plan
    alone = sum(not day.operation.yard(row.yard).looked_after for row in plan.after)
    over_s = round(60 * settings.later.over_min) * max(0, alone - settings.later.most_yards)
    swaps = sum(s.swap != "" for s in plan.splits)
    swaps += sum(t.frames for s in plan.stops for t in s.takes if t.kind == "mixed")
    lines = []
    if over_s:
        yards, most = measures.counted(alone, "yard"), settings.later.most_yards
        lines.append(OVER.format(yards=yards, most=most, time=measures.span(over_s)))
    swap_s = swaps * round(60 * settings.swaps.minutes)
    if swap_s:
        lines.append(SWAPS.format(swaps=measures.counted(swaps, "swap"), time=measures.span(swap_s)))
    return tuple(lines)
