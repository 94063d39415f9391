"""What the rules mean in numbers, written out once more for the exact solvers of the tests.

Nothing here is shared with the planner or the audit: surplus, durations, distances and the closed road matrix
are this module's own. Seconds throughout; frames are whole; every comparison of fractions allows 1e-6.
"""

import itertools
import math
import statistics
from dataclasses import dataclass

from geopy.distance import geodesic

from routeplan.operation.world import Hive, Kit, Operation, Order, Place, Yard

EPS = 1e-6
GOOD_HEALTH = {"clear", "not stated"}
NO_BROOD_RAISED = {"queenless", "drone layer", "laying workers"}
HOME = "home"

Give = tuple[int, int, int, int]
"""Capped, open, food frames and shakes one hive gives on the day."""


@dataclass(frozen=True)
class Box:
    """One split asked for. `order` is its row in `Operation.orders`."""

    order: int
    kit: Kit
    queen: str
    from_yard: str | None
    to_yard: str | None
    priority: int

    @property
    def needs(self) -> Give:
        """Frames and shakes by kind."""
        return (self.kit.capped, self.kit.open, self.kit.food, self.kit.shakes)


def boxes(operation: Operation) -> list[Box]:
    """List every split asked for, one by one."""

    def box(i: int, order: Order) -> Box:
        kit = operation.kit(order.kit)
        return Box(i, kit, order.queen, order.from_yard, order.to_yard, order.priority)

    return [box(i, order) for i, order in enumerate(operation.orders) for _ in range(order.count)]


# What a hive can give


@dataclass(frozen=True)
class Colony:
    """A hive on the day: age of its count in days, brood frames by kind (None: not known)."""

    hive: Hive
    age: int
    capped: float | None
    open: float | None

    @property
    def brood(self) -> float | None:
        """Frames of brood of both kinds."""
        return None if self.capped is None or self.open is None else self.capped + self.open


def colony(operation: Operation, hive: Hive) -> Colony:
    """Roll the newest count of a hive forward to the day (9 days open, 12 capped; common practice)."""
    count = hive.count
    age = 0 if count.inspected is None else (operation.day - count.inspected).days
    capped, open_ = count.capped, count.open
    if count.brood is not None:
        if capped is None and open_ is None:
            capped, open_ = count.brood * 12 / 21, count.brood * 9 / 21
        elif capped is None and open_ is not None:
            capped = count.brood - open_
        elif open_ is None and capped is not None:
            open_ = count.brood - capped
    if capped is None or open_ is None:
        return Colony(hive, age, capped, open_)
    laying = count.eggs_seen is not False and hive.queen not in NO_BROOD_RAISED
    sealed_days = min(age, 12) if laying else min(age, 9) - max(0, age - 12)
    capped_then = capped * max(0.0, 1 - age / 12) + open_ / 9 * sealed_days
    open_then = open_ if laying else open_ * max(0.0, 1 - age / 9)
    return Colony(hive, age, capped_then, open_then)


def gives(operation: Operation, hive: Hive) -> set[Give]:
    """List everything the hive may give on the day, nothing included."""
    nothing = {(0, 0, 0, 0)}
    now = colony(operation, hive)
    count, limits = hive.count, operation.settings.limits
    keep, season = operation.settings.keep_back, operation.settings.season
    barred = (
        not hive.may_give
        or hive.health not in GOOD_HEALTH
        or operation.yard(hive.yard).health not in GOOD_HEALTH
        or hive.queen in NO_BROOD_RAISED
        or count.queen_cells == "charged"
        or count.bees is None
        or now.brood is None
        or (count.food is None and keep.food > 0)
        or now.age > limits.count_last_days
    )
    if barred:
        return nothing
    assert now.capped is not None
    assert now.open is not None
    assert now.brood is not None
    strong = now.brood >= limits.strong_from_brood - EPS and season != "early spring"
    most_brood = limits.brood_per_strong_donor if strong else limits.brood_per_donor
    too_many_mites = count.mites_per_100 is not None and count.mites_per_100 > limits.mites_per_100
    treated = count.treated_until is not None and count.treated_until >= operation.day
    most = (
        0 if too_many_mites else min(most_brood, math.floor(now.capped + EPS)),
        min(most_brood, math.floor(now.open + EPS)),
        0 if treated or count.food is None else min(limits.food_per_donor, math.floor(count.food + EPS)),
        limits.shakes_per_donor,
    )
    every = itertools.product(*(range(max(0, m) + 1) for m in most))
    return nothing | {g for g in every if sum(g[:2]) <= most_brood and keeps_back(operation, now, g)}


def keeps_back(operation: Operation, now: Colony, give: Give) -> bool:
    """Say whether a hive that gives so much still has what it must keep."""
    capped, open_, food, shakes = give
    settings, count = operation.settings, now.hive.count
    assert now.brood is not None
    assert now.open is not None
    assert count.bees is not None
    keep, bees, mixed = settings.keep_back, settings.bees, settings.mixed
    brood_out = capped + open_
    brood_left = now.brood - brood_out
    bees_left = (
        count.bees - bees.per_brood_frame * brood_out - bees.per_food_frame * food - bees.per_shake * shakes
    )
    open_left = now.open - open_ - mixed.open_with_capped * capped
    food_left = (count.food or 0.0) - food - mixed.food_with_brood * brood_out
    return (
        brood_left >= keep.brood - EPS
        and (keep.open <= 0 or open_left >= keep.open - EPS)
        and (keep.food <= 0 or food_left >= keep.food - EPS)
        and bees_left >= keep.bees - EPS
        and bees_left >= brood_left + bees.cover_over_brood - EPS
        and brood_out <= settings.limits.brood_share * now.brood + EPS
    )


