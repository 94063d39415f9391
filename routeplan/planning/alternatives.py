"""Other good plans: each is the best found when something is left out, and told by what it costs more."""

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from routeplan.colony.counts import count_on
from routeplan.colony.follow_ups import trips_to_look
from routeplan.operation.settings import NO_LATER
from routeplan.operation.world import Operation
from routeplan.plan import After, Alternative, Plan, Totals
from routeplan.planning.limits import Clock
from routeplan.planning.travel import road_worth_s

MOST = 3
"""Alternatives shown: more are not weighed against each other on a splitting day."""
LEAST_S, LEAST_HIVE_S = 0.3, 1 / 1000
"""Seconds below which planning again is not begun, and so many more for each hive."""

ONE_S = 7.0
"""Seconds one plan gets at least, as long as there are any: few well tried rather than many hardly."""

Solve = Callable[[Operation, float], Plan]
"""Plans an operation within so many seconds, without these extra steps."""


@dataclass(frozen=True)
class _Other:
    """A plan under the true operation, and what it was made for."""

    why: str
    plan: Plan
    totals: Totals


def alternatives_of(operation: Operation, plan: Plan, clock: Clock, solve: Solve) -> tuple[Alternative, ...]:
    """Find up to three plans that place as many splits and use other yards, the best first.

    Parameters
    ----------
    solve : plans a changed operation within so many seconds.

    Returns
    -------
    Each differs from the plan, and from the others, in the yards that receive or give. What it costs more is
    counted under `operation`; below zero only where the plan is not proved best.
    """
    if not plan.splits:
        return ()
    found: list[_Other] = []
    changed = _distinct(_candidates(operation, plan))
    for n, (why, other) in enumerate(changed):
        seconds = clock.share(max(ONE_S, clock.left() / (len(changed) - n)))
        if seconds < least_s(operation):
            break
        made = solve(other, seconds)
        if _places_as_much(operation, plan, made):
            found.append(_Other(why, made, counted(operation, made)))
    found.sort(key=lambda o: o.totals.counted_s)
    return tuple(_alternative(operation, plan, o) for o in _different(plan, found)[:MOST])


def least_s(operation: Operation) -> float:
    """Seconds below which planning an operation again is not begun."""
    return LEAST_S + LEAST_HIVE_S * len(operation.hives)


def _candidates(operation: Operation, plan: Plan) -> Iterator[tuple[str, Operation]]:
    """What the plan is tried without, and the words for it: the trips after, then one yard at a time."""
    if operation.settings.later != NO_LATER and any(a.trips or a.feeding_trips for a in plan.after):
        yield "the quickest day", replace(operation, settings=replace(operation.settings, later=NO_LATER))
    into, out_of = _receiving(plan), _giving(plan)
    most_into = _most(into)
    yield f"no splits to {most_into}", without_receiving(operation, most_into)
    most_out = _most(out_of)
    yield f"no frames from {most_out}", without_giving(operation, most_out)
    far = _dearest(plan)
    yield f"without {far}", without_giving(without_receiving(operation, far), far)
    if len(into) > 1:
        few = min(into, key=lambda y: (into[y], y))
        yield f"no splits to {few}", without_receiving(operation, few)


def _distinct(candidates: Iterator[tuple[str, Operation]]) -> list[tuple[str, Operation]]:
    kept: list[tuple[str, Operation]] = []
    for why, other in candidates:
        if all(other != known for _, known in kept):
            kept.append((why, other))
    return kept


def without_receiving(operation: Operation, yard: str) -> Operation:
    """Return the operation with a yard that takes no splits."""
    yards = tuple(replace(y, takes_splits=False) if y.id == yard else y for y in operation.yards)
    return replace(operation, yards=yards)


def without_giving(operation: Operation, yard: str) -> Operation:
    """Return the operation with a yard whose hives give nothing."""
    hives = tuple(replace(h, may_give=False) if h.yard == yard else h for h in operation.hives)
    return replace(operation, hives=hives)


def counted(operation: Operation, plan: Plan) -> Totals:
    """Return a plan's totals with the weeks after as this operation counts them.

    The plan may come from an operation with other settings for the weeks after, and is otherwise the same.
    """
    later, totals = operation.settings.later, plan.totals
    ways = [{s.queen for s in plan.splits if s.to_yard == row.yard} for row in plan.after]
    rows = [_row(operation, row, of) for row, of in zip(plan.after, ways, strict=True)]
    alone = sum(not operation.yard(row.yard).looked_after for row in rows)
    over = round(60 * later.over_min) * max(0, alone - later.most_yards)
    swaps = sum(s.swap != "" for s in plan.splits)
    mixed = sum(t.frames for s in plan.stops for t in s.takes if t.kind == "mixed")
    against = over + sum(r.few_s + r.robbing_s for r in rows)
    against += (swaps + mixed) * round(60 * operation.settings.swaps.minutes)
    later_s = sum(_trips(r) * r.trip_s for r in rows)
    worth = road_worth_s(operation.settings)
    more_trips = zip(rows, plan.after, strict=True)
    road = totals.road_s + sum((_trips(r) - _trips(was)) * round(worth * r.trip_m) for r, was in more_trips)
    counted_s = totals.paid_s + later_s + against - totals.due_s + road + totals.stuff_s
    return replace(totals, later_s=later_s, against_s=against, road_s=road, counted_s=counted_s)


