"""Rules about the hives that give: R1 keep-back, R2 the kit, R3 donors, R4 health."""

from collections import Counter
from collections.abc import Iterator
from math import floor

from routeplan.audit.case import Case, Key, frames_out, named
from routeplan.audit.floors import keeps_floor
from routeplan.audit.hives import EPS, Strength, eggs_fault, queen_mothers
from routeplan.audit.violation import Violation
from routeplan.operation.settings import KeepBack
from routeplan.operation.world import HEALTH_USABLE, QUEENS_NOT_LAYING, Hive
from routeplan.plan import Split


def keep_back(case: Case) -> Iterator[Violation]:
    """R1: a donor has the frames it gives, keeps its keep-back and cover, and is fit to give at all."""
    for key, give in case.gives.items():
        hive = case.hives[key]
        strength = case.strengths[key]
        fault = next(_unfit(case, hive, strength, give), None)
        if fault:
            taken = frames_out(give) + give["shake"]
            yield Violation("R1", f"{named(key)} gives {_listed(give)}, but {fault}", taken, "frames", key)
        else:
            yield from _shortages(case, key, give, strength)


def is_allowed(case: Case, key: Key, give: Counter[str]) -> bool:
    """Whether a hive may give this much (R1, the limits of one donor in R3, R4, and R16)."""
    hive, strength = case.hives[key], case.strengths[key]
    faults = (
        _unfit(case, hive, strength, give),
        _unhealthy(case, hive, give),
        _shortages(case, key, give, strength),
        _overs(case, key, give),
    )
    return not any(next(fault, None) for fault in faults) and keeps_floor(case, key, give)


def _listed(give: Counter[str]) -> str:
    words = {"shake": "of bees shaken in", "queen": "queen"}
    parts = [f"{n} {words.get(kind, kind)}" for kind, n in give.items() if n]
    return ", ".join(parts) or "nothing"


def _unfit(case: Case, hive: Hive, strength: Strength, give: Counter[str]) -> Iterator[str]:
    settings, own = case.operation.settings, hive.key in case.own_right
    not_laying = ("drone layer", "laying workers") if own else QUEENS_NOT_LAYING
    if not hive.may_give:
        yield "it may not give"
    if hive.queen in not_laying:
        yield f"its queen is noted as: {hive.queen}"
    if hive.count.queen_cells == "charged" and not own:
        yield "it has charged queen cells"
    if strength.bees is None:
        yield "its bees are not known"
    if strength.brood is None:
        yield "its brood is not known"
    if strength.food is None and _keeps(case, hive.key, give).food > 0:
        yield "its food is not known"
    if strength.age > settings.limits.count_last_days:
        yield f"its count is {strength.age} days old, at most {settings.limits.count_last_days} are trusted"
    if give["mixed"] > 0 and (own or not settings.swaps.mixed_open):
        yield "mixed frames are not allowed"
    if give["mixed"] > 0 and not fresh_eggs(case, hive):
        yield "no fresh eggs were seen for mixed frames"


def fresh_eggs(case: Case, hive: Hive) -> bool:
    """Whether eggs were seen in a hive so lately that a queen can be raised from them."""
    age = case.strengths[hive.key].age
    return hive.count.eggs_seen is True and age <= case.operation.settings.limits.eggs_days


def _keeps(case: Case, key: Key, give: Counter[str]) -> KeepBack:
    """What must stay: less when the queen leaves, or when the hive is split in its own right."""
    settings = case.operation.settings
    if _broken_up(case, key):
        return KeepBack(0.0, 0.0, 0.0, 0.0)
    return settings.parted if give["queen"] or key in case.own_right else settings.keep_back


def _broken_up(case: Case, key: Key) -> bool:
    """Whether nothing need stay of a hive, not even bees to cover brood."""
    return key in case.own_right and case.own_right[key].break_up


def _shortages(case: Case, key: Key, give: Counter[str], strength: Strength) -> Iterator[Violation]:
    for what, have, need in _lines(case, key, give, strength):
        if have + EPS < need:
            text = f"{named(key)} {what.format(have)}, at least {need:.2f} needed: {need - have:.2f} short"
            yield Violation("R1", text, need - have, "frames", key)


