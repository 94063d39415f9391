"""Staged planning, as people do it by hand: frames, then yards for the splits, then the order of the visits.

Frames: yard after yard, the one that makes most boxes first (or the nearest good one), box after box from
hives that are open already and then from the strongest. Yards: each split to the nearest yard far enough with
room, or as many as possible together. Loads: as the truck holds them, one after the other. Order: the best of
many tours, exact while they are few. Both ways of choosing at each stage are tried and the best whole day is
kept; where none fits the day, one split fewer is wanted, the least urgent first. Each stage is good at its
own; none looks at the next. tests/bench/walk.py judges the result.
"""

import itertools
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from routeplan.operation.world import Operation
from tests.bench.theirs import Outcome, run
from tests.bench.tours import Errand, tours, walk_of
from tests.bench.walk import Counted, Day, Key, Takes, Walk, WalkFaultError, judged, plus
from tests.oracle.meanings import HOME, Out

GIVING = ("most boxes first", "good and near first")
RECEIVING = ("nearest each", "many together")
NEARLY = 0.6
"""A yard that makes so large a share of what the best makes is good."""


@dataclass(frozen=True)
class Filled:
    """One split's frames: its row in the orders, the yard it is made in, its donors."""

    order: int
    yard: str
    takes: Takes


def wanted(day: Day) -> list[int]:
    """Rows of the orders, one for each split asked for, the most urgent first."""
    rows = sorted(range(len(day.boxes)), key=lambda i: (day.boxes[i].priority, i))
    return [i for i in rows for _ in range(day.op.orders[i].count)]


# --- frames -------------------------------------------------------------------------------------------------


def fill_yard(day: Day, yard: str, rows: list[int]) -> list[Filled]:
    """Fill as many boxes of these orders as the hives of one yard can, in this order."""
    hives = [h for h in day.op.hives if h.yard == yard and len(day.outs(h.key)) > 1]
    strongest = [h.key for h in sorted(hives, key=lambda h: -(h.count.bees or 0.0))]
    gone: Takes = {}
    filled: list[Filled] = []
    failed: set[int] = set()
    for row in rows:
        if row in failed or (day.boxes[row].from_yard or yard) != yard:
            continue
        takes = _fill_box(day, row, strongest, gone)
        if takes is None:
            failed.add(row)
            continue
        for key, out in takes.items():
            gone[key] = plus(gone.get(key, Out()), out)
        filled.append(Filled(row, yard, takes))
    return filled


def _fill_box(day: Day, row: int, strongest: list[Key], gone: Takes) -> Takes | None:
    """Fill one box: each donor gives all it can of what is missing, open hives first."""
    box, limits = day.boxes[row], day.op.settings.limits
    formats = {day.hives[k].frame for k in strongest} & ({box.kit.frame} if box.kit.frame else set())
    for frame in sorted(formats or {day.hives[k].frame for k in strongest}):
        keys = [k for k in strongest if day.hives[k].frame == frame]
        keys.sort(key=lambda k: k not in gone)
        for first in _with_what_is_rare(day, row, keys, gone):
            takes: Takes = {}
            missing = box.out
            for key in (first, *(k for k in keys if k != first)):
                if len(takes) == limits.donors_per_split or not any(missing):
                    break
                out = _most_of(day, row, key, gone.get(key, Out()), missing)
                if any(out):
                    takes[key] = out
                    missing = Out(*(m - o for m, o in zip(missing, out, strict=True)))
            if not any(missing):
                return takes
    return None


def _with_what_is_rare(day: Day, row: int, keys: list[Key], gone: Takes) -> list[Key]:
    """Hives to begin with: for a queen or eggs those that can give them, marked queens first."""
    box = day.boxes[row]
    if box.queen == "parent's":
        one = Out(queen=1)
        with_queen = [k for k in keys if plus(gone.get(k, Out()), one) in day.outs(k)]
        return sorted(with_queen, key=lambda k: day.hives[k].queen != "marked")
    if box.queen == "raise own" and box.kit.open:
        one = Out(open=1)
        return [k for k in keys if k in day.mothers and plus(gone.get(k, Out()), one) in day.outs(k)]
    return keys


def _most_of(day: Day, row: int, key: Key, gone: Out, missing: Out) -> Out:
    """The most a hive gives of what is missing, frames before shakes."""
    eggs_only = day.boxes[row].queen == "raise own" and key not in day.mothers
    tops = missing._replace(open=0) if eggs_only else missing
    every = (Out(*n) for n in itertools.product(*(range(n + 1) for n in tops)))
    allowed = [o for o in every if plus(gone, o) in day.outs(key)]
    return max(allowed, key=lambda o: (o.queen, 2 * o.frames + o.shakes), default=Out())


