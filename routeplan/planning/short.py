"""What is not in the plan and which rule stopped it: each answer is tried, not guessed."""

from dataclasses import replace

from routeplan.plan import Unplaced
from routeplan.planning.case import DAY_S, Case, with_hours
from routeplan.planning.demand import KINDS
from routeplan.planning.limits import Clock
from routeplan.planning.order import Round
from routeplan.planning.possible import most_possible
from routeplan.planning.stages import Attempt, Outcome

NO_TIME = "not placed in the time given for planning; more time for planning may place it"
KIND_WORDS = {
    "queen": "queens that can leave their hive",
    "capped": "capped frames",
    "open": "open frames",
    "eggs": "frames of eggs from a queen mother",
    "food": "food frames",
    "shake": "shakes of bees",
}


def why_unplaced(case: Case, outcome: Outcome, clock: Clock) -> tuple[Unplaced, ...]:
    """List every order's splits that are not in the plan, with rule and reason."""
    missing = _missing(case, outcome)
    if not missing:
        return ()
    rows = []
    for priority in sorted({case.demand.batches[b].priority for b in missing}):
        rule, reason = _reason(case, outcome, priority, clock)
        for b, n in missing.items():
            if case.demand.batches[b].priority == priority:
                rows += [Unplaced(order, k, rule, reason) for order, k in _rows(case, b, n)]
    return tuple(rows)


def _missing(case: Case, outcome: Outcome) -> dict[int, int]:
    """Splits not placed, by batch."""
    found, lines = outcome.found.best, case.demand.lines
    placed = [0] * len(case.demand.batches)
    for row in found.counts.made if found else ():
        for k, n in enumerate(row):
            placed[lines[k].batch] += n
    return {
        b: batch.count - placed[b] for b, batch in enumerate(case.demand.batches) if batch.count > placed[b]
    }


def _rows(case: Case, batch: int, n: int) -> list[tuple[str, int]]:
    """Share the missing splits over the batch's order rows: the last rows go short first."""
    rows = []
    for order, count in reversed(case.demand.batches[batch].orders):
        short = min(n, count)
        if short:
            rows.append((order, short))
        n -= short
    return rows[::-1]


def _reason(case: Case, outcome: Outcome, priority: int, clock: Clock) -> tuple[str, str]:
    asked = case.demand.asked[priority]
    possible = dict(outcome.possible.totals).get(priority, asked)
    placed = dict(outcome.case.demand.totals).get(priority, 0) if outcome.found.best else 0
    if possible < asked and placed >= possible:
        found = _short_of(case, priority, possible, clock)
        if found is not None:
            return found
    return _out_of_time(case, outcome, priority, placed, clock)


def _short_of(case: Case, priority: int, possible: int, clock: Clock) -> tuple[str, str] | None:
    """Which one rule, left out, lets more be made or placed; None when it is a matter of time."""

    def more(*names: str) -> int:
        left_out = most_possible(case, clock.share(3.0), frozenset(names))
        return dict(left_out.totals).get(priority, 0) - possible if left_out.sure else 0

    for name in ("stock", "room"):
        if more(name) > 0:
            words = {"stock": ("R11", "combs or nuc boxes at home"), "room": ("R6", "room at the yards")}[
                name
            ]
            return words[0], f"not enough {words[1]} for more than {possible}"
    for kind in KINDS:
        if more(kind) > 0:
            short = _frames_short(case, kind)
            return "R1", f"short of {short} {KIND_WORDS[kind]} that donors can give and keep their keep-back"
    if more("distance") > 0:
        metres = case.operation.settings.minimum_distance_m
        return "R5", f"no yard with room is {_distance(case, metres)} or more from a yard that can still give"
    if more("ride") > 0:
        return None
    if more("room", "distance") > 0:
        return "R6", "no yard has room for them, and none that has is far enough"
    return "R1", "the donors in reach cannot give all the kinds a kit needs and keep their keep-back"


def _frames_short(case: Case, kind: str) -> str:
    """How many frames of a kind are missing for all that is asked for, over all yards."""
    index = KINDS.index(kind)
    needed = sum(b.contents[index] * b.count for b in case.demand.batches if b.hive is None)
    there = sum(
        len(d.hives) * max(o.give[index] for o in d.options) for of_yard in case.donors for d in of_yard
    )
    return str(needed - there) if needed > there else "well-placed"


def _distance(case: Case, metres: float) -> str:
    if case.operation.settings.units == "mi":
        return f"{metres / 1609.344:.2f} mi"
    return f"{metres / 1000:.2f} km"


def _out_of_time(case: Case, outcome: Outcome, priority: int, placed: int, clock: Clock) -> tuple[str, str]:
    """Which limit of the day, left out, lets one more be placed."""
    if not outcome.count_proved:
        return "R10", NO_TIME
    totals = dict(outcome.case.demand.totals) if outcome.found.best else {}
    one_more = case.wanting({**totals, priority: placed + 1})
    nights = with_hours(one_more, start=0, end=2 * DAY_S, hives_from=0, hives_until=2 * DAY_S)
    for rule, words, wider in (
        ("R7", "the truck has too few places", _with_places(one_more)),
        ("R9", "boxes would be shut in too long", with_hours(one_more, shut_in_s=DAY_S)),
        ("R8", "", nights),
    ):
        if wider is None or clock.over():
            continue
        attempt = Attempt(wider, clock.part(max(1.0, clock.left() / 2)), lambda stage, best, bound: None)
        if attempt.glance() and attempt.best is not None:
            return rule, words or _too_long(case, attempt.best)
    return "R8", "no order of visits fits the yards' hours, the hours for opening hives and the day together"


def _with_places(case: Case) -> Case | None:
    if case.places is None:
        return None
    crew = replace(case.operation.crew, places=None)
    return replace(case, operation=replace(case.operation, crew=crew))


def _too_long(case: Case, longer: Round) -> str:
    """Name the day's limit, how much a round with one more split takes, and its dearest yard."""
    have, need = case.end - case.start, longer.paid_s
    detours = []
    for i, visit in enumerate(longer.order):
        before = longer.order[i - 1].yard + 1 if i else 0
        after = longer.order[i + 1].yard + 1 if i + 1 < len(longer.order) else 0
        y = visit.yard + 1
        detours.append((case.drive(before, y) + case.drive(y, after) - case.drive(before, after), visit.yard))
    detour, yard = max(detours)
    name = case.operation.yards[yard].id
    if need > have:
        words = f"the day has {_hours(have)}; a round with one more split takes {_hours(need)}, "
        words += f"{_hours(need - have)} too long"
    else:
        words = f"a round with one more split takes {_hours(need)} but does not fit the hours for opening "
        words += "hives or of the yards"
    return f"{words}; {name} alone costs {_hours(detour)} of driving in it"


def _hours(seconds: int) -> str:
    minutes = -(-seconds // 60)
    return f"{minutes // 60} h {minutes % 60:02d}" if minutes >= 60 else f"{minutes} min"