def _lines(
    case: Case, key: Key, give: Counter[str], strength: Strength
) -> Iterator[tuple[str, float, float]]:
    """What must hold of one donor: words, frames there, frames needed."""
    settings = case.operation.settings
    keep, mixed, halves = _keeps(case, key, give), settings.mixed, give["mixed"] / 2
    brood, unsealed, food = strength.brood or 0.0, strength.open or 0.0, strength.food or 0.0
    brood_out = _brood_out(give)
    for kind, asked, there in (
        ("capped brood", give["capped"], strength.capped or 0.0),
        ("open brood", give["open"] + give["eggs"], unsealed),
        ("food", give["food"], food),
    ):
        if asked > 0:
            yield f"has {{:.0f}} whole frames of {kind}", floor(there + EPS), asked
    if halves:
        yield (
            "has {:.2f} frames of capped brood for what leaves",
            strength.capped or 0.0,
            give["capped"] + halves,
        )
        yield (
            "has {:.2f} frames of open brood for what leaves",
            unsealed,
            give["open"] + give["eggs"] + halves,
        )
    bees_left = (strength.bees or 0.0) - _bees_out(case, give)
    yield "keeps {:.2f} frames of brood", brood - brood_out, keep.brood
    if keep.open > 0:
        left = unsealed - give["open"] - give["eggs"] - halves - mixed.open_with_capped * give["capped"]
        yield "keeps {:.2f} frames of open brood", left, keep.open
    if keep.food > 0:
        left = food - give["food"] - mixed.food_with_brood * brood_out
        yield "keeps {:.2f} frames of food", left, keep.food
    yield "keeps {:.2f} frames of bees", bees_left, keep.bees
    if not _broken_up(case, key):
        cover = brood - brood_out + settings.bees.cover_over_brood
        yield "keeps {:.2f} frames of bees to cover its brood", bees_left, cover


def _brood_out(give: Counter[str]) -> int:
    return give["capped"] + give["open"] + give["eggs"] + give["mixed"]


def _bees_out(case: Case, give: Counter[str]) -> float:
    """Frames of bees that leave on frames and in shakes."""
    bees = case.operation.settings.bees
    on_brood = bees.per_brood_frame * _brood_out(give)
    return on_brood + bees.per_food_frame * give["food"] + bees.per_shake * give["shake"]


def kit_met(case: Case) -> Iterator[Violation]:
    """R2: a split is what was ordered, gets all frames of its kit, in one frame format, and fits its box."""
    mothers = queen_mothers(case.operation)
    for split in case.splits.values():
        yield from _as_ordered(case, split)
        yield from _filled(case, split)
        yield from _one_format(case, split)
    for _, stop, take in case.takes():
        hive = case.hives[(stop.yard, take.hive)]
        fed = case.splits.get(take.split)
        raises = fed is not None and fed.queen == "raise own"
        is_egg = take.kind == "eggs" or (take.kind == "mixed" and raises)
        as_mother = mothers | {hive.key} if hive.key in case.own_right else mothers
        fault = eggs_fault(hive, case.operation, as_mother) if is_egg else None
        if fault:
            text = f"split {take.split} has its eggs from {named(hive.key)}, but {fault}"
            yield Violation("R2", text, take.frames, "frames", (take.split, *hive.key))


def _as_ordered(case: Case, split: Split) -> Iterator[Violation]:
    order = case.orders.get(split.order)
    if order is None:
        return
    for what, given, asked in (("kit", split.kit, order.kit), ("way to a queen", split.queen, order.queen)):
        if given != asked:
            text = f"split {split.id}: the {what} is {given}, order {order.id} asks for {asked}"
            yield Violation("R2", text, 1, "split", (split.id, order.id))


def _filled(case: Case, split: Split) -> Iterator[Violation]:
    kit, got = case.kits.get(split.kit), case.received[split.id]
    if kit is None:
        return
    unsealed, other = ("eggs", "open") if split.queen == "raise own" else ("open", "eggs")
    food = 0 if split.swap else kit.food
    queens = int(split.queen == "parent's")
    asked = {"capped": kit.capped, unsealed: kit.open - got["mixed"], "food": food, "shake": kit.shakes}
    if got["queen"] != queens:
        text = f"split {split.id} ({split.queen}) gets {got['queen']} queens of parents, not {queens}"
        yield Violation("R2", text, abs(got["queen"] - queens), "queens", (split.id,))
    if split.swap and got["food"]:
        text = f"split {split.id} has a {split.swap} and {got['food']} frames of food from hives too"
        yield Violation("R2", text, got["food"], "frames", (split.id,))
    for kind, need in asked.items():
        if got[kind] < need:
            thing = "shakes of bees" if kind == "shake" else f"frames of {kind}"
            short = need - got[kind]
            text = f"split {split.id} gets {got[kind]} {thing}, its kit asks for {need}: {short} short"
            yield Violation("R2", text, short, "frames", (split.id,))
    if got[other] > 0:
        text = f"split {split.id} ({split.queen}) gets {got[other]} frames as {other}, not as {unsealed}"
        yield Violation("R2", text, got[other], "frames", (split.id,))
    frames, most = frames_out(got), kit.combs - kit.drawn
    if frames > most:
        text = f"split {split.id} gets {frames} frames, its box takes {most}: {frames - most} too many"
        yield Violation("R2", text, frames - most, "frames", (split.id,))