def _row(operation: Operation, row: After, ways: set[str]) -> After:
    """What one receiving yard costs in the weeks after."""
    settings, yard = operation.settings, operation.yard(row.yard)
    later, alone = settings.later, not yard.looked_after
    flow = yard.has_flow(operation.day, settings.dearth)
    return replace(
        row,
        trips=(trips_to_look(ways) if later.trips_by_queen else later.trips) if alone else 0,
        feeding_trips=later.feeding_trips if alone and not flow else 0,
        few_s=round(60 * later.few_min) * max(0, later.few_splits - row.splits) if alone else 0,
        robbing_s=0 if flow else round(60 * later.robbing_min) * _strong(operation, row.yard),
    )


def _strong(operation: Operation, yard: str) -> int:
    least = operation.settings.limits.strong_from_brood - 1e-6
    broods = [count_on(h, operation.day).brood for h in operation.hives if h.yard == yard]
    return sum(brood is not None and brood >= least for brood in broods)


def _trips(row: After) -> int:
    return row.trips + row.feeding_trips + row.cell_trips


def _receiving(plan: Plan) -> Counter[str]:
    return Counter(split.to_yard for split in plan.splits)


def _giving(plan: Plan) -> Counter[str]:
    return Counter(split.from_yard for split in plan.splits)


def _most(yards: Counter[str]) -> str:
    return min(yards, key=lambda y: (-yards[y], y))


def _dearest(plan: Plan) -> str:
    """The yard whose stops have the longest drives to them and on from them."""
    onward = [s.drive_s for s in plan.stops[1:]] + [plan.totals.home_drive_s]
    drives: Counter[str] = Counter()
    for stop, on in zip(plan.stops, onward, strict=True):
        drives[stop.yard] += stop.drive_s + on
    return _most(drives)


def _places_as_much(operation: Operation, plan: Plan, other: Plan) -> bool:
    return placed_by_priority(operation, other) == placed_by_priority(operation, plan)


def placed_by_priority(operation: Operation, plan: Plan) -> tuple[int, ...]:
    """Return how many splits of each priority a plan places, the first priority first."""
    priority = {order.id: order.priority for order in operation.orders}
    placed = Counter(priority[split.order] for split in plan.splits)
    return tuple(placed[p] for p in sorted(set(priority.values())))


def _different(plan: Plan, found: list[_Other]) -> list[_Other]:
    """Those of which no two use the same yards for the same, nor the plan's."""
    seen = {_yards(plan)}
    kept = []
    for other in found:
        if _yards(other.plan) not in seen:
            seen.add(_yards(other.plan))
            kept.append(other)
    return kept


def _yards(plan: Plan) -> tuple[frozenset[str], frozenset[str]]:
    return frozenset(_receiving(plan)), frozenset(_giving(plan))


def _alternative(operation: Operation, plan: Plan, other: _Other) -> Alternative:
    receiving, giving = _receiving(other.plan), _giving(other.plan)
    used = {s.yard for s in other.plan.stops}
    ours = counted(operation, plan)
    proof = other.plan.proof
    return Alternative(
        differs=_words(plan, other),
        without=tuple(sorted({s.yard for s in plan.stops} - used)),
        receiving=tuple(sorted(receiving.items())),
        giving=tuple(sorted(giving.items())),
        stops=tuple(s.yard for s in other.plan.stops),
        today_s=other.totals.paid_s - ours.paid_s,
        later_s=other.totals.later_s - ours.later_s,
        counted_s=other.totals.counted_s - ours.counted_s,
        proved=proof.status == "optimal" and proof.count_status == "optimal",
    )


def _words(plan: Plan, other: _Other) -> str:
    """Say what another plan does that this one does not: "splits to Q rather than P"."""
    parts = []
    for what, of in (("splits to", _receiving), ("frames from", _giving)):
        ours, theirs = set(of(plan)), set(of(other.plan))
        new, gone = _joined(theirs - ours), _joined(ours - theirs)
        if new and gone:
            parts.append(f"{what} {new} rather than {gone}")
        elif new or gone:
            parts.append(f"{what} {new} too" if new else f"no {what} {gone}")
    words = ", ".join(parts)
    return f"the quickest day: {words}" if other.why == "the quickest day" else words


def _joined(yards: set[str]) -> str:
    *most, last = sorted(yards) or [""]
    return f"{', '.join(most)} and {last}" if most else last
