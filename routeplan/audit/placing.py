"""Rules about where splits go: R5 distance, R6 room, R7 order and load, R10 every split accounted for."""

from collections.abc import Iterator
from math import ceil

from routeplan.audit.case import Case
from routeplan.audit.violation import Violation, count, far

TOUCH_M = 0.001
"""A millimetre of slack: two good formulas may differ by less."""


def distance(case: Case) -> Iterator[Violation]:
    """R5: a split stands at least the minimum distance from every yard whose bees are in it; equality is
    allowed."""
    least, units = case.operation.settings.minimum_distance_m, case.operation.settings.units
    for split, _, placed in case.journeys():
        for parents in (case.plan.stops[i - 1] for i in case.with_bees[split.id]):
            if parents.yard not in case.yards or placed.yard not in case.yards:
                continue
            flying = case.roads.flying_m(parents.yard, placed.yard)
            if flying < least - TOUCH_M:
                text = (
                    f"split {split.id} from {parents.yard} stands at {placed.yard}, "
                    f"{far(flying, units)} away; at least {far(least, units)} is asked: "
                    f"{far(least - flying, units)} short"
                )
                yield Violation("R5", text, least - flying, "m", (split.id, parents.yard, placed.yard))


def room(case: Case) -> Iterator[Violation]:
    """R6: splits go only where they are taken, within the room there, and as the order fixes it."""
    for yard in case.operation.yards:
        here = [s for stop in case.plan.stops if stop.yard == yard.id for s in stop.places]
        if here and not yard.takes_splits:
            text = f"{yard.id} takes no splits and gets {len(here)}: {', '.join(here)}"
            yield Violation("R6", text, len(here), "splits", (yard.id, *here))
        if yard.room is not None and len(here) > yard.room:
            over = len(here) - yard.room
            text = f"{yard.id} gets {count(len(here), 'split')}, it has room for {yard.room}: {over} too many"
            yield Violation("R6", text, over, "splits", (yard.id, *here))
    for split, made, placed in case.journeys():
        order = case.orders.get(split.order)
        if order is None:
            continue
        for what, yard_id, fixed in (
            ("is made at", made.yard, order.from_yard),
            ("stands at", placed.yard, order.to_yard),
        ):
            if fixed is not None and yard_id != fixed:
                text = f"split {split.id} {what} {yard_id}, order {order.id} asks for {fixed}"
                yield Violation("R6", text, 1, "split", (split.id, order.id))


def load(case: Case) -> Iterator[Violation]:
    """R7: a split is made before it is placed; full and empty boxes fit the truck on every leg."""
    for split, _, _ in case.journeys():
        made, placed = case.made[split.id], case.placed[split.id]
        if made >= placed:
            text = f"split {split.id} is placed at stop {placed} and made at stop {made}, not before"
            yield Violation("R7", text, made - placed + 1, "visits", (split.id,))
    crew = case.operation.crew
    if crew.places is None:
        return
    legs: list[tuple[str, int, int, tuple[str, ...]]] = [("leaving home", 0, len(case.splits), ())]
    legs += [(f"leaving stop {i} at {s.yard}", *aboard(case, i), (s.yard,)) for i, s in case.numbered]
    for when, full, empty, where in legs:
        over = full + ceil(empty / crew.empties_per_place) - crew.places
        if over > 0:
            text = (
                f"{when}, the truck carries {full} full and {empty} empty boxes "
                f"({crew.empties_per_place} empty to a place); it has {count(crew.places, 'place')}: "
                f"{over} short"
            )
            yield Violation("R7", text, over, "places", where)


def aboard(case: Case, number: int) -> tuple[int, int]:
    """Return (full, empty) boxes aboard on leaving a stop; one empty per split leaves home, one that is begun
    counts as full, and one that was begun and is given back until it is there."""
    done = case.plan.stops[:number]
    made = [split for stop in done for split in stop.makes]
    begun = {split for stop in done for split in stop.begins} - set(made)
    filled = len(made) + len(begun)
    given = sum(number < at for at in case.given_back.values()) if number >= case.done_stops else 0
    return filled - sum(len(s.places) for s in done) + given, len(case.splits) - filled


def accounted(case: Case) -> Iterator[Violation]:
    """R10: of every order the splits placed and those listed as not placed make up its count."""
    for order in case.operation.orders:
        placed = sum(s.order == order.id for s in case.splits.values())
        listed = [u for u in case.plan.unplaced if u.order == order.id]
        missing = order.count - placed - sum(u.count for u in listed)
        if missing:
            how = f"{missing} not accounted for" if missing > 0 else f"{-missing} too many"
            text = (
                f"order {order.id} asks for {count(order.count, 'split')}, {placed} planned and "
                f"{order.count - placed - missing} listed as not planned: {how}"
            )
            yield Violation("R10", text, abs(missing), "splits", (order.id,))
        for entry in listed:
            if not entry.rule.strip() or not entry.reason.strip():
                text = f"order {order.id}: {count(entry.count, 'split')} not planned, without rule and reason"
                yield Violation("R10", text, entry.count, "splits", (order.id,))