def _one_format(case: Case, split: Split) -> Iterator[Violation]:
    kit = case.kits.get(split.kit)
    if kit is not None and kit.frame is not None and kit.frame != split.frame:
        text = f"split {split.id} is on {split.frame} frames, its kit is for {kit.frame}"
        yield Violation("R2", text, 1, "split", (split.id,))
    for key in sorted(case.donors[split.id]):
        frame = case.hives[key].frame
        if frame != split.frame:
            text = f"split {split.id} is on {split.frame} frames, {named(key)} has {frame}"
            yield Violation("R2", text, 1, "hive", (split.id, *key))


def donors(case: Case) -> Iterator[Violation]:
    """R3: no split has too many donors; no hive is opened twice or gives more than one hive may."""
    limits = case.operation.settings.limits
    for split_id, found in case.donors.items():
        over = len(found) - limits.donors_per_split
        if over > 0:
            text = (
                f"split {split_id} has {len(found)} donors, "
                f"at most {limits.donors_per_split}: {over} too many"
            )
            yield Violation("R3", text, over, "hives", (split_id,))
    for key, give in case.gives.items():
        yield from _overs(case, key, give)
    visits = Counter((stop.yard, hive) for stop in case.plan.stops for hive in sorted(set(stop.opens)))
    for key, times in visits.items():
        if times > 1:
            text = f"{named(key)} is opened at {times} stops, at most once a day: {times - 1} too many"
            yield Violation("R3", text, times - 1, "stops", key)


def _overs(case: Case, key: Key, give: Counter[str]) -> Iterator[Violation]:
    for what, given, most in _mosts(case, key, give):
        if given > most + EPS:
            text = f"{named(key)} gives {given} {what}, at most {most:.4g}: {given - most:.4g} too many"
            yield Violation("R3", text, given - most, "frames", key)


def _mosts(case: Case, key: Key, give: Counter[str]) -> Iterator[tuple[str, int, float]]:
    settings = case.operation.settings
    limits = settings.limits
    brood = case.strengths[key].brood
    given = _brood_out(give)
    if key in case.own_right:
        return
    if brood is not None:
        is_strong = brood >= limits.strong_from_brood - EPS and settings.season != "early spring"
        yield "frames of brood", given, limits.brood_per_strong_donor if is_strong else limits.brood_per_donor
        yield "frames of brood (a share of what it has)", given, limits.brood_share * brood
    yield "frames of food", give["food"], limits.food_per_donor
    yield "shakes of bees", give["shake"], limits.shakes_per_donor


def health(case: Case) -> Iterator[Violation]:
    """R4: nothing leaves or enters where health is not clear; no visit there; mites and treatment."""
    for i, stop in case.numbered:
        yard = case.yards.get(stop.yard)
        if yard is not None and yard.health not in HEALTH_USABLE:
            text = f"stop {i} visits {yard.id}, where health is {yard.health}"
            yield Violation("R4", text, 1, "visit", (yard.id,))
    for key, give in case.gives.items():
        for fault, frames in _unhealthy(case, case.hives[key], give):
            text = f"{named(key)} gives to {_fed(case, key)}, but {fault}"
            yield Violation("R4", text, frames, "frames", key)


def _unhealthy(case: Case, hive: Hive, give: Counter[str]) -> Iterator[tuple[str, int]]:
    looked, most = hive.count, case.operation.settings.limits.mites_per_100
    taken = frames_out(give) + give["shake"]
    if hive.health not in HEALTH_USABLE:
        yield f"its health is {hive.health}", taken
    yard = case.yards.get(hive.yard)
    if yard is not None and yard.health not in HEALTH_USABLE:
        yield f"the health of its yard is {yard.health}", taken
    if give["capped"] > 0 and looked.mites_per_100 is not None and looked.mites_per_100 > most + EPS:
        mites = f"{looked.mites_per_100:g} mites per 100 bees, more than {most:g}"
        yield f"it has {mites}: no capped brood leaves it", give["capped"]
    if give["food"] > 0 and looked.treated_until is not None and looked.treated_until >= case.operation.day:
        yield f"it is treated until {looked.treated_until.isoformat()}: no food leaves it", give["food"]


def _fed(case: Case, key: Key) -> str:
    fed = sorted(s for s, found in case.donors.items() if key in found)
    return ("split " if len(fed) == 1 else "splits ") + ", ".join(fed) if fed else "no known split"