def frames(day: Day, rows: list[int], giving: str) -> list[Filled]:
    """Choose the yards that give, one after the other, and fill their boxes."""
    left, filled = list(rows), []
    yards = [y for y in day.yards if any(day.far(y, z.id) for z in day.yards.values() if day.takes_splits(z))]
    while left and yards:
        could = {y: fill_yard(day, y, left) for y in yards}
        best = max(len(c) for c in could.values())
        if not best:
            break
        near = [y for y in yards if len(could[y]) >= (NEARLY * best if giving == GIVING[1] else best)]
        yard = min(near, key=lambda y: day.drives[HOME, y])
        for one in could[yard]:
            filled.append(one)
            left.remove(one.order)
        yards.remove(yard)
    return filled


# --- yards for the splits -----------------------------------------------------------------------------------


def yards_for(day: Day, filled: list[Filled], receiving: str) -> list[tuple[Filled, str]]:
    """Give each split a yard; those for which there is none are left out."""
    takers = [y for y in day.yards.values() if day.takes_splits(y)]
    room = {y.id: len(filled) if y.room is None else y.room for y in takers}
    found: list[tuple[Filled, str]] = []
    if receiving == RECEIVING[0]:
        for one in filled:
            may = [y for y in room if room[y] and _may_take(day, one, y)]
            if may:
                near = min(may, key=lambda y: day.drives[one.yard, y])
                room[near] -= 1
                found.append((one, near))
        return found
    left = list(filled)
    while left:
        could = {y: [f for f in left if _may_take(day, f, y)][:n] for y, n in room.items()}
        best = max(could, key=lambda y: (len(could[y]), day.op.yard(y).looked_after, -day.drives[HOME, y]))
        if not could[best]:
            break
        found += [(f, best) for f in could[best]]
        left = [f for f in left if all(f is not taken for taken in could[best])]
        room[best] = 0
    return found


def _may_take(day: Day, one: Filled, yard: str) -> bool:
    return (day.boxes[one.order].to_yard or yard) == yard and day.far(one.yard, yard)


# --- loads --------------------------------------------------------------------------------------------------


def loads(day: Day, going: list[tuple[Filled, str]]) -> list[Errand]:
    """Put splits on the truck load by load, those of one yard together; what to make and place, unordered."""
    ways: dict[tuple[str, str], list[Filled]] = {}
    for one, target in going:
        ways.setdefault((one.yard, target), []).append(one)
    errands: list[Errand] = []
    load, full, made = 0, 0, 0
    for source, target in sorted(ways, key=lambda w: (day.drives[HOME, w[0]], w)):
        for one in ways[source, target]:
            if not day.fits_truck(full + 1, len(going) - made - 1):
                load, full = load + 1, 0
            errands.append(Errand(load, source, target, one.order, one.takes))
            full, made = full + 1, made + 1
    return errands


# --- the whole day ------------------------------------------------------------------------------------------


def days(day: Day, rows: list[int]) -> Iterator[tuple[Walk, Counted]]:
    """Yield every day that the stages find for these splits."""
    for giving in GIVING:
        filled = frames(day, rows, giving)
        for receiving in RECEIVING:
            errands = loads(day, yards_for(day, filled, receiving))
            for tour in tours(day, errands):
                walk = walk_of(errands, tour)
                try:
                    yield walk, judged(day, walk)
                except WalkFaultError:
                    continue


def staged_day(operation: Operation) -> tuple[Walk, Counted] | None:
    """Return the best day found, for as many splits as fit; None when nothing does."""
    day = Day(operation)
    rows = wanted(day)
    best: tuple[Walk, Counted] | None = None
    while rows and (best is None or len(best[0].splits) < len(rows)):
        for walk, counted in days(day, rows):
            if best is None or _rank(counted) < _rank(best[1]):
                best = walk, counted
        rows.pop()
    return best


def _rank(counted: Counted) -> tuple[object, ...]:
    return tuple(-n for n in counted.placed), counted.counted_s


def plan(operation: Operation) -> Outcome:
    """Plan in stages."""
    found = staged_day(operation)
    if found is None:
        return Outcome(0, None, None, "none: nothing fits the day")
    walk, counted = found
    by_order = Counter(s.order for s in walk.splits)
    left = sum(o.count - by_order[i] for i, o in enumerate(operation.orders))
    note = f", {left} not placed" if left else ""
    told = f"found{note}"
    return Outcome(
        len(walk.splits), counted.paid_s, None, told, counted.counted_s, counted.later_s, counted.placed
    )


if __name__ == "__main__":
    run(plan, sys.argv[1:])
