"""What every part of the sheet asks of a plan: box numbers, what each yard does today, heat."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from routeplan.operation.world import HEALTH_USABLE, Operation, Yard
from routeplan.output import measures, words
from routeplan.output.share import operation_to_share, plan_to_share
from routeplan.plan import HiveLine, Plan, Split, Stop, box_numbers, given_back_at

JOBS = ("takes", "receives", "both", "idle", "closed", "health")


@dataclass(frozen=True)
class Day:
    """An operation and its plan, with the boxes numbered; `shared`: a copy to pass on, without positions."""

    operation: Operation
    plan: Plan
    boxes: dict[str, int]
    shared: bool = False

    @property
    def units(self) -> str:
        """Units of distance, "km" or "mi"."""
        return self.operation.settings.units

    def distance(self, metres: float, digits: int = 1) -> str:
        """Write a distance in the operation's units."""
        return measures.distance(metres, self.units, digits)

    def box_words(self, ids: Iterable[str]) -> str:
        """Write "box 3" or "boxes 1–3, 5" for split ids."""
        return boxes_said(self.boxes, ids)

    def splits(self) -> list[Split]:
        """Splits in the order of their box numbers."""
        return sorted(self.plan.splits, key=lambda s: self.boxes[s.id])

    def stops_at(self, yard: str) -> list[int]:
        """Stop numbers, from 1, at which that yard is visited."""
        return [n for n, stop in enumerate(self.plan.stops, 1) if stop.yard == yard]


def day_of(operation: Operation, plan: Plan, shared: bool = False) -> Day:
    """Set an operation beside its plan; `shared`: without what is nobody else's business."""
    if shared:
        operation, plan = operation_to_share(operation), plan_to_share(plan)
    return Day(operation, plan, box_numbers(plan), shared)


def boxes_said(boxes: Mapping[str, int], ids: Iterable[str]) -> str:
    """Write "box 3" or "boxes 1–3, 5" for split ids."""
    numbers = [boxes[i] for i in ids]
    return f"{'box' if len(numbers) == 1 else 'boxes'} {measures.runs(numbers)}"


def gave(line: HiveLine) -> bool:
    """Whether anything leaves the hive."""
    return any(count for _, count in line.gives)


def done_at(day: Day, stop: Stop) -> list[str]:
    """Return what is done at a stop, in order: "set up the fence", "place boxes 1–3", "make box 4"."""
    begun = {s.id for s in day.plan.splits if s.begun_at}
    given_back = [box for box, i in given_back_at(day.plan).items() if day.plan.stops[i - 1] is stop]
    parts = (
        (words.PLACE, stop.places),
        (words.COMPLETE, [s for s in stop.makes if s in begun]),
        (words.MAKE, [s for s in stop.makes if s not in begun]),
        (words.BEGIN, stop.begins),
        (words.GIVE_BACK, given_back),
    )
    fence = [words.FENCE] if stop.fence_s else []
    above = [words.FIRST_PASS.format(hives=measures.hives([s.hive for s in stop.sets]))] if stop.sets else []
    return fence + above + [text.format(boxes=day.box_words(ids)) for text, ids in parts if ids]


def is_closed(operation: Operation, yard: Yard) -> bool:
    """Whether the yard cannot be entered on the day."""
    late = yard.closed_until is not None and operation.day < yard.closed_until
    return late or operation.day.isoweekday() in yard.closed_days


def job(day: Day, yard: Yard) -> str:
    """Return what the yard does today, one of JOBS."""
    stops = [s for s in day.plan.stops if s.yard == yard.id]
    takes, places = any(s.takes or s.makes for s in stops), any(s.places for s in stops)
    if takes or places:
        return "both" if takes and places else "takes" if takes else "receives"
    if yard.health not in HEALTH_USABLE:
        return "health"
    return "closed" if is_closed(day.operation, yard) else "idle"


def why_idle(day: Day, yard: Yard) -> str:
    """Say why a yard is not visited."""
    if yard.health not in HEALTH_USABLE:
        return f"health {yard.health}: nothing leaves, nothing goes in"
    if yard.closed_until is not None and day.operation.day < yard.closed_until:
        return f"closed until {measures.day_words(yard.closed_until)}"
    if is_closed(day.operation, yard):
        return f"closed on {words.WEEKDAYS[day.operation.day.weekday()]}s"
    return "not needed today"


def warmest(operation: Operation) -> float | None:
    """Return the warmest hour stated for the day, in degrees Celsius; None when nothing is stated."""
    stated = [w.max_c for w in operation.weather if w.day == operation.day]
    return max(stated) if stated else operation.settings.shut_in.warmest_c


def shut_in_limit_min(operation: Operation) -> float:
    """Return the most minutes a split may be shut in today (rule R9)."""
    rule, heat = operation.settings.shut_in, warmest(operation)
    heat = 22.0 if heat is None else heat
    limit = next(
        (m for m, below in zip(rule.screened_min, (20, 25, 30, 35), strict=False) if heat < below), 0.0
    )
    if rule.screened:
        return limit
    return 0.0 if heat >= 27 else limit / 4
