"""R15: combs set above an excluder at one stop are collected at a later one, after a wait."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from routeplan.audit import work
from routeplan.audit.case import Case, Key, frames_out, named
from routeplan.audit.times import hive_work_begins
from routeplan.audit.violation import Violation, count, lasting
from routeplan.plan import SetAbove, Stop, clock


@dataclass(frozen=True)
class Above:
    """Combs of one hive set above an excluder at stop number `first`, to be collected at number `second`.

    `collects` is that stop, None where there is none like it: later, and in the same yard.
    """

    key: Key
    one: SetAbove
    first: int
    stop: Stop
    collects: Stop | None

    @property
    def second(self) -> int:
        """Number of the stop said to collect them."""
        return self.one.collected_at


def set_above(case: Case) -> Iterator[Above]:
    """Yield every first pass of the plan with the stop that is to collect it."""
    stops = dict(case.numbered)
    for i, stop in case.numbered:
        for one in stop.sets:
            later = stops.get(one.collected_at) if one.collected_at > i else None
            later = later if later is not None and later.yard == stop.yard else None
            yield Above((stop.yard, one.hive), one, i, stop, later)


def first_passes_s(case: Case, stop: Stop) -> int:
    """Seconds of the first passes at a stop, which come before its other work on hives."""
    hives = [case.hives.get((stop.yard, one.hive)) for one in stop.sets]
    return sum(work.first_pass_s(case.operation, hive) for hive in hives if hive is not None)


def passes(case: Case) -> Iterator[Violation]:
    """R15: what leaves in two passes was set above at one earlier stop, all of it and nothing else."""
    collected = Counter((above.second, above.key) for above in set_above(case) if above.collects is not None)
    for above in set_above(case):
        at = f"stop {above.first}: combs of {named(above.key)} are set above an excluder"
        if not _is_second_pass(above):
            text = f"{at} and not collected at stop {above.second}"
            yield Violation("R15", text, 1, "hive", above.key)
        elif above.collects is not None:
            takes = case.takes_of(above.collects, above.one.hive)
            right = frames_out(takes) + takes["shake"]
            if above.one.combs != right:
                text = f"{at}: {above.one.combs}, {right} are needed for its frames and shakes"
                yield Violation("R15", text, abs(above.one.combs - right), "frames", above.key)
        yield from _said_from(case, above)
        if above.one.hive in above.stop.opens:
            text = f"{at} where it gives already"
            yield Violation("R15", text, 1, "hive", above.key)
    for i, stop in case.numbered:
        for name, way in stop.ways:
            times = collected[i, (stop.yard, name)]
            if way == "excluder" and times != 1:
                text = f"stop {i}: combs of {named((stop.yard, name))} were set above an excluder "
                text += f"{count(times, 'time')} before, not once"
                yield Violation("R15", text, abs(times - 1), "times", (stop.yard, name))


def _is_second_pass(above: Above) -> bool:
    ways = dict(above.collects.ways) if above.collects is not None else {}
    return ways.get(above.one.hive) == "excluder"


def _ready(case: Case, stop: Stop) -> int:
    """Time of day from which combs set above at a stop may be collected."""
    wait_s = round(60 * case.operation.settings.excluder.least_wait_min)
    return hive_work_begins(stop) + first_passes_s(case, stop) + wait_s


def _said_from(case: Case, above: Above) -> Iterator[Violation]:
    off = above.one.collect_from - _ready(case, above.stop)
    if off:
        text = f"stop {above.first}: combs of {named(above.key)} are said to be collected from "
        text += f"{clock(above.one.collect_from)}: {lasting(abs(off))} too {'late' if off > 0 else 'early'}"
        yield Violation("R15", text, abs(off), "s", above.key)


def waits(case: Case) -> Iterator[Violation]:
    """R15: combs stay above the excluder as long as they must, and no longer than they may."""
    wait = case.operation.settings.excluder
    collected_so = {(a.first, a.second) for a in set_above(case) if _is_second_pass(a)}
    for first, second in sorted(collected_so):
        one, other = case.plan.stops[first - 1], case.plan.stops[second - 1]
        begun, collected = hive_work_begins(one), hive_work_begins(other)
        where, at = (one.yard,), f"combs set above excluders at stop {first} are collected at stop {second}"
        short = _ready(case, one) - collected
        if short > 0:
            text = f"{at}: {lasting(short)} too early for bees to come up"
            yield Violation("R15", text, short, "s", where)
        long = collected - begun - round(60 * wait.most_wait_min)
        if long > 0:
            yield Violation("R15", f"{at}: {lasting(long)} too late", long, "s", where)


def excluders(case: Case) -> Iterator[Violation]:
    """R15: every hive worked in two passes has an excluder from stock of its own."""
    need, there = sum(len(stop.sets) for stop in case.plan.stops), case.operation.counted("excluder") or 0
    if need > there:
        text = f"{count(need, 'excluder')} needed, {there} at home: {need - there} short"
        yield Violation("R15", text, need - there, "pieces", ())
