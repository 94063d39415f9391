"""What each hive can give and still keep its keep-back, with the reason it gives no more."""

from dataclasses import dataclass
from datetime import date
from statistics import median

import numpy as np

from routeplan.colony.counts import DayCount, count_on
from routeplan.colony.floors import FLOOR_WORDS, donors_hold, holds
from routeplan.colony.halves import Taken
from routeplan.colony.keeping import EPS, RULES, Bools, Floats, Look
from routeplan.operation.settings import KeepBack, Settings
from routeplan.operation.world import HEALTH_USABLE, QUEENS_NOT_LAYING, Hive, Operation


@dataclass(frozen=True, order=True)
class Give:
    """Whole frames that leave one hive, and shakes of one frame's bees; `open` holds mixed frames too."""

    capped: int = 0
    open: int = 0
    food: int = 0
    shake: int = 0


@dataclass(frozen=True, order=True)
class Gives:
    """The gives of which none holds another, with up to so many mixed frames among the open ones, and whether
    the hive's queen leaves too."""

    mixed: int
    queen: bool
    most: tuple[Give, ...]


@dataclass(frozen=True)
class Surplus:
    """One hive's surplus.

    `most` are the gives of which none holds another; all below them are allowed. `others`: the same with
    mixed frames, and with its queen leaving. `mother`: its open frames may raise a queen.
    """

    hive: Hive
    count: DayCount
    most: tuple[Give, ...]
    others: tuple[Gives, ...]
    mother: bool
    reason: str

    @property
    def could(self) -> Give:
        """The most of each kind on its own."""
        return Give(
            max(g.capped for g in self.most),
            max(g.open for g in self.most),
            max(g.food for g in self.most),
            max(g.shake for g in self.most),
        )


def surplus_of(operation: Operation) -> dict[tuple[str, str], Surplus]:
    """Work out what every hive can give on the day.

    Returns
    -------
    dict from hive key (yard, hive) to Surplus, in the operation's order of hives.
    """
    settings = operation.settings
    counts = [count_on(hive, operation.day) for hive in operation.hives]
    gives = _gives(settings)
    pure = np.zeros(len(gives[0]), dtype=bool) | (np.array(gives[1]) == 0)
    allowed = _allowed(operation, counts, gives, settings.keep_back, queen=False)
    all_allowed = np.logical_and.reduce([rows for _, rows in allowed])
    parted = np.zeros_like(all_allowed)
    if any(o.queen == "parent's" and o.hive is None for o in operation.orders):
        of_parted = _allowed(operation, counts, gives, settings.parted, queen=True)
        parted = np.logical_and.reduce([rows for _, rows in of_parted])
    mothers = queen_mothers(operation, counts)
    index = {give: j for j, (give, x) in enumerate(zip(*gives, strict=True)) if x == 0}
    yard_health = {yard.id: yard.health for yard in operation.yards}
    own_right = {(o.from_yard, o.hive) for o in operation.orders if o.hive}
    known: dict[tuple[bytes, int], tuple[Give, ...]] = {}
    result = {}
    for i, (hive, count) in enumerate(zip(operation.hives, counts, strict=True)):
        blocked = gives_nothing(settings, hive, count, yard_health[hive.yard])
        if hive.key in own_right:
            blocked = "split in its own right today: gives to no other split"
        most = (Give(),) if blocked else _maximal(all_allowed[i] & pure, gives, 0, known)
        others = [] if blocked else _others(operation, hive, count, gives, all_allowed[i], parted[i], known)
        rows = [(words, a[i]) for words, a in allowed]
        reason = blocked or _held_back(rows, most, index)
        result[hive.key] = Surplus(hive, count, most, tuple(others), hive.key in mothers, reason)
    return result


