"""R13 for stops and splits: every figure stated is the one the operation and the stops give."""

from collections.abc import Iterator

from routeplan.audit import work
from routeplan.audit.case import Case, frames_out
from routeplan.audit.excluder import first_passes_s
from routeplan.audit.placing import aboard
from routeplan.audit.times import DRIVE_SLACK_S, between, drives
from routeplan.audit.violation import Violation, lasting
from routeplan.operation.world import Yard
from routeplan.plan import Split, Stop, clock

HALF_M = 0.5 + 0.01
"""Stated metres are whole; a centimetre more because the distances come from another formula."""


def figures(case: Case) -> Iterator[Violation]:
    """R13: each length of work is as defined, the clock adds up, and loads and distances are right."""
    for i, stop in case.numbered:
        yield from _lengths(case, i, stop)
        yield from _clock(case, i, stop)
        yield from _aboard(case, i, stop)
    yield from _drive_metres(case)
    for split, made, placed in case.journeys():
        yield from _journey(case, split, made, placed)


def figure(what: str, stated: int, right: int, unit: str, where: tuple[str, ...] = ()) -> Iterator[Violation]:
    """Compare one stated whole number with the right one; unit "clock" is a time of day in seconds."""
    if stated == right:
        return
    say, off = _SAY.get(unit, lambda n: f"{n} {unit}"), abs(stated - right)
    amount = lasting(off) if unit in _SAY else f"{off} {unit}"
    how = "too much" if stated > right else "too little"
    how = how if unit != "clock" else ("too late" if stated > right else "too early")
    text = f"{what} is given as {say(stated)}, it comes to {say(right)}: {amount} {how}"
    yield Violation("R13", text, off, "s" if unit in _SAY else unit, where)


_SAY = {"s": lasting, "clock": clock}


def _lengths(case: Case, i: int, stop: Stop) -> Iterator[Violation]:
    yard = case.yards.get(stop.yard)
    if yard is None:
        return
    operation, hives_opened = case.operation, bool(stop.opens or stop.sets)
    parts = (
        ("setting up", stop.set_up_s, work.set_up_s(operation, hives_opened)),
        ("setting up a fence", stop.fence_s, work.fence_s(operation) if _needs_fence(stop, yard) else 0),
        ("placing boxes", stop.place_s, _placing_s(case, i, stop, yard)),
        ("work on hives", stop.hive_s, _hive_work_s(case, stop)),
        ("making up splits", stop.make_s, _making_s(case, stop, yard)),
        ("clearing up", stop.leave_s, work.leave_s(operation, hives_opened)),
    )
    for what, stated, right in parts:
        yield from figure(f"stop {i} at {yard.id}: {what}", stated, right, "s", (yard.id,))


def _making_s(case: Case, stop: Stop, yard: Yard) -> int:
    begun = len(stop.begins) * work.begin_s(case.operation, yard)
    return len(stop.makes) * work.make_s(case.operation, yard) + begun


def _needs_fence(stop: Stop, yard: Yard) -> bool:
    return bool(stop.places) and yard.bear and yard.fence is not True


def _placing_s(case: Case, number: int, stop: Stop, yard: Yard) -> int:
    """Seconds of placing boxes, and of bringing back those that were only begun."""
    queens = [case.splits[s].queen for s in stop.places if s in case.splits]
    queens += ["raise own" for at in case.given_back.values() if at == number]
    return sum(work.place_s(case.operation, yard, queen) for queen in queens)


def _hive_work_s(case: Case, stop: Stop) -> int:
    total, ways = first_passes_s(case, stop), dict(stop.ways)
    for name in sorted(set(stop.opens)):
        hive = case.hives.get((stop.yard, name))
        if hive is not None:
            takes = case.takes_of(stop, name)
            total += work.hive_work_s(
                case.operation, hive, ways.get(name, "look"), frames_out(takes), takes["shake"]
            )
    return total


def _clock(case: Case, i: int, stop: Stop) -> Iterator[Violation]:
    """The day adds up: each stop from the one before, each stop from its parts."""
    at, where = f"stop {i} at {stop.yard}:", (stop.yard,)
    before = case.plan.stops[i - 2].depart if i > 1 else case.plan.totals.leave_home
    if stop.arrive >= before:  # else it is out of order, which is said already
        yield from figure(f"{at} the arrival", stop.arrive, before + stop.drive_s, "clock", where)
    placed = stop.arrive + stop.early_s + stop.set_up_s + stop.fence_s + stop.place_s
    if stop.opened is not None and stop.places:
        yield from figure(f"{at} the opening of the boxes", stop.opened, placed, "clock", where)
    parts = placed + stop.wait_s + stop.hive_s + stop.make_s + stop.leave_s
    if stop.depart >= stop.arrive:
        yield from figure(f"{at} the departure", stop.depart, parts, "clock", where)


def _aboard(case: Case, i: int, stop: Stop) -> Iterator[Violation]:
    full, empty = aboard(case, i)
    yield from figure(f"leaving stop {i} at {stop.yard}: full boxes", stop.full, full, "boxes", (stop.yard,))
    yield from figure(
        f"leaving stop {i} at {stop.yard}: empty boxes", stop.empty, empty, "boxes", (stop.yard,)
    )


def _drive_metres(case: Case) -> Iterator[Violation]:
    """Metres of the shortest drive, or of a longer one, which is never below the direct road."""
    for start, end, seconds, metres in drives(case):
        if not {start, end} <= {None, *case.yards}:
            continue
        shortest_s, shortest_m = case.roads.shortest(start, end)
        direct_m = case.roads.leg(start, end)[1]
        is_longer = seconds > shortest_s + DRIVE_SLACK_S
        cheapest_s, cheapest_m = case.roads.cheapest(start, end)
        is_cheapest = abs(metres - cheapest_m) <= HALF_M and seconds >= cheapest_s - DRIVE_SLACK_S
        if (is_longer and metres >= direct_m - HALF_M) or abs(metres - shortest_m) <= HALF_M or is_cheapest:
            continue
        right = direct_m if is_longer else shortest_m
        what = f"the drive {between(start, end)}"
        yield from figure(what, metres, round(right), "m", tuple(y for y in (start, end) if y))


def _journey(case: Case, split: Split, made: Stop, placed: Stop) -> Iterator[Violation]:
    if made.yard in case.yards and placed.yard in case.yards:
        flying = case.roads.flying_m(made.yard, placed.yard)
        if abs(split.flying_m - flying) > HALF_M:
            what = f"split {split.id}: the distance from its parents"
            yield from figure(what, split.flying_m, round(flying), "m", (split.id,))
    if placed.opened is not None:
        shut = placed.opened - case.plan.stops[case.with_bees[split.id][0] - 1].depart
        yield from figure(f"split {split.id}: the time shut in", split.shut_in_s, shut, "s", (split.id,))


def making_s(case: Case) -> int:
    """Seconds no choice can change: making, placing, frames and shakes of every split.

    Frames are counted as they usually are handled: looked over, or moved with the queen found where looking
    is not allowed.
    """
    total, found = 0, not case.operation.settings.sure.look
    for split, made, placed in case.journeys():
        if made.yard in case.yards and placed.yard in case.yards:
            total += work.make_s(case.operation, case.yards[made.yard])
            total += work.place_s(case.operation, case.yards[placed.yard], split.queen)
        got = case.received[split.id]
        total += frames_out(got) * work.frame_s(case.operation, found)
        total += got["shake"] * work.shake_s(case.operation, found)
    return total
