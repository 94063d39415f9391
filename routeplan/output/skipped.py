"""What falls away when a stop of the plan is left out, worked out from the plan alone.

Nothing is planned again here: that needs the tables (`routeplan replan`). Rules named are those of the plan.
"""

from collections import Counter

from routeplan.output import measures
from routeplan.output.day import Day, shut_in_limit_min
from routeplan.plan import Split

NOT_MADE = "{boxes} not made: {count} fewer at {yards}."
FEWER = "{placed} of {planned} splits are left."
KEPT = (
    "{boxes} {stay} aboard, made to live here. Take {them} to no yard nearer than {least} to the "
    "hives {they} came from; shut in for {limit} at most."
)
ONE, MANY = {"stay": "stays", "them": "it", "they": "it"}, {"stay": "stay", "them": "them", "they": "they"}
NEEDLESS = "Nothing is left to do at {stops}."
QUEENS = "{count} not needed: back to shade and a hive that keeps them."
CELLS = "{count} fewer on {day}."
SPARED = "About {time} of work there falls away."
PLAN_AGAIN = "The laptop plans the rest again from your field notes."


def falls_away(day: Day, number: int) -> tuple[str, ...]:
    """Return in sentences what falls away without stop `number`, counted from 1."""
    stop = day.plan.stops[number - 1]
    lost, kept = lost_splits(day, number), kept_splits(day, number)
    lines = []
    if lost:
        yards = Counter(s.to_yard for s in lost)
        said = measures.joined(f"{yard} ({n})" for yard, n in yards.items())
        boxes, are = _boxes(day, lost), "is" if len(lost) == 1 else "are"
        lines.append(NOT_MADE.format(boxes=f"{boxes} {are}", count=len(lost), yards=said))
        planned = len(day.plan.splits)
        lines.append(FEWER.format(placed=planned - len(lost), planned=planned))
    if kept:
        least = day.distance(day.operation.settings.minimum_distance_m, 2)
        said_of = ONE if len(kept) == 1 else MANY
        limit = measures.span(60 * shut_in_limit_min(day.operation))
        lines.append(KEPT.format(boxes=_boxes(day, kept), least=least, limit=limit, **said_of))
    lines += _queens(day, lost)
    if needless := needless_stops(day, number):
        said = measures.joined(f"stop {n}, {day.plan.stops[n - 1].yard}" for n in needless)
        lines.append(NEEDLESS.format(stops=said))
    lines.append(SPARED.format(time=measures.span(stop.depart - stop.arrive)))
    return (*lines, PLAN_AGAIN)


def lost_splits(day: Day, number: int) -> list[Split]:
    """Return the splits that get frames at a stop, and so are not made without it."""
    stop = day.plan.stops[number - 1]
    given = {take.split for take in stop.takes} | set(stop.makes)
    return [split for split in day.splits() if split.id in given]


def kept_splits(day: Day, number: int) -> list[Split]:
    """Return the splits aboard that have no place to go without a stop."""
    stop, lost = day.plan.stops[number - 1], {s.id for s in lost_splits(day, number)}
    return [split for split in day.splits() if split.id in stop.places and split.id not in lost]


def needless_stops(day: Day, number: int) -> list[int]:
    """Return the later stops at which nothing is left to do."""
    lost = {s.id for s in lost_splits(day, number)}
    return [
        n
        for n, stop in enumerate(day.plan.stops, 1)
        if n > number and not (stop.takes or stop.makes) and stop.places and set(stop.places) <= lost
    ]


def _queens(day: Day, lost: list[Split]) -> list[str]:
    mated, cells = (sum(s.queen == way for s in lost) for way in ("mated", "ripe cell"))
    lines = []
    if mated:
        lines.append(QUEENS.format(count=measures.counted(mated, "mated queen")))
    if cells:
        when = measures.days_after(day.plan.day, 1, 1)
        lines.append(CELLS.format(count=measures.counted(cells, "ripe cell"), day=when))
    return lines


def _boxes(day: Day, splits: list[Split]) -> str:
    text = day.box_words(s.id for s in splits)
    return text[0].upper() + text[1:]
