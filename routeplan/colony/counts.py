"""What a hive holds on the day: the newest count rolled forward.

Stage lengths are the standard ones (egg 3 d, open larva 6 d, capped 12 d): open brood lasts 9 days and
capped brood 12, so a steadily laid brood nest keeps capped : open = 12 : 9.
"""

from dataclasses import dataclass
from datetime import date

from routeplan.operation.world import QUEENS_NOT_LAYING, Hive

OPEN_DAYS = 9
CAPPED_DAYS = 12


@dataclass(frozen=True)
class DayCount:
    """Frames on the day; None is not known. `estimated`: the kinds of brood come from a total."""

    bees: float | None
    capped: float | None
    open: float | None
    food: float | None
    age_days: int
    estimated: bool

    @property
    def brood(self) -> float | None:
        """Capped and open together."""
        return None if self.capped is None or self.open is None else self.capped + self.open


def kinds_of_brood(hive: Hive) -> tuple[float | None, float | None, bool]:
    """Return (capped, open, estimated) frames of the newest count; a total alone is shared 12 : 9."""
    count = hive.count
    if count.brood is None or (count.capped is not None and count.open is not None):
        return count.capped, count.open, False
    if count.capped is not None:
        return count.capped, max(0.0, count.brood - count.capped), False
    if count.open is not None:
        return max(0.0, count.brood - count.open), count.open, False
    whole = OPEN_DAYS + CAPPED_DAYS
    return count.brood * CAPPED_DAYS / whole, count.brood * OPEN_DAYS / whole, True


def is_laying(hive: Hive) -> bool:
    """Whether eggs went on being laid after the count, as far as the record says."""
    return hive.count.eggs_seen is not False and hive.queen not in QUEENS_NOT_LAYING


def count_on(hive: Hive, day: date) -> DayCount:
    """Roll a hive's newest count forward to `day`. Bees and food are held; undated is as of the day."""
    inspected = hive.count.inspected
    age = max(0, (day - inspected).days) if inspected else 0
    capped, open_, estimated = kinds_of_brood(hive)
    if capped is not None and open_ is not None and age:
        capped, open_ = _rolled(capped, open_, age, is_laying(hive))
    return DayCount(hive.count.bees, capped, open_, hive.count.food, age, estimated)


def _rolled(capped: float, open_: float, days: int, laying: bool) -> tuple[float, float]:
    """Brood after `days`: old capped emerges evenly over 12 days, open brood is capped evenly over 9."""
    sealed_days = min(days, CAPPED_DAYS)
    if not laying:
        sealed_days = min(days, OPEN_DAYS) - max(0, days - CAPPED_DAYS)
    left = max(0.0, 1 - days / CAPPED_DAYS)
    capped_now = capped * left + open_ / OPEN_DAYS * max(0, sealed_days)
    open_now = open_ if laying else open_ * max(0.0, 1 - days / OPEN_DAYS)
    return capped_now, open_now
