"""Which assumptions move the trough most: each made a tenth more and a tenth less, all else as it was."""

from dataclasses import dataclass, fields, replace

from routeplan.colony.forecast import Colonies, forecast
from routeplan.operation.colony_settings import Forecast

PART = 0.1


@dataclass(frozen=True)
class Moved:
    """What one assumption does: the mean trough in bees with a tenth less of it and with a tenth more.

    `name` is a setting of `forecast`, or "bees", "brood" (at the start) or "queen" (her first egg).
    """

    name: str
    less: float
    more: float

    @property
    def by(self) -> float:
        """Bees between the two troughs."""
        return abs(self.more - self.less)


def sensitivity(colonies: Colonies, assumed: Forecast, days: int) -> tuple[Moved, ...]:
    """Return what each assumption does to the mean trough, the strongest first; ties by name.

    What is counted (bees, brood) is tried beside what is assumed; survivals are not made more than 1, and the
    first day of eggs is tried three days earlier and later.
    """
    moved = []
    for f in fields(assumed):
        value = getattr(assumed, f.name)
        if isinstance(value, int):
            continue
        less, more = value * (1 - PART), value * (1 + PART)
        more = min(more, 1.0) if f.name.endswith("survival") else more
        pair = [mean_trough(colonies, replace(assumed, **{f.name: v}), days) for v in (less, more)]
        moved.append(Moved(f.name, *pair))
    moved += [_tried(name, colonies, assumed, days) for name in ("bees", "brood", "queen")]
    return tuple(sorted(moved, key=lambda m: (-m.by, m.name)))


def mean_trough(colonies: Colonies, assumed: Forecast, days: int) -> float:
    """Return the mean over the colonies of their fewest bees."""
    return float(forecast(colonies, assumed, days).trough.mean())


QUEEN_DAYS = 3


def _tried(name: str, colonies: Colonies, assumed: Forecast, days: int) -> Moved:
    def with_part(part: float) -> Colonies:
        if name == "bees":
            return replace(colonies, house=colonies.house * part, foragers=colonies.foragers * part)
        if name == "brood":
            return replace(colonies, brood=colonies.brood * part)
        shift = QUEEN_DAYS if part > 1 else -QUEEN_DAYS
        late = colonies.laying_from > 0
        return replace(colonies, laying_from=colonies.laying_from + shift * late)

    pair: list[float] = [mean_trough(with_part(p), assumed, days) for p in (1 - PART, 1 + PART)]
    return Moved(name, *pair)