def _others(
    operation: Operation,
    hive: Hive,
    count: DayCount,
    gives: tuple[list[Give], list[int]],
    normal: Bools,
    parted: Bools,
    known: dict[tuple[bytes, int], tuple[Give, ...]],
) -> list[Gives]:
    """The gives with mixed frames, and those with the queen leaving; none hold more than one extra needs."""
    fresh = has_fresh_eggs(operation, hive, count)
    found = []
    for mixed in range(max(gives[1]) + 1 if fresh else 1):
        if mixed and normal.any():
            most = _maximal(normal & (np.array(gives[1]) <= mixed), gives, mixed, known)
            found.append(Gives(mixed, False, most))
        if parted.any() and fresh and hive.queen not in QUEENS_NOT_LAYING:
            most = _maximal(parted & (np.array(gives[1]) <= mixed), gives, mixed, known)
            found.append(Gives(mixed, True, most))
    return found


def has_fresh_eggs(operation: Operation, hive: Hive, count: DayCount) -> bool:
    """Whether eggs were seen so lately that a queen can still be raised from them."""
    return hive.count.eggs_seen is True and count.age_days <= operation.settings.limits.eggs_days


def gives_nothing(settings: Settings, hive: Hive, count: DayCount, yard_health: str) -> str:
    """Return why a hive gives nothing whatever it holds, "" when it may give."""
    if reason := barred(settings, hive, count, yard_health, settings.keep_back):
        return reason
    if hive.queen in QUEENS_NOT_LAYING:
        return f"{hive.queen}: no frames leave"
    if hive.count.queen_cells == "charged":
        return "charged queen cells: split it in its own right"
    return ""


def barred(settings: Settings, hive: Hive, count: DayCount, yard_health: str, keep: KeepBack) -> str:
    """Return why nothing at all may leave a hive, for any kind of split; "" when something may."""
    if hive.health not in HEALTH_USABLE:
        return f"health {hive.health}: nothing leaves"
    if yard_health not in HEALTH_USABLE:
        return f"yard health {yard_health}: nothing leaves"
    if not hive.may_give:
        return "set to give nothing"
    unknown = [name for name, value in (("bees", count.bees), ("brood", count.brood)) if value is None]
    if count.food is None and keep.food > 0:
        unknown.append("food")
    if unknown:
        return f"{' and '.join(unknown)} not counted"
    if count.age_days > settings.limits.count_last_days:
        return f"last looked at {count.age_days} days ago: look again first"
    return ""


def queen_mothers(operation: Operation, counts: list[DayCount]) -> set[tuple[str, str]]:
    """Return the hives whose open frames may raise a queen: flagged and with fresh eggs.

    Where no hive is flagged: not bad-tempered and above the median of brood (common practice).
    """
    hives = operation.hives
    if any(h.queen_mother for h in hives):
        chosen = [h.queen_mother for h in hives]
    else:
        known = [c.brood for c in counts if c.brood is not None]
        middle = median(known) if known else 0.0
        chosen = [
            h.temper != "bad" and c.brood is not None and c.brood > middle + EPS
            for h, c in zip(hives, counts, strict=True)
        ]
    return {
        h.key
        for h, c, yes in zip(hives, counts, chosen, strict=True)
        if yes and has_fresh_eggs(operation, h, c)
    }


def _gives(settings: Settings) -> tuple[list[Give], list[int]]:
    """Every give up to one more than the limits, so that the limits show as reasons too, and the mixed frames
    in its open ones."""
    limits = settings.limits
    brood = max(limits.brood_per_donor, limits.brood_per_strong_donor) + 1
    every = [
        (Give(c, o, f, s), x)
        for c in range(brood + 1)
        for o in range(brood + 1 - c)
        for f in range(limits.food_per_donor + 2)
        for s in range(limits.shakes_per_donor + 2)
        for x in range(o + 1 if settings.swaps.mixed_open else 1)
    ]
    return [g for g, _ in every], [x for _, x in every]


