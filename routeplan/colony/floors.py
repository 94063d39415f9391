"""Floors: how few bees a split and a donor may come down to until their own new bees emerge.

A floor holds when the lowest point of the forecast, fed as needed, is not below it. What must raise a queen
(a split, or what stays behind when the queen leaves) is held to the floor of splits, a donor that keeps its
laying queen to that of donors.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from routeplan.colony.counts import DayCount, count_on, is_laying
from routeplan.colony.forecast import Days, Floats, forecast, trough_ends
from routeplan.colony.halves import (
    PARTS,
    Half,
    Taken,
    as_row,
    brood_combs,
    colonies_of,
    content_of,
    donor_half,
    laying_after,
    laying_day,
    started,
    what_stays,
)
from routeplan.operation.settings import Settings
from routeplan.operation.world import Hive, Operation

HALF_A_BEE = 0.5
"""Slack in every comparison with a floor."""
FLOOR_WORDS = "bees it must have at its lowest"
ANY_DAY = date(2000, 1, 1)
"""Fed colonies fare alike on every date, so floors ask for none."""


def troughs(halves: Sequence[Half], settings: Settings) -> tuple[Floats, Days]:
    """Return the fewest bees of each half and the day of it, each (n,)."""
    if not halves:
        return np.zeros(0), np.zeros(0, dtype=np.int64)
    last = _last_day(np.array([h.laying_from for h in halves]), settings)
    course = forecast(colonies_of(halves, ANY_DAY, settings, last), settings.forecast, last)
    return course.trough, course.trough_day


def _last_day(laying_from: Days, settings: Settings) -> int:
    """Return the last day that any trough is looked for; 1 for no colony at all."""
    return int(trough_ends(laying_from, settings.forecast.days).max(initial=1))


def holds(settings: Settings) -> bool:
    """Whether plans must keep the floors, not only say where they fail."""
    return settings.floors.act == "hold"


def stays_floor(settings: Settings, laying: bool) -> float:
    """Return the floor of what stays behind: a donor's, or a split's where it must raise a queen."""
    return settings.floors.donor_bees if laying else settings.floors.split_bees


def donors_hold(
    hives: Sequence[Hive],
    counts: Sequence[DayCount],
    gives: Sequence[Taken],
    asked: NDArray[np.bool_],
    settings: Settings,
    queen_leaves: bool,
) -> NDArray[np.bool_]:
    """Return which give of which hive leaves it above its floor, whatever less it gives too, (hives, gives).

    Parameters
    ----------
    asked : (hives, gives) the gives all other rules allow; the rest is said to hold.
    """
    i, j = np.nonzero(asked)
    numbers = [[n or 0.0 for n in (c.bees, c.capped, c.open, c.food)] for c in counts]
    there = np.array(numbers).reshape(-1, len(PARTS))
    gone = np.array([as_row(content_of(g, settings)) for g in gives])
    stays, flying = what_stays(there[i], gone[j], settings)
    lays = np.array([laying_after(h, settings, queen_leaves) for h in hives], dtype=np.int64)[i]
    combs = np.array([brood_combs(h, settings) for h in hives])[i]
    frames = [hives[k].frame for k in i.tolist()]
    last = _last_day(lays, settings)
    low = forecast(
        started(stays, flying, combs, lays, frames, settings, last), settings.forecast, last
    ).trough
    fails = np.zeros(asked.shape, dtype=bool)
    fails[i, j] = (
        low < np.where(lays <= 0, settings.floors.donor_bees, settings.floors.split_bees) - HALF_A_BEE
    )
    sizes = np.array([(g.capped, g.open + g.mixed, g.food, g.shakes) for g in gives])
    within = (sizes[None, :, :] <= sizes[:, None, :]).all(axis=2)  # [give, less]
    return np.asarray(~((fails.astype(np.int64) @ within.T.astype(np.int64)) > 0))


def parent_half(operation: Operation, hive: Hive, parts: Sequence[Taken], queen: str) -> Half:
    """Return what stays behind of a hive split in its own right, by the way its parts get their queen."""
    settings = operation.settings
    half = donor_half(hive, count_on(hive, operation.day), parts, None, settings, queen == "parent's")
    if is_laying(hive) and queen != "parent's":
        return half
    way = "own cells" if hive.count.queen_cells == "charged" else "raise own"
    return replace(half, laying_from=laying_day(way, settings, half.content.open > 0))


def parts_hold(operation: Operation, hive: Hive, parts: Sequence[Taken], queen: str) -> bool:
    """Whether what stays behind of a hive split in its own right keeps its floor; nothing left has none."""
    half = parent_half(operation, hive, parts, queen)
    if half.content.bees <= 0:
        return True
    low, _ = troughs([half], operation.settings)
    return bool(low[0] >= stays_floor(operation.settings, half.laying_from <= 0) - HALF_A_BEE)
