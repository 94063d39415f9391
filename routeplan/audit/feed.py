"""Sugar that a split needs in the weeks after, by the plain loop of floors.py with its stores."""

from collections import Counter
from datetime import timedelta
from functools import lru_cache

from routeplan.audit.case import Case
from routeplan.audit.floors import (
    OPEN,
    bees_on_frame,
    cells_on_frame,
    colony_of,
    content,
    first_egg,
    live_a_day,
)
from routeplan.operation.settings import Settings
from routeplan.operation.world import Kit, Yard
from routeplan.plan import Split

HATCHED = 3
"""Age in days from which open brood is fed."""
FULL_AT = 0.5
"""Part of the combs that may be full of stores at most (common practice)."""


def sugar_kg(case: Case, split: Split, yard: Yard) -> float:
    """Sugar for one split at a yard: as set where no flow is, else what it needs."""
    operation, settings = case.operation, case.operation.settings
    if settings.costs.sugar_per_split_kg is not None:
        return 0.0 if yard.has_flow(operation.day, settings.dearth) else settings.costs.sugar_per_split_kg
    kit, got = case.kits.get(split.kit, Kit(split.kit)), case.received[split.id]
    unsealed = got["open"] + got["eggs"] + got["mixed"]
    frames = (got["capped"], unsealed, 0 if split.swap else kit.food, got["shake"])
    comb = kit.food if split.swap == "food comb" else 0
    days = settings.feed.until_days
    flow = tuple(yard.has_flow(operation.day + timedelta(day), settings.dearth) for day in range(1, days + 1))
    return needed(frames, comb, split.queen, split.frame, kit.combs, flow, settings)


@lru_cache(maxsize=1024)
def needed(
    frames: tuple[int, int, int, int],
    from_home: int,
    queen: str,
    frame: str,
    combs: int,
    flow: tuple[bool, ...],
    settings: Settings,
) -> float:
    """Kilograms to a tenth: on each feeding day so much that stores keep the reserve until the next."""
    full_g = (
        bees_on_frame(frame, settings) / settings.strength.bees_per_cm2 * settings.strength.honey_g_per_cm2
    )
    changes, stores = _changes(frames, from_home, queen, frame, combs, flow, settings, full_g)
    feed, most, given = settings.feed, FULL_AT * combs * full_g, 0.0
    for first in range(0, len(flow), max(1, feed.every_days)):
        stretch = changes[first : min(first + feed.every_days, len(flow))]
        low, now = float("inf"), stores
        for change in stretch:
            now += change
            low = min(low, now)
        honey = max(0.0, 1000.0 * feed.reserve_kg - low)
        given, stores = given + honey, stores + honey
        for change in stretch:
            stores = min(stores + change, max(most, stores))
    return round(given * feed.sugar_per_honey / 1000.0, 1)


def _changes(
    frames: tuple[int, int, int, int],
    from_home: int,
    queen: str,
    frame: str,
    combs: int,
    flow: tuple[bool, ...],
    settings: Settings,
    full_g: float,
) -> tuple[list[float], float]:
    """What comes in less what is eaten, grams of honey by day, and the stores on the evening of the day."""
    got = Counter(capped=frames[0], open=frames[1], food=frames[2], shake=frames[3])
    what, assumed = content(got, got, settings), settings.forecast
    lays = first_egg(queen, settings)
    colony = colony_of(what, assumed.foragers_on_frames, frame, combs, lays, settings)
    colony.room -= min(colony.room, from_home * cells_on_frame(frame, settings))
    stores = (what.food + from_home) * full_g * (1 - settings.strength.pollen_share)
    changes = []
    for day, flows in enumerate(flow, 1):
        eaten = assumed.adult_food_g * (colony.house + colony.flying)
        eaten += assumed.larva_food_g * sum(colony.brood[HATCHED:OPEN])
        changes.append((assumed.forager_income_g * colony.flying if flows else 0.0) - eaten)
        live_a_day(colony, day, settings)
    return changes, stores
