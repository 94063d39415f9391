"""What falls away when a stop of the plan is left out, in words; worked out and audited with the plan.

Nothing is planned again here: that needs the tables (`routeplan replan`).
"""

from collections import Counter

from routeplan.output import measures
from routeplan.output.day import Day, shut_in_limit_min
from routeplan.plan import Skip, Split

NOT_MADE = "{boxes} not made: {count} fewer at {yards}."
FEWER = "{placed} of {planned} splits are left."
HALF = (
    "{boxes} half filled and {stay} so: the frames go back to {yards} today, into the hives they came from."
)
ABOVE = "Combs of {hives} stand above an excluder: somebody has to set them down today."
ELSEWHERE = "{boxes} can go to {yard}, stop {number}, instead: far enough, and there is room."
KEPT = (
    "{boxes} {stay} aboard: no other stop of today can take {them}. Take {them} to no yard nearer than "
    "{least} to the hives {they} came from; shut in for {limit} at most."
)
ONE, MANY = {"stay": "stays", "them": "it", "they": "it"}, {"stay": "stay", "them": "them", "they": "they"}
NEEDLESS = "Nothing is left to do at {stops}."
QUEENS = "{count} not needed: back to shade and a hive that keeps them."
CELLS = "{count} fewer on {day}."
SPARED = "About {time} of work there falls away."
PLAN_AGAIN = "The laptop plans the rest again from your field notes."


def falls_away(day: Day, number: int) -> tuple[str, ...]:
    """Return in sentences what falls away without stop `number`, from 1; nothing where that is done."""
    skip = next((row for row in day.plan.skips if row.stop == number), None)
    if skip is None:
        return ()
    stop, lost = day.plan.stops[number - 1], [s for s in day.splits() if s.id in skip.not_made]
    lines = [*_lost(day, lost), *_begun(day, number, lost)]
    waiting = [h for h, way in stop.ways if way == "excluder"]
    if waiting:
        lines.append(ABOVE.format(hives=measures.hives(waiting)))
    lines += _aboard(day, skip)
    lines += _queens(day, lost)
    if skip.needless:
        said = measures.joined(f"stop {n}, {day.plan.stops[n - 1].yard}" for n in skip.needless)
        lines.append(NEEDLESS.format(stops=said))
    lines.append(SPARED.format(time=measures.span(stop.depart - stop.arrive)))
    return (*lines, PLAN_AGAIN)


def _lost(day: Day, lost: list[Split]) -> list[str]:
    if not lost:
        return []
    yards = Counter(s.to_yard for s in lost)
    said = measures.joined(f"{yard} ({n})" for yard, n in yards.items())
    are, planned = "is" if len(lost) == 1 else "are", len(day.plan.splits)
    return [
        NOT_MADE.format(boxes=f"{_boxes(day, lost)} {are}", count=len(lost), yards=said),
        FEWER.format(placed=planned - len(lost), planned=planned),
    ]


def _begun(day: Day, number: int, lost: list[Split]) -> list[str]:
    """Boxes begun at an earlier stop that would be completed at this one."""
    half = [s for s in lost if s.begun_at and s.begun_at < number]
    if not half:
        return []
    yards = measures.joined(dict.fromkeys(day.plan.stops[s.begun_at - 1].yard for s in half))
    one = len(half) == 1
    boxes = f"{_boxes(day, half)} {'is' if one else 'are'}"
    return [HALF.format(boxes=boxes, stay="stays" if one else "stay", yards=yards)]


def _aboard(day: Day, skip: Skip) -> list[str]:
    """Boxes that lose their place: where they can go, or that there is nowhere."""
    lines, where = [], dict(skip.elsewhere)
    for n in sorted(set(where.values())):
        boxes = _boxes(day, [s for s in day.splits() if where.get(s.id) == n])
        lines.append(ELSEWHERE.format(boxes=boxes, yard=day.plan.stops[n - 1].yard, number=n))
    kept = [s for s in day.splits() if s.id in skip.aboard and s.id not in where]
    if kept:
        least = day.distance(day.operation.settings.minimum_distance_m, 2)
        said_of = ONE if len(kept) == 1 else MANY
        limit = measures.span(60 * shut_in_limit_min(day.operation))
        lines.append(KEPT.format(boxes=_boxes(day, kept), least=least, limit=limit, **said_of))
    return lines


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
