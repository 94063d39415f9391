"""What a hive is on the day, what may leave it, and how long that takes."""

import itertools
import math
import statistics
from collections.abc import Iterator
from dataclasses import dataclass

from routeplan.operation.settings import KeepBack
from routeplan.operation.world import Hive, Operation
from tests.oracle import lengths
from tests.oracle.asked import EPS, NOTHING, Box, Give, Out, boxes, left_over
from tests.oracle.floors import keeps

GOOD_HEALTH = {"clear", "not stated"}
NO_BROOD_RAISED = {"queenless", "drone layer", "laying workers"}
WITH_QUEEN = {"marked", "unmarked", "unknown"}


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

    def fresh_eggs(self, operation: Operation) -> bool:
        """Whether eggs were seen of late."""
        return self.hive.count.eggs_seen is True and self.age <= operation.settings.limits.eggs_days


def colony(operation: Operation, hive: Hive) -> Colony:
    """Roll the count of a hive forward to the day (9 days open, 12 capped; common practice)."""
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
    return {c.hive.key for c in mothers if c.fresh_eggs(operation)}


def gives(operation: Operation, hive: Hive) -> set[Give]:
    """List everything the hive may give to any split, nothing included, mixed frames and its queen not."""
    every = outs(operation, hive)
    return {(o.capped, o.open, o.food, o.shakes) for o in every if o.mixed == 0 and o.queen == 0}


def outs(operation: Operation, hive: Hive) -> set[Out]:
    """List everything that may leave the hive for splits of several hives, nothing included."""
    now = colony(operation, hive)
    settings = operation.settings
    if any(hive.key == _named(operation, i) for i in range(len(operation.orders))):
        return {NOTHING}
    if not _may_give(operation, now):
        return {NOTHING}
    with_queen = any(o.queen == "parent's" and o.hive is None for o in operation.orders)
    found = {NOTHING}
    for out in _tried(operation, now, with_queen):
        keep = settings.parted if out.queen else settings.keep_back
        if (
            _limited(operation, now, out)
            and _keeps(operation, now, out, keep)
            and keeps(operation, hive, out)
        ):
            found.add(out)
    return {o for o in found if o == NOTHING or _has_a_way(operation, hive, o)}


def _has_a_way(operation: Operation, hive: Hive, out: Out) -> bool:
    return lengths.quickest(operation, hive, out) is not None or (
        lengths.two_passes(operation, hive, out) is not None
    )


def _named(operation: Operation, i: int) -> tuple[str | None, str] | None:
    order = operation.orders[i]
    return None if order.hive is None else (order.from_yard, order.hive)


def _clean(operation: Operation, hive: Hive) -> bool:
    """Whether a hive and its yard are healthy and the beekeeper lets it give."""
    yard = operation.yard(hive.yard)
    return hive.may_give and hive.health in GOOD_HEALTH and yard.health in GOOD_HEALTH


def _counted(operation: Operation, now: Colony, keep: KeepBack) -> bool:
    """Whether all that matters was counted, and not too long ago."""
    count = now.hive.count
    known = count.bees is not None and now.brood is not None and (count.food is not None or keep.food <= 0)
    return known and now.age <= operation.settings.limits.count_last_days


def _may_give(operation: Operation, now: Colony) -> bool:
    hive = now.hive
    usable = _clean(operation, hive) and _counted(operation, now, operation.settings.keep_back)
    return usable and hive.queen not in NO_BROOD_RAISED and hive.count.queen_cells != "charged"


def _there(operation: Operation, now: Colony) -> tuple[int, int, int]:
    """Whole frames in the hive that may leave it: capped, open, food."""
    assert now.capped is not None
    assert now.open is not None
    count, limits = now.hive.count, operation.settings.limits
    mites = count.mites_per_100 is not None and count.mites_per_100 > limits.mites_per_100
    treated = count.treated_until is not None and count.treated_until >= operation.day
    return (
        0 if mites else math.floor(now.capped + EPS),
        math.floor(now.open + EPS),
        0 if treated or count.food is None else math.floor(count.food + EPS),
    )


def _tried(operation: Operation, now: Colony, with_queen: bool) -> Iterator[Out]:
    """Yield every way to take whole frames that are there, and shakes, within the limits of one kind."""
    limits, swaps = operation.settings.limits, operation.settings.swaps
    most = max(limits.brood_per_donor, limits.brood_per_strong_donor)
    capped, open_, food = _there(operation, now)
    fresh = now.fresh_eggs(operation)
    queen = with_queen and fresh and now.hive.queen in WITH_QUEEN
    tops = (
        min(most, capped),
        min(most, open_),
        most if swaps.mixed_open and fresh else 0,
        min(limits.food_per_donor, food),
        limits.shakes_per_donor,
        int(queen),
    )
    return (Out(*numbers) for numbers in itertools.product(*(range(max(0, top) + 1) for top in tops)))