def _allowed(
    operation: Operation,
    counts: list[DayCount],
    gives: tuple[list[Give], list[int]],
    keep: KeepBack,
    queen: bool,
) -> list[tuple[str, Bools]]:
    """For each rule in words, which give of which hive it allows, its queen leaving or not: (hives, gives).

    The floor comes last and is asked only of what all other rules allow.
    """
    look = look_at(operation, list(operation.hives), counts, gives, keep)
    shape = (len(counts), len(gives[0]))
    allowed = [(words, np.broadcast_to(rule(look), shape)) for words, rule in RULES]
    sure = operation.settings.sure
    if not (queen or sure.look or sure.hunt or operation.two_passes_allowed):
        above = np.array([sure.supers and h.excluder and h.supers > 0 for h in operation.hives], dtype=bool)
        shakes_only = np.array([not (g.capped or g.open or g.food) for g in gives[0]])
        allowed.append(("no way to be sure of the queen is allowed", above[:, None] & shakes_only[None, :]))
    if holds(operation.settings):
        asked = np.logical_and.reduce([rows for _, rows in allowed])
        taken = [taken_of(give, mixed) for give, mixed in zip(*gives, strict=True)]
        hold = donors_hold(operation.hives, counts, taken, asked, operation.settings, queen)
        allowed.append((FLOOR_WORDS, hold))
    return allowed


def taken_of(give: Give, mixed: int = 0) -> Taken:
    """Return a give as what goes into boxes."""
    return Taken(give.capped, give.open - mixed, give.food, give.shake, mixed)


def look_at(
    operation: Operation,
    hives: list[Hive],
    counts: list[DayCount],
    gives: tuple[list[Give], list[int]],
    keep: KeepBack,
) -> Look:
    """Lay out counts as columns and gives (with the mixed frames in each) as rows, for the rules."""

    def column(values: list[float | None]) -> Floats:
        return np.array([np.nan if v is None else v for v in values], dtype=float).reshape(-1, 1)

    def row(values: list[int]) -> Floats:
        return np.array(values, dtype=float).reshape(1, -1)

    def flags(values: list[bool]) -> Bools:
        return np.array(values, dtype=bool).reshape(-1, 1)

    limit = operation.settings.limits.mites_per_100
    return Look(
        bees=column([c.bees for c in counts]),
        capped=column([c.capped for c in counts]),
        open=column([c.open for c in counts]),
        food=column([c.food for c in counts]),
        c=row([g.capped for g in gives[0]]),
        o=row([g.open - x for g, x in zip(*gives, strict=True)]),
        f=row([g.food for g in gives[0]]),
        s=row([g.shake for g in gives[0]]),
        x=row(gives[1]),
        no_capped=flags([(h.count.mites_per_100 or 0.0) > limit for h in hives]),
        no_food=flags([_treated(h, operation.day) for h in hives]),
        keep=keep,
        settings=operation.settings,
    )


def _treated(hive: Hive, day: date) -> bool:
    return hive.count.treated_until is not None and hive.count.treated_until >= day


def _maximal(
    row: Bools,
    gives: tuple[list[Give], list[int]],
    mixed: int,
    known: dict[tuple[bytes, int], tuple[Give, ...]],
) -> tuple[Give, ...]:
    """The gives allowed of which none holds another; giving nothing is always allowed."""

    def within(a: Give, b: Give) -> bool:
        return a.capped <= b.capped and a.open <= b.open and a.food <= b.food and a.shake <= b.shake

    key = row.tobytes(), mixed
    if key not in known:
        allowed = dict.fromkeys(g for g, ok in zip(gives[0], row, strict=True) if ok) or {Give(): None}
        known[key] = tuple(g for g in allowed if not any(g != h and within(g, h) for h in allowed))
    return known[key]


def _held_back(allowed: list[tuple[str, Bools]], most: tuple[Give, ...], index: dict[Give, int]) -> str:
    """Say which rule stops one more of each kind, for the hive whose rule rows are given."""
    could = Give(*(max(getattr(g, k) for g in most) for k in ("capped", "open", "food", "shake")))
    reasons: list[str] = []
    for kind, n in (
        ("capped", could.capped),
        ("open", could.open),
        ("food", could.food),
        ("shake", could.shake),
    ):
        column = index.get(Give(**{kind: n + 1}))
        if column is None:
            continue
        for words, row in allowed:
            if not row[column]:
                reasons.append(words)
                break
    unique = list(dict.fromkeys(reasons))
    return "held back by: " + "; ".join(unique) if unique else ""
