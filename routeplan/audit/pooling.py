"""Boxes that are begun in one yard and completed in another: what holds of them beside all other rules.

Where they may stand (R5), how long they are shut in (R9) and what the truck carries (R7) is asked of all
boxes alike, from the yards and stops of their bees. Frames shaken free of bees make no parent (common
practice).
"""

from collections import Counter
from collections.abc import Iterator

from routeplan.audit.case import FRAMES, Case, frames_out
from routeplan.audit.figures import HALF_M, figure
from routeplan.audit.hives import EPS
from routeplan.audit.times import warmest_c
from routeplan.audit.violation import Violation, count, lasting, warm
from routeplan.plan import Split, Stop, Take

BROOD = ("capped", "open", "eggs", "mixed")


def begun_boxes(case: Case) -> Iterator[Violation]:
    """A box of two yards is allowed (R3), begun once, before and elsewhere (form), free to be so by its order
    (R6, R12), and told as the stops tell it."""
    times = Counter(s for stop in case.plan.stops for s in stop.begins)
    for split in case.splits.values():
        if times[split.id] > 1:
            text = f"split {split.id} is begun {times[split.id]} times, at most once"
            yield Violation("form", text, times[split.id] - 1, "times", (split.id,))
        yield from _told(case, split)
        if split.id in case.begun and split.id in case.made:
            begun, made = (case.plan.stops[at[split.id] - 1] for at in (case.begun, case.made))
            yield from _order_of_stops(case, split, begun, made)
            yield from _allowed(case, split, begun)
            yield from _queen_with_bees(case, split)


def _told(case: Case, split: Split) -> Iterator[Violation]:
    """What a split says of where it was begun is what the stops say."""
    at = case.begun.get(split.id, 0)
    yard = case.plan.stops[at - 1].yard if at else ""
    hives = {take.hive for i, _, take in case.takes() if i == at and take.split == split.id}
    for what, stated, right in (
        ("the stop that begins it", str(split.begun_at or "none"), str(at or "none")),
        ("the yard where it is begun", split.begun_yard or "none", yard or "none"),
        (
            "its donors there",
            ", ".join(sorted(split.begun_donors)) or "none",
            ", ".join(sorted(hives)) or "none",
        ),
    ):
        if stated != right:
            text = f"split {split.id}: {what} is given as {stated}, the stops say {right}"
            yield Violation("form", text, 1, "entry", (split.id,))
    placed = case.plan.stops[case.placed[split.id] - 1].yard if split.id in case.placed else ""
    known = yard in case.yards and placed in case.yards
    flying = case.roads.flying_m(yard, placed) if known else 0.0
    if abs(split.begun_m - flying) > HALF_M:
        what = f"split {split.id}: the distance from where it is begun"
        yield from figure(what, split.begun_m, round(flying), "m", (split.id,))


def _order_of_stops(case: Case, split: Split, begun: Stop, made: Stop) -> Iterator[Violation]:
    """Begun before it is completed, in another yard, with something of both."""
    first, then = case.begun[split.id], case.made[split.id]
    if first >= then:
        text = f"split {split.id} is begun at stop {first} and completed at stop {then}, not after it"
        yield Violation("form", text, first - then + 1, "visits", (split.id,))
    if begun.yard == made.yard:
        text = f"split {split.id} is begun and completed at {made.yard}"
        yield Violation("form", text, 1, "yard", (split.id, made.yard))
    for stop, how in ((begun, "begun"), (made, "completed")):
        if not any(take.split == split.id for take in stop.takes):
            text = f"split {split.id} is {how} at {stop.yard} with nothing of its hives"
            yield Violation("form", text, 1, "split", (split.id, stop.yard))


def _allowed(case: Case, split: Split, begun: Stop) -> Iterator[Violation]:
    if case.operation.settings.limits.yards_per_split < 2:
        text = f"split {split.id} has frames of two yards, the settings allow one"
        yield Violation("R3", text, 1, "yards", (split.id,))
    order = case.orders.get(split.order)
    if order is not None and order.hive is None and order.from_yard not in (None, begun.yard):
        text = f"split {split.id} is begun at {begun.yard}, order {order.id} asks for {order.from_yard}"
        yield Violation("R6", text, 1, "split", (split.id, order.id))


def _queen_with_bees(case: Case, split: Split) -> Iterator[Violation]:
    """R12: a queen that goes along rides with bees of her own yard."""
    ours = [(i, take) for i, _, take in case.takes() if take.split == split.id]
    for i in (i for i, take in ours if take.kind == "queen"):
        if not any(j == i and take.bees and take.kind != "queen" for j, take in ours):
            yard = case.plan.stops[i - 1].yard
            text = f"split {split.id} has the queen of a hive at {yard} and no bees from there"
            yield Violation("R12", text, 1, "queens", (split.id, yard))


def bare_frames(case: Case) -> Iterator[Violation]:
    """Frames ride without bees only into boxes of two yards (R2), brood not long and not in the cold (R9); a
    split that raises its queen has bees enough all the same (R2)."""
    for i, stop, take in case.takes():
        if not take.bees:
            if take.kind not in FRAMES or take.split not in case.begun:
                what = take.kind if take.kind not in FRAMES else f"a frame for split {take.split}"
                text = f"stop {i}: {what} of hive {take.hive} cannot leave without bees"
                yield Violation("R2", text, take.frames, "frames", (take.split, stop.yard, take.hive))
            elif take.kind in BROOD and i == case.begun[take.split]:
                yield from _bare_brood(case, stop, take)
    for split in case.splits.values():
        yield from _bees_enough(case, split)


def _bare_brood(case: Case, stop: Stop, take: Take) -> Iterator[Violation]:
    """Brood without bees waits until hives are opened where the box is completed."""
    limits, warmest = case.operation.settings.limits, warmest_c(case.operation)
    at = f"split {take.split}: brood of {stop.yard}"
    if warmest is not None and warmest < limits.bare_brood_from_c:
        unit = case.operation.settings.temperature
        heat, least = (warm(c, unit) for c in (warmest, limits.bare_brood_from_c))
        text = f"{at} rides without bees at {heat}, at least {least} is asked"
        yield Violation("R9", text, limits.bare_brood_from_c - warmest, "°C", (take.split, stop.yard))
    if take.split in case.made:
        made = case.plan.stops[case.made[take.split] - 1]
        opened = made.arrive + made.early_s + made.set_up_s + made.fence_s + made.place_s + made.wait_s
        bare, most = opened - stop.depart, 60 * limits.bare_brood_min
        if bare > most:
            text = f"{at} is without bees for {lasting(bare)}, at most {lasting(most)}"
            yield Violation("R9", f"{text}: {lasting(bare - most)} too long", bare - most, "s", (take.split,))


def _bees_enough(case: Case, split: Split) -> Iterator[Violation]:
    bees, least = case.operation.settings.bees, case.operation.settings.limits.own_queen_bees
    ours = [take for _, _, take in case.takes() if take.split == split.id]
    if split.queen != "raise own" or all(take.bees for take in ours):
        return
    got = Counter[str]()
    for take in ours:
        got[take.kind] += take.frames if take.bees else 0
    brood = frames_out(got) - got["food"]
    there = bees.per_brood_frame * brood + bees.per_food_frame * got["food"] + bees.per_shake * got["shake"]
    if there < least - EPS:
        bare = count(sum(take.frames for take in ours if not take.bees), "frame")
        text = f"split {split.id} has {there:.2f} frames of bees with {bare} bare, to raise a queen {least:g}"
        yield Violation(
            "R2", f"{text} are needed: {least - there:.2f} short", least - there, "frames", (split.id,)
        )