def _limited(operation: Operation, now: Colony, out: Out) -> bool:
    """Whether a give keeps the limits of one donor and leaves real combs behind for each half mixed one."""
    assert now.capped is not None
    assert now.open is not None
    assert now.brood is not None
    limits, half = operation.settings.limits, 0.5 * out.mixed
    strong = now.brood >= limits.strong_from_brood - EPS and operation.settings.season != "early spring"
    most_brood = limits.brood_per_strong_donor if strong else limits.brood_per_donor
    return (
        out.brood <= most_brood
        and out.brood <= limits.brood_share * now.brood + EPS
        and out.capped + half <= now.capped + EPS
        and out.open + half <= now.open + EPS
    )


def _keeps(operation: Operation, now: Colony, out: Out, keep: KeepBack, cover: bool = True) -> bool:
    """Say whether a hive that gives so much still has what it must keep, and bees to cover its brood."""
    assert now.brood is not None
    assert now.open is not None
    count = now.hive.count
    assert count.bees is not None
    if count.food is None and keep.food > 0:
        return False
    bees, mixed = operation.settings.bees, operation.settings.mixed
    brood_left = now.brood - out.brood
    riding = bees.per_brood_frame * out.brood + bees.per_food_frame * out.food + bees.per_shake * out.shakes
    bees_left = count.bees - riding
    open_left = now.open - out.open - 0.5 * out.mixed - mixed.open_with_capped * out.capped
    food_left = (count.food or 0.0) - out.food - mixed.food_with_brood * out.brood
    return (
        brood_left >= keep.brood - EPS
        and (keep.open <= 0 or open_left >= keep.open - EPS)
        and (keep.food <= 0 or food_left >= keep.food - EPS)
        and bees_left >= keep.bees - EPS
        and (not cover or bees_left >= brood_left + bees.cover_over_brood - EPS)
    )


# Hives split in their own right


def parts(operation: Operation, box: Box) -> dict[int, Out]:
    """List how many parts may leave the hive this split is all of, none included, with all that leaves."""
    hive = next(h for h in operation.hives if h.key == box.hive)
    if box.whole:
        return _all_or_none(operation, hive)
    found = {0: NOTHING}
    for n in range(1, operation.orders[box.order].count + 1):
        one = box.out
        out = Out(n * one.capped, n * one.open, 0, n * one.food, n * one.shakes, n * one.queen)
        if _may_part(operation, hive, box, out):
            found[n] = out
    return found


def _all_or_none(operation: Operation, hive: Hive) -> dict[int, Out]:
    """What leaves a hive broken up: all that lives, its queen too, or nothing at all."""
    mine = [box for box in boxes(operation) if box.whole and box.hive == hive.key]
    out = Out(*(sum(box.out[k] for box in mine) for k in range(len(NOTHING))))
    brood_stays = any(n > 0 for _, n in left_over(operation, hive, mine))
    queens = int(hive.queen in WITH_QUEEN)
    all_may = all(_may_part(operation, hive, box, out) for box in mine)
    return (
        {0: NOTHING, len(mine): out} if all_may and not brood_stays and out.queen == queens else {0: NOTHING}
    )


def _may_part(operation: Operation, hive: Hive, box: Box, out: Out) -> bool:
    now, broken_up = colony(operation, hive), box.whole
    keep = KeepBack(0.0, 0.0, 0.0, 0.0) if broken_up else operation.settings.parted
    if not _clean(operation, hive) or not _counted(operation, now, keep):
        return False
    if hive.queen in ("drone layer", "laying workers") or box.kit.frame not in (None, hive.frame):
        return False
    there = zip((out.capped, out.open, out.food), _there(operation, now), strict=True)
    return (
        all(taken <= most for taken, most in there)
        and _keeps(operation, now, out, keep, cover=not broken_up)
        and keeps(operation, hive, out, operation.orders[box.order])
        and _right_queen(operation, now, box, out)
        and lengths.quickest(operation, hive, out) is not None
    )


def _right_queen(operation: Operation, now: Colony, box: Box, out: Out) -> bool:
    """Whether the parts get a queen, or the means to raise one, and the parent too where it stays."""
    way = box.queen
    charged = now.hive.count.queen_cells == "charged"
    if way == "raise own":
        return now.fresh_eggs(operation)
    if way == "own cells":
        return charged and now.age <= operation.settings.limits.cells_days
    if way == "parent's" and box.whole:
        return out.queen == 1 and now.hive.queen in WITH_QUEEN
    if way == "parent's":
        return out.queen == 1 and now.hive.queen in WITH_QUEEN and (now.fresh_eggs(operation) or charged)
    return True
