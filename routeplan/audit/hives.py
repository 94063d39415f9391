"""What stands in a hive on the day and which hives are queen mothers, worked out for the audit alone.

Stage lengths of worker brood: 9 days open (3 as eggs, 6 as larvae), 12 capped (common
practice). Counts are frames.
"""

from dataclasses import dataclass
from datetime import date
from statistics import median

from routeplan.operation.world import QUEENS_NOT_LAYING, Hive, Operation

OPEN_DAYS, CAPPED_DAYS = 9, 12
EPS = 1e-6
"""Slack in every comparison of frames."""


@dataclass(frozen=True)
class Strength:
    """Frames in a hive on the day; None is not known. `age` is days since it was counted."""

    age: int
    bees: float | None
    capped: float | None
    open: float | None
    food: float | None

    @property
    def brood(self) -> float | None:
        """Capped and open together; None when either is not known."""
        return None if self.capped is None or self.open is None else self.capped + self.open


def on_the_day(hive: Hive, day: date) -> Strength:
    """Return the hive's count rolled forward to the day."""
    count, laying = hive.count, is_laying(hive)
    age = max(0, (day - count.inspected).days) if count.inspected else 0
    capped, unsealed = _kinds(hive)
    if capped is None or unsealed is None:
        return Strength(age, count.bees, capped, unsealed, count.food)
    sealed_days = min(age, CAPPED_DAYS) if laying else min(age, OPEN_DAYS) - max(0, age - CAPPED_DAYS)
    capped = capped * max(0.0, 1 - age / CAPPED_DAYS) + unsealed / OPEN_DAYS * max(0, sealed_days)
    unsealed = unsealed if laying else unsealed * max(0.0, 1 - age / OPEN_DAYS)
    return Strength(age, count.bees, capped, unsealed, count.food)


def is_laying(hive: Hive) -> bool:
    """Whether eggs went on being laid since the count, as far as is known."""
    return hive.count.eggs_seen is not False and hive.queen not in QUEENS_NOT_LAYING


def _kinds(hive: Hive) -> tuple[float | None, float | None]:
    """Return capped and open as counted; a total is shared out by what is known, else by stage days."""
    brood, capped, unsealed = hive.count.brood, hive.count.capped, hive.count.open
    if brood is None or (capped is not None and unsealed is not None):
        return capped, unsealed
    if capped is not None:
        return capped, max(0.0, brood - capped)
    if unsealed is not None:
        return max(0.0, brood - unsealed), unsealed
    both = OPEN_DAYS + CAPPED_DAYS
    return brood * CAPPED_DAYS / both, brood * OPEN_DAYS / both


def queen_mothers(operation: Operation) -> frozenset[tuple[str, str]]:
    """Return the hives that may give eggs: those flagged, else the calmer ones above median brood."""
    flagged = frozenset(h.key for h in operation.hives if h.queen_mother)
    if flagged:
        return flagged
    brood = {h.key: on_the_day(h, operation.day).brood for h in operation.hives}
    known = [b for b in brood.values() if b is not None]
    if not known:
        return frozenset()
    middle = median(known)
    return frozenset(
        h.key for h in operation.hives if h.temper != "bad" and (brood[h.key] or 0.0) > middle + EPS
    )


def eggs_fault(hive: Hive, operation: Operation, mothers: frozenset[tuple[str, str]]) -> str | None:
    """Return why an egg frame of this hive may not be used, None when it may."""
    strength = on_the_day(hive, operation.day)
    if hive.key not in mothers:
        return "it is no queen mother"
    if hive.count.eggs_seen is not True:
        return "no eggs were seen in it"
    if strength.age > operation.settings.limits.eggs_days:
        return (
            f"its eggs were seen {strength.age} days ago, at most {operation.settings.limits.eggs_days} count"
        )
    return None
