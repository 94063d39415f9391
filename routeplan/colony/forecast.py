"""How many bees and how much brood each colony has from day to day.

All colonies are worked out at once; each day brood grows a day older, bees emerge, house bees turn foragers
and foragers die, then the queen lays as many eggs as she, the room and the bees allow. The adults follow the
two-compartment model of Khoury, Myerscough and Barron 2011 (PLoS ONE 6:e18491); the brood before them is in
cohorts of one day (egg 3, open larva 6, capped 12 days).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routeplan.colony.strength import CAPPED_DAYS, EGG_DAYS, LARVA_DAYS
from routeplan.operation.colony_settings import Forecast as Assumed

Floats = NDArray[np.float64]
Days = NDArray[np.int64]

BROOD_DAYS = EGG_DAYS + LARVA_DAYS + CAPPED_DAYS
NEVER = 1_000_000
"""A day that does not come."""
STEPS_PER_DAY = 2
STEP_DAYS = 1 / STEPS_PER_DAY
SETTLING_DAYS = 21
"""The trough is looked for until so many days after the first new bees."""


@dataclass(frozen=True)
class Colonies:
    """Colonies on the evening of day 0; n of them.

    `house`, `foragers` : (n,) bees. `brood` : (n, 21) cells by age in whole days, those just laid first.
    `laying_from` : (n,) day on which the first egg is laid, 0 or less where a queen lays already, NEVER
    where none will. `laying_per_day` : (n,) the most the queen lays. `room` : (n,) cells that brood may
    fill. `honey_g` : (n,) stores. `flow` : (n, days) whether there is a flow on days 1 to days. `fed` :
    (n,) whether it is fed all it needs.
    """

    house: Floats
    foragers: Floats
    brood: Floats
    laying_from: Days
    laying_per_day: Floats
    room: Floats
    honey_g: Floats
    flow: NDArray[np.bool_]
    fed: NDArray[np.bool_]


BY_DAY = (
    *("house", "foragers", "eggs", "larvae", "capped", "honey_g", "sugar_need_g"),
    *("laid", "emerged", "died", "brood_died"),
)


@dataclass(frozen=True)
class Course:
    """How the colonies fare; arrays are (n, days + 1), day 0 first, but for those named otherwise.

    `eggs`, `larvae`, `capped` are cells, `honey_g` is what stores are left, `sugar_need_g` : (n, days + 1)
    honey that would have to be fed that day. `laid`, `emerged`, `died`, `brood_died` are what happened on
    the day. `trough`, `trough_day` : (n,) fewest bees, and when, from day 0 until 21 days after the first
    new bees (or the last day). `new_bees_day` : (n,) first day on which a bee of the colony's own eggs
    emerges, NEVER if none.
    """

    house: Floats
    foragers: Floats
    eggs: Floats
    larvae: Floats
    capped: Floats
    honey_g: Floats
    sugar_need_g: Floats
    laid: Floats
    emerged: Floats
    died: Floats
    brood_died: Floats
    trough: Floats
    trough_day: Days
    new_bees_day: Days

    @property
    def adults(self) -> Floats:
        """House bees and foragers, (n, days + 1)."""
        return self.house + self.foragers

    @property
    def brood(self) -> Floats:
        """Cells of all ages, (n, days + 1)."""
        return self.eggs + self.larvae + self.capped

    def day_with(self, bees: Floats | float) -> Days:
        """Return the first day from its trough on, (n,), with so many bees; NEVER if none."""
        days = np.arange(self.house.shape[1])
        there = (self.adults >= np.reshape(bees, (-1, 1))) & (days >= self.trough_day[:, None])
        return np.where(there.any(axis=1), there.argmax(axis=1), NEVER)


def forager_share(life_days: float, assumed: Assumed) -> float:
    """Return the part of all bees that are foragers where emerging and dying are even.

    House bees turn foragers at recruit_per_day - recruit_less * share; the share is where the time as a
    house bee and the time as a forager make up the whole life.
    """
    a, s = assumed.recruit_per_day, assumed.recruit_less
    return float(((a + s) - np.sqrt((a + s) ** 2 - 4 * s * (a - 1 / life_days))) / (2 * s))


def forager_death_per_day(life_days: float, assumed: Assumed) -> float:
    """Return the share of foragers that die in a day, so that a worker lives so long on the whole."""
    return 1 / (life_days * forager_share(life_days, assumed))


def adult_change(
    house: Floats, foragers: Floats, emerging: Floats, death: Floats, starved: Floats, assumed: Assumed
) -> tuple[Floats, Floats, Floats]:
    """Return the change per day of house bees, of foragers, and how many die.

    Where more than recruit_per_day / recruit_less (a third) are foragers, foragers turn back to the house.
    """
    bees = house + foragers
    share = np.divide(foragers, bees, out=np.zeros_like(bees), where=bees > 0)
    turning = house * (assumed.recruit_per_day - assumed.recruit_less * share)
    dying = death * foragers
    return (
        emerging - turning - starved * house,
        turning - dying - starved * foragers,
        dying + starved * bees,
    )


def adults_next_day(
    house: Floats, foragers: Floats, emerging: Floats, death: Floats, starved: Floats, assumed: Assumed
) -> tuple[Floats, Floats, Floats]:
    """Return house bees, foragers, and the dead, a day on: two steps of the classic Runge-Kutta rule."""
    dead = np.zeros_like(house)
    for _ in range(STEPS_PER_DAY):
        house, foragers, died = _step(house, foragers, emerging, death, starved, assumed)
        dead = dead + died
    return house, foragers, dead


def _step(
    house: Floats, foragers: Floats, emerging: Floats, death: Floats, starved: Floats, assumed: Assumed
) -> tuple[Floats, Floats, Floats]:
    def change(k: tuple[Floats, Floats, Floats], part: float) -> tuple[Floats, Floats, Floats]:
        return adult_change(house + part * k[0], foragers + part * k[1], emerging, death, starved, assumed)

    zero = np.zeros_like(house)
    k1 = change((zero, zero, zero), 0.0)
    k2 = change(k1, STEP_DAYS / 2)
    k3 = change(k2, STEP_DAYS / 2)
    k4 = change(k3, STEP_DAYS)
    step = [(a + 2 * b + 2 * c + d) * STEP_DAYS / 6 for a, b, c, d in zip(k1, k2, k3, k4, strict=True)]
    return house + step[0], foragers + step[1], step[2]


def even_brood(eggs: Floats, larvae: Floats, capped: Floats) -> Floats:
    """Return cells by age, (n, 21), each stage spread evenly over its days."""
    stages = ((eggs, EGG_DAYS), (larvae, LARVA_DAYS), (capped, CAPPED_DAYS))
    parts = [np.repeat(np.asarray(cells, dtype=float)[:, None] / n, n, axis=1) for cells, n in stages]
    return np.concatenate(parts, axis=1)


def forecast(colonies: Colonies, assumed: Assumed, days: int) -> Course:
    """Work out `days` days of all colonies. Raises ValueError where the arrays do not fit together."""
    n = len(colonies.house)
    if colonies.brood.shape != (n, BROOD_DAYS) or colonies.flow.shape != (n, days):
        raise ValueError("brood must be (colonies, 21) and flow (colonies, days)")
    house, foragers, honey = colonies.house.copy(), colonies.foragers.copy(), colonies.honey_g.copy()
    brood = np.ascontiguousarray(colonies.brood.T)
    death = np.full(n, forager_death_per_day(assumed.life_days, assumed))
    nothing = np.zeros(n)
    kept = [[house, foragers, *_stages(brood), honey, nothing, nothing, nothing, nothing, nothing]]
    for day in range(1, days + 1):
        need = assumed.adult_food_g * (house + foragers) + assumed.larva_food_g * brood[3:9].sum(axis=0)
        income = np.where(colonies.flow[:, day - 1], assumed.forager_income_g * foragers, 0.0)
        there = honey + income
        share = np.divide(there, need, out=np.ones(n), where=need > there)
        share = np.where(colonies.fed, 1.0, share)
        honey = np.maximum(there - need, 0.0)
        brood, emerged, brood_died = _a_day_older(brood, share, assumed)
        starved = assumed.starved_per_day * (1 - share)
        house, foragers, died = adults_next_day(house, foragers, emerged, death, starved, assumed)
        laid = _laid(colonies, house + foragers, brood, day, assumed) * share
        brood[0] = laid
        short = np.maximum(need - there, 0.0)
        kept.append(
            [house, foragers, *_stages(brood), honey, short, laid, emerged, died, brood_died],
        )
    arrays = [np.stack(column, axis=1) for column in zip(*kept, strict=True)]
    trough, trough_day, new_bees = _turning_points(colonies, arrays[0] + arrays[1], arrays[7])
    by_name = dict(zip(BY_DAY, arrays, strict=True))
    return Course(**by_name, trough=trough, trough_day=trough_day, new_bees_day=new_bees)


def _stages(brood: Floats) -> tuple[Floats, Floats, Floats]:
    """Eggs, open larvae, capped cells, each (n,), from (21, n)."""
    capped_from = EGG_DAYS + LARVA_DAYS
    return (
        brood[:EGG_DAYS].sum(axis=0),
        brood[EGG_DAYS:capped_from].sum(axis=0),
        brood[capped_from:].sum(axis=0),
    )


def _a_day_older(brood: Floats, fed_share: Floats, assumed: Assumed) -> tuple[Floats, Floats, Floats]:
    """Brood a day older with room for new eggs, bees that emerge, cells that die; brood is (21, n)."""
    capped_from = EGG_DAYS + LARVA_DAYS
    older = np.empty_like(brood)
    older[0] = 0.0
    older[1:] = brood[:-1]
    older[EGG_DAYS] *= assumed.egg_survival
    older[EGG_DAYS:capped_from] *= fed_share
    older[capped_from] *= assumed.larva_survival
    emerged = brood[-1] * assumed.capped_survival
    return older, emerged, brood.sum(axis=0) - older.sum(axis=0) - emerged


def _laid(colonies: Colonies, bees: Floats, brood: Floats, day: int, assumed: Assumed) -> Floats:
    """Eggs laid on the day: what the queen can, the bees care for and the room allows, whichever is least."""
    since = day - colonies.laying_from + 1
    ramp = np.clip(since / max(1.0, assumed.young_queen_days), 0.0, 1.0)
    pace = np.where(since > 0, colonies.laying_per_day * np.where(colonies.laying_from <= 0, 1.0, ramp), 0.0)
    care = assumed.care_per_day * bees / (assumed.care_half_bees + bees)
    free: Floats = np.maximum(colonies.room - brood.sum(axis=0), 0.0)
    least: Floats = np.minimum(np.minimum(pace, care), free)
    return least


def trough_ends(laying_from: Days, days: int) -> Days:
    """Return the last day, (n,), on which the trough is looked for: three weeks after new bees are due."""
    due: Days = np.maximum(laying_from, 1) + BROOD_DAYS + SETTLING_DAYS
    return np.minimum(due, days)


def _turning_points(colonies: Colonies, adults: Floats, laid: Floats) -> tuple[Floats, Days, Days]:
    """Trough, its day, and the first day of new bees, each (n,)."""
    days = np.arange(adults.shape[1])
    emerges = np.where((laid > 0).any(axis=1), (laid > 0).argmax(axis=1) + BROOD_DAYS, NEVER)
    new_bees = np.where(emerges < len(days), emerges, NEVER)
    ends = trough_ends(colonies.laying_from, adults.shape[1] - 1)
    seen = np.where(days[None, :] <= ends[:, None], adults, np.inf)
    trough_day = seen.argmin(axis=1)
    return seen.min(axis=1), trough_day, new_bees
