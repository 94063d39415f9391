"""What is said at both passes of a hive whose combs are set above an excluder, and what that takes along."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from routeplan.output import card_words as say
from routeplan.output import measures, words
from routeplan.output.day import Day
from routeplan.output.sure import flags, special
from routeplan.plan import SetAbove, Stop


@dataclass(frozen=True)
class FirstPass:
    """The first pass at one hive: what to know before it is opened, what to find, and what to do with it."""

    hive: str
    flags: tuple[str, ...]
    special: tuple[str, ...]
    combs: str
    steps: tuple[str, ...]


def first_passes(day: Day, stop: Stop) -> tuple[FirstPass, ...]:
    """Return what is set above excluders at a stop, hive by hive."""
    return tuple(_first_pass(day, stop, one) for one in stop.sets)


def _first_pass(day: Day, stop: Stop, one: SetAbove) -> FirstPass:
    takes = [t for t in day.plan.stops[one.collected_at - 1].takes if t.hive == one.hive]
    taken = Counter[str]()
    for take in takes:
        taken[take.kind] += take.frames
    shaken = taken.pop("shake", 0)
    combs = measures.kinds([(kind, taken[kind]) for kind in words.KIND], ", ")
    if shaken:
        brood = say.ABOVE_FOR_BEES.format(combs=measures.counted(shaken, "comb"))
        combs = f"{combs}, {brood}" if combs else brood
    hive = next(h for h in day.operation.hives if h.key == (stop.yard, one.hive))
    steps = say.FIRST_PASS_STEPS if hive.supers else say.FIRST_PASS_STEPS[:-1]
    noted = say.FIRST_PASS_NOTED.format(
        stop=one.collected_at, time=measures.clock(one.collect_from), wait=_least_wait(day)
    )
    yard = day.operation.yard(stop.yard)
    dearth = not yard.has_flow(day.operation.day, day.operation.settings.dearth)
    steps = (*steps, noted, *((say.DEARTH_HIVES,) if dearth else ()))
    return FirstPass(one.hive, flags(day, hive, takes), special(day, hive, takes), combs, steps)


def told_at(day: Day, stop: Stop) -> Stop:
    """Return the stop whose takes a crew must know at a stop: its own, or where nothing leaves yet those for
    which combs are set above there."""
    return stop if stop.takes or not stop.sets else day.plan.stops[stop.sets[0].collected_at - 1]


def second_pass(day: Day, stop: Stop, hive: str) -> str:
    """Say when and how combs that were set above an excluder at an earlier stop are collected."""
    number = next(i for i, other in enumerate(day.plan.stops, 1) if other is stop)
    set_at, one = next(
        (i, one)
        for i, earlier in enumerate(day.plan.stops, 1)
        for one in earlier.sets
        if (earlier.yard, one.hive, one.collected_at) == (stop.yard, hive, number)
    )
    return say.SECOND_PASS.format(
        combs=measures.counted(one.combs, "comb"),
        stop=set_at,
        time=measures.clock(one.collect_from),
        wait=_least_wait(day),
    )


def _least_wait(day: Day) -> str:
    return measures.number(day.operation.settings.excluder.least_wait_min)


def collects(stop: Stop) -> bool:
    """Whether combs are collected at a stop that were set above excluders before."""
    return any(way == "excluder" for _, way in stop.ways)


def rows(day: Day) -> Iterator[tuple[int, Stop, SetAbove]]:
    """Yield every first pass with the number of its stop."""
    for number, stop in enumerate(day.plan.stops, 1):
        for one in stop.sets:
            yield number, stop, one


def excluders(day: Day) -> dict[str, int]:
    """Count the excluders to take along, by the frame format of the hives they are for."""
    frames = {h.key: h.frame for h in day.operation.hives}
    return dict(sorted(Counter(frames[stop.yard, one.hive] for _, stop, one in rows(day)).items()))
