"""How much feed colonies need and when, and what syrup it makes. Syrup is mixed by mass."""

from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

import numpy as np

from routeplan.colony.forecast import Course, Floats, forecast
from routeplan.colony.halves import Taken, colonies_of, split_half
from routeplan.colony.strength import frame_holds
from routeplan.operation.colony_settings import Feed
from routeplan.operation.settings import Settings
from routeplan.operation.world import Place, Yard


@dataclass(frozen=True)
class Syrup:
    """A mixture of sugar and water by mass; `kg_per_l` its density at 20 °C."""

    name: str
    sugar_parts: float
    water_parts: float
    kg_per_l: float

    @property
    def sugar_share(self) -> float:
        """Sugar in a kilogram of it, kg."""
        return self.sugar_parts / (self.sugar_parts + self.water_parts)

    def litres(self, sugar_kg: float) -> float:
        """Litres made from so much sugar."""
        return sugar_kg / self.sugar_share / self.kg_per_l

    def sugar_kg(self, litres: float) -> float:
        """Sugar in so many litres."""
        return litres * self.kg_per_l * self.sugar_share

    def water_kg(self, sugar_kg: float) -> float:
        """Water that goes with so much sugar; a kilogram is a litre."""
        return sugar_kg * self.water_parts / self.sugar_parts


THIN = Syrup("1 : 1", 1.0, 1.0, 1.23)
THICK = Syrup("2 : 1", 2.0, 1.0, 1.33)
"""Densities of sucrose in water at 50 and at 66.7 % by mass (from memory)."""


def syrup_for(season: str) -> Syrup:
    """Return the usual syrup: thin while colonies build up, thick for stores late in the season."""
    return THICK if season == "late season" else THIN


def water_to_thin_kg(syrup_kg: float, thick: Syrup, thin: Syrup) -> float:
    """Return the water that turns so much thick syrup into thin."""
    return syrup_kg * (thick.sugar_share / thin.sugar_share - 1)


STORES_SHARE = 0.5
"""Part of the combs that may be full of stores at most (common practice)."""


@lru_cache(maxsize=4096)
def split_sugar_kg(
    taken: Taken,
    from_home: int,
    way: str,
    frame: str,
    combs: int,
    flow: tuple[date | None, date | None],
    day: date,
    settings: Settings,
) -> float:
    """Return the sugar that one split needs on all feeding days, to a tenth of a kilogram.

    Parameters
    ----------
    taken : what it is made of. from_home : combs of food from stock. way : a word of QUEEN_WAYS.
    flow : first and last day of its yard's flow.
    """
    yard = Yard("", Place(0.0, 0.0), flow_from=flow[0], flow_until=flow[1])
    half = split_half(taken, way, frame, combs, yard, settings)
    half = replace(half, content=replace(half.content, food=half.content.food + from_home))
    feed = settings.feed
    course = forecast(colonies_of([half], day, settings, feed.until_days), settings.forecast, feed.until_days)
    most = np.array([STORES_SHARE * combs * frame_holds(frame, settings.strength).honey_g])
    return round(float(sugar_needed_kg(course, most, feed).sum()), 1)


def feeding_days(feed: Feed) -> range:
    """Return the days after the splitting day on which feed is given, the day itself first."""
    return range(0, feed.until_days, max(1, feed.every_days))


def sugar_needed_kg(course: Course, most_honey_g: Floats, feed: Feed) -> Floats:
    """Return the sugar each colony needs on each feeding day, (n, feeding days).

    On a feeding day so much is given that its stores stay above the reserve until the next one, as a course
    of colonies fed all they need lets them fall and rise.

    Parameters
    ----------
    course : colonies fed all they need, at least `until_days` long.
    most_honey_g : (n,) what the combs of each can hold; more of a flow is not stored.
    """
    left = course.honey_g - course.sugar_need_g
    change = left[:, 1:] - course.honey_g[:, :-1]
    stores, reserve = course.honey_g[:, 0].copy(), 1000.0 * feed.reserve_kg
    given = []
    for day in feeding_days(feed):
        until = min(day + feed.every_days, feed.until_days)
        low = (stores[:, None] + np.cumsum(change[:, day:until], axis=1)).min(axis=1)
        honey = np.maximum(reserve - low, 0.0)
        stores = stores + honey
        for now in range(day, until):
            stores = np.minimum(stores + change[:, now], np.maximum(most_honey_g, stores))
        given.append(honey * feed.sugar_per_honey / 1000.0)
    return np.stack(given, axis=1)