def egg_givers(operation: Operation) -> set[tuple[str, str]]:
    """List the hives an "eggs" frame may come from: queen mothers with fresh eggs seen."""
    colonies = [colony(operation, h) for h in operation.hives]
    mothers = [c for c in colonies if c.hive.queen_mother]
    if not mothers:
        known = [c.brood for c in colonies if c.brood is not None]
        middle = statistics.median(known) if known else 0.0
        mothers = [
            c for c in colonies if c.brood is not None and c.brood > middle + EPS and c.hive.temper != "bad"
        ]
    last = operation.settings.limits.eggs_days
    return {c.hive.key for c in mothers if c.hive.count.eggs_seen is True and c.age <= last}


# Yards, roads, times


def usable(operation: Operation, yard: Yard) -> bool:
    """Say whether the yard may be visited on the day."""
    closed = yard.closed_until is not None and operation.day < yard.closed_until
    return yard.health in GOOD_HEALTH and operation.day.isoweekday() not in yard.closed_days and not closed


def _override(operation: Operation, one: str, other: str, what: str) -> float | None:
    for pair in operation.pairs:
        value = getattr(pair, what)
        if {pair.yard, pair.other} == {one, other} and value is not None:
            return float(value)
    return None


def far_enough(operation: Operation, one: Yard, other: Yard) -> bool:
    """Say whether bees of one yard may stand at the other."""
    known = None if one.id == other.id else _override(operation, one.id, other.id, "flying_m")
    metres = geodesic((one.place.lat, one.place.lon), (other.place.lat, other.place.lon)).m
    return (metres if known is None else known) >= operation.settings.minimum_distance_m - 0.001


def drives(operation: Operation) -> dict[tuple[str, str], int]:
    """Seconds between home and all yards, closed under shortest paths."""
    stops: dict[str, Place] = {HOME: operation.crew.home} | {y.id: y.stop for y in operation.yards}
    assert len(stops) == len(operation.yards) + 1, "no yard may be called home here"
    drive = operation.settings.drive
    seconds = {}
    for a, b in itertools.product(stops, stops):
        km = geodesic((stops[a].lat, stops[a].lon), (stops[b].lat, stops[b].lon)).km
        known = _override(operation, a, b, "drive_min")
        estimate = drive.access_min + drive.detour * km / drive.speed_kmh * 60
        direct = 0 if km < 0.05 else round(60 * estimate)
        seconds[a, b] = 0 if a == b else direct if known is None else round(60 * known)
    for via, a, b in itertools.product(stops, stops, stops):
        seconds[a, b] = min(seconds[a, b], seconds[a, via] + seconds[via, b])
    return seconds


def pace(operation: Operation) -> float:
    """Share of a pair's minutes that this crew needs."""
    people = operation.crew.people
    return operation.settings.minutes.alone_factor if people == 1 else 2 / people


def open_s(operation: Operation, hive: Hive) -> int:
    """Seconds to open, look over and close one hive."""
    minutes = operation.settings.minutes
    lifted = hive.boxes - 1 + hive.supers
    parts = minutes.open_single + minutes.box_lifted * lifted + minutes.brood_look
    return round(60 * pace(operation) * parts)


def take_s(operation: Operation, box: Box) -> int:
    """Seconds to take the frames and shakes of one split out of its donors."""
    minutes = operation.settings.minutes
    frame_s = round(60 * pace(operation) * minutes.frame)
    shake_s = round(60 * pace(operation) * minutes.shake)
    return box.kit.frames * frame_s + box.kit.shakes * shake_s


def make_s(operation: Operation, yard: Yard) -> int:
    """Seconds to close, label and load one split at its parents' yard."""
    minutes = operation.settings.minutes
    return round(60 * (pace(operation) * (minutes.make_up + minutes.load) + 2 * yard.carry_min))


def place_s(operation: Operation, yard: Yard, box: Box) -> int:
    """Seconds to set down and open one split in its new yard."""
    minutes = operation.settings.minutes
    queen_in = minutes.queen_in if box.queen == "mated" else 0.0
    return round(
        60 * (pace(operation) * (minutes.place + minutes.open_split + queen_in) + 2 * yard.carry_min)
    )


def set_up_s(operation: Operation, hives_opened: bool) -> int:
    """Seconds of setting up at a stop."""
    minutes = operation.settings.minutes
    return round(60 * (minutes.set_up_hives if hives_opened else minutes.set_up_placing))


def leave_s(operation: Operation, hives_opened: bool) -> int:
    """Seconds of leaving a stop."""
    minutes = operation.settings.minutes
    return round(60 * (minutes.leave_hives if hives_opened else minutes.leave_placing))


def shut_in_s(operation: Operation) -> int:
    """Most seconds a split may be shut in; 0: no split may travel."""
    shut = operation.settings.shut_in
    typed = [w.max_c for w in operation.weather if w.day == operation.day]
    warmest = max(typed) if typed else shut.warmest_c
    if warmest is None:
        minutes = shut.screened_min[1] if shut.screened else shut.screened_min[1] / 4
        return round(60 * minutes)
    step = sum(warmest >= limit for limit in (20, 25, 30, 35))
    minutes = shut.screened_min[step] if step < 4 else 0.0
    if not shut.screened:
        minutes = 0.0 if warmest >= 27 else minutes / 4
    return round(60 * minutes)
