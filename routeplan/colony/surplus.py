"""What each hive can give and still keep its keep-back, with the reason it gives no more."""

from dataclasses import dataclass
from datetime import date
from statistics import median

import numpy as np

from routeplan.colony.counts import DayCount, count_on
from routeplan.colony.keeping import EPS, RULES, Bools, Floats, Look
from routeplan.operation.settings import Settings
from routeplan.operation.world import HEALTH_USABLE, QUEENS_NOT_LAYING, Hive, Operation


@dataclass(frozen=True, order=True)
class Give:
    """Whole frames that leave one hive, and shakes of one frame's bees."""

    capped: int = 0
    open: int = 0
    food: int = 0
    shake: int = 0


@dataclass(frozen=True)
class Surplus:
    """One hive's surplus: `most` are the gives of which none holds another; all below them are allowed."""

    hive: Hive
    count: DayCount
    most: tuple[Give, ...]
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
    counts = [count_on(hive, operation.day) for hive in operation.hives]
    gives = _gives(operation.settings)
    look = _look(operation, counts, gives)
    shape = (len(counts), len(gives))
    allowed = [np.broadcast_to(rule(look), shape) for _, rule in RULES]
    all_allowed = np.logical_and.reduce(allowed)
    mothers = queen_mothers(operation, counts)
    most_of: dict[bytes, tuple[Give, ...]] = {}
    index = {give: j for j, give in enumerate(gives)}
    yard_health = {yard.id: yard.health for yard in operation.yards}
    result = {}
    for i, (hive, count) in enumerate(zip(operation.hives, counts, strict=True)):
        blocked = gives_nothing(operation.settings, hive, count, yard_health[hive.yard])
        row = all_allowed[i]
        if blocked or not row.any():
            most: tuple[Give, ...] = (Give(),)
        else:
            if (key := row.tobytes()) not in most_of:
                most_of[key] = _maximal([g for g, ok in zip(gives, row, strict=True) if ok])
            most = most_of[key]
        reason = blocked or _held_back([a[i] for a in allowed], most, index)
        result[hive.key] = Surplus(hive, count, most, hive.key in mothers, reason)
    return result


def gives_nothing(settings: Settings, hive: Hive, count: DayCount, yard_health: str) -> str:
    """Return why a hive gives nothing whatever it holds, "" when it may give."""
    if hive.health not in HEALTH_USABLE:
        return f"health {hive.health}: nothing leaves"
    if yard_health not in HEALTH_USABLE:
        return f"yard health {yard_health}: nothing leaves"
    if not hive.may_give:
        return "set to give nothing"
    if hive.queen in QUEENS_NOT_LAYING:
        return f"{hive.queen}: no frames leave"
    if hive.count.queen_cells == "charged":
        return "charged queen cells: split it in its own right"
    unknown = [name for name, value in (("bees", count.bees), ("brood", count.brood)) if value is None]
    if count.food is None and settings.keep_back.food > 0:
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
    fresh = operation.settings.limits.eggs_days
    return {
        h.key
        for h, c, yes in zip(hives, counts, chosen, strict=True)
        if yes and h.count.eggs_seen is True and c.age_days <= fresh
    }


def _gives(settings: Settings) -> list[Give]:
    """Every give up to one more than the limits, so that the limits show as reasons too."""
    limits = settings.limits
    brood = max(limits.brood_per_donor, limits.brood_per_strong_donor) + 1
    return [
        Give(c, o, f, s)
        for c in range(brood + 1)
        for o in range(brood + 1 - c)
        for f in range(limits.food_per_donor + 2)
        for s in range(limits.shakes_per_donor + 2)
    ]


def _look(operation: Operation, counts: list[DayCount], gives: list[Give]) -> Look:
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
        c=row([g.capped for g in gives]),
        o=row([g.open for g in gives]),
        f=row([g.food for g in gives]),
        s=row([g.shake for g in gives]),
        no_capped=flags([(h.count.mites_per_100 or 0.0) > limit for h in operation.hives]),
        no_food=flags([_treated(h, operation.day) for h in operation.hives]),
        settings=operation.settings,
    )


def _treated(hive: Hive, day: date) -> bool:
    return hive.count.treated_until is not None and hive.count.treated_until >= day


def _maximal(gives: list[Give]) -> tuple[Give, ...]:
    def within(a: Give, b: Give) -> bool:
        return a.capped <= b.capped and a.open <= b.open and a.food <= b.food and a.shake <= b.shake

    return tuple(g for g in gives if not any(g != h and within(g, h) for h in gives))


def _held_back(allowed: list[Bools], most: tuple[Give, ...], index: dict[Give, int]) -> str:
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
        for (words, _), row in zip(RULES, allowed, strict=True):
            if not row[column]:
                reasons.append(words)
                break
    unique = list(dict.fromkeys(reasons))
    return "held back by: " + "; ".join(unique) if unique else ""
