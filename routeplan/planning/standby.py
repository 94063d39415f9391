"""The next hives if one disappoints, and the rule a crew takes by on sight, yard by yard.

A standby could give at least one of a kind on top of what it gives already, with every rule kept, if nothing
else changed.
"""

from collections import Counter
from itertools import count, takewhile

from routeplan.colony.keeping import EPS
from routeplan.colony.surplus import Give, Gives, Surplus
from routeplan.operation.world import Operation
from routeplan.plan import Plan, Standby, Stop, TakeRule

KINDS = ("capped", "open", "eggs", "mixed", "food", "shake", "queen")
"""Order in which a crew is told what it takes."""
MOST_NAMED = 6
"""Standbys named for one kind; a crew tries no more in a day."""

Key = tuple[str, str]


def standbys_of(operation: Operation, surplus: dict[Key, Surplus], plan: Plan) -> tuple[Standby, ...]:
    """Name the next hives for each kind taken in each yard where splits are made.

    Parameters
    ----------
    surplus : what every hive can give on the day (colony.surplus_of).

    Returns
    -------
    One row per yard and kind, a yard's kinds in the order of KINDS; a kind without a standby has no hives.
    """
    given = _given(plan)
    rows = []
    for yard, stops in _making(plan).items():
        needs = _needs(stops)
        for k in needs:
            rows.append(Standby(yard, k, _next_hives(operation, surplus, plan, given, yard, k)))
    return tuple(rows)


def take_rules_of(operation: Operation, plan: Plan, standbys: tuple[Standby, ...]) -> tuple[TakeRule, ...]:
    """Say for each yard where splits are made what is taken in all, and from which hives in which order."""
    settings, limits, keep = operation.settings, operation.settings.limits, operation.settings.keep_back
    early = settings.season == "early spring"
    rules = []
    for yard, stops in _making(plan).items():
        donors = [hive for stop in stops for hive in stop.opens]
        waiting = [hive for row in standbys if row.yard == yard for hive, _ in row.hives]
        rules.append(
            TakeRule(
                yard=yard,
                needs=tuple(_needs(stops).items()),
                most_brood=limits.brood_per_donor,
                most_strong=limits.brood_per_donor if early else limits.brood_per_strong_donor,
                keeps=(("bees", keep.bees), ("brood", keep.brood), ("open", keep.open), ("food", keep.food)),
                order=tuple(dict.fromkeys(donors + waiting)),
            )
        )
    return tuple(rules)


def allows(own: Surplus, give: Give, mixed: int = 0, queen: bool = False) -> bool:
    """Whether a hive may give so much, `mixed` of its open frames being mixed ones, with its queen or not.

    A mixed frame leaves only a hive with rows for mixed frames (they are allowed, and fresh eggs were seen);
    then it may stand for any of the open frames of a row.
    """
    capped = own.count.capped
    if mixed and (capped is None or give.capped + 0.5 * mixed > capped + EPS):
        return False
    if mixed and not any(k.mixed for k in own.others):
        return False
    kinds = (Gives(0, False, own.most), *own.others)
    return any(k.queen == queen and k.mixed <= mixed and any(_holds(m, give) for m in k.most) for k in kinds)


def _holds(most: Give, give: Give) -> bool:
    return (
        give.capped <= most.capped
        and give.open <= most.open
        and give.food <= most.food
        and give.shake <= most.shake
    )


def allows_takes(own: Surplus, takes: Counter[str]) -> bool:
    """Whether a hive may give these takes, counted by kind."""
    if (takes["eggs"] and not own.mother) or takes["queen"] > 1:
        return False
    open_ = takes["open"] + takes["eggs"] + takes["mixed"]
    give = Give(takes["capped"], open_, takes["food"], takes["shake"])
    return allows(own, give, takes["mixed"], bool(takes["queen"]))


def still_gives(own: Surplus, given: Counter[str], kind: str) -> int:
    """Return how many more of a kind a hive could give on top of what it gives."""
    return sum(1 for _ in takewhile(lambda n: allows_takes(own, given + Counter({kind: n})), count(1)))


def _making(plan: Plan) -> dict[str, list[Stop]]:
    """The stops at which splits are made, by yard, in the order of visits."""
    stops: dict[str, list[Stop]] = {}
    for stop in plan.stops:
        if stop.makes or stop.begins:
            stops.setdefault(stop.yard, []).append(stop)
    return stops


def _needs(stops: list[Stop]) -> dict[str, int]:
    """What is taken at these stops, by kind."""
    taken: Counter[str] = Counter()
    for stop in stops:
        for take in stop.takes:
            taken[take.kind] += take.frames
    return {kind: taken[kind] for kind in KINDS if taken[kind]}


def _given(plan: Plan) -> dict[Key, Counter[str]]:
    given: dict[Key, Counter[str]] = {}
    for stop in plan.stops:
        for take in stop.takes:
            given.setdefault((stop.yard, take.hive), Counter())[take.kind] += take.frames
    return given


def _next_hives(
    operation: Operation,
    surplus: dict[Key, Surplus],
    plan: Plan,
    given: dict[Key, Counter[str]],
    yard: str,
    kind: str,
) -> tuple[tuple[str, int], ...]:
    """Hives not opened yet and calm first, those with most to spare before others, bad tempers last."""
    formats, for_own_queen = _wanted(plan, yard, kind)
    own_right = {(order.from_yard, order.hive) for order in operation.orders}
    found = []
    for hive in operation.hives:
        own = surplus[hive.key]
        if hive.yard != yard or hive.frame not in formats or hive.key in own_right:
            continue
        if for_own_queen and kind == "mixed" and not own.mother:
            continue
        gives = given.get(hive.key, Counter())
        more = still_gives(own, gives, kind)
        if more:
            rank = (hive.temper == "bad", bool(gives), hive.temper != "calm", -more, -_to_spare(own), hive.id)
            found.append((rank, (hive.id, more)))
    return tuple(row for _, row in sorted(found)[:MOST_NAMED])


def _wanted(plan: Plan, yard: str, kind: str) -> tuple[set[str], bool]:
    """The frame formats of the splits that get this kind here, and whether one raises its own queen."""
    getting = {t.split for s in plan.stops if s.yard == yard for t in s.takes if t.kind == kind}
    splits = [s for s in plan.splits if s.id in getting]
    return {s.frame for s in splits}, any(s.queen == "raise own" for s in splits)


def _to_spare(own: Surplus) -> float:
    """Frames of bees and brood, to tell the stronger of two hives."""
    return (own.count.bees or 0.0) + (own.count.brood or 0.0)
