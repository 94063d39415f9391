"""What leaves and what stays as colonies: from frames on the splitting day to the start of a forecast.

Frames are real combs, hence mixed: of a capped frame a part is open brood and a part food, of an open frame a
part is food (`mixed` settings). What a split gets is exactly what its donors lose.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from routeplan.colony.counts import DayCount, is_laying
from routeplan.colony.forecast import NEVER, Colonies, even_brood, forager_share
from routeplan.colony.strength import frame_holds
from routeplan.colony.timeline import timeline
from routeplan.operation.settings import Settings
from routeplan.operation.world import Hive, Yard


@dataclass(frozen=True)
class Taken:
    """Frames that leave a hive or go into a box; `mixed` frames are half capped, half open brood."""

    capped: float = 0.0
    open: float = 0.0
    food: float = 0.0
    shakes: float = 0.0
    mixed: float = 0.0

    @property
    def brood_frames(self) -> float:
        """Frames with brood on them."""
        return self.capped + self.open + self.mixed


@dataclass(frozen=True)
class Content:
    """What combs hold, each kind in frames full of it; `bees` in frames of bees."""

    bees: float
    capped: float
    open: float
    food: float


@dataclass(frozen=True)
class Half:
    """One colony on the evening of the splitting day: what is in it, its combs, its queen, where it stands.

    `combs` in its brood boxes. `laying_from`: day of the first egg, 0 where a queen lays already, NEVER
    where none will. `foragers`: part of its bees that fly out.
    """

    frame: str
    content: Content
    combs: float
    laying_from: int
    yard: Yard | None
    foragers: float
    fed: bool = True


def content_of(taken: Taken, settings: Settings) -> Content:
    """Return what is on the frames and in the shakes."""
    bees, mixed = settings.bees, settings.mixed
    open_too, food_too = mixed.open_with_capped, mixed.food_with_brood
    whole = max(0.0, 1 - food_too)
    return Content(
        bees=bees.per_brood_frame * taken.brood_frames
        + bees.per_food_frame * taken.food
        + bees.per_shake * taken.shakes,
        capped=max(0.0, whole - open_too) * taken.capped + whole / 2 * taken.mixed,
        open=min(whole, open_too) * taken.capped + whole * taken.open + whole / 2 * taken.mixed,
        food=taken.food + (1 - whole) * taken.brood_frames,
    )


def laying_day(way: str, settings: Settings, open_brood: bool = True) -> int:
    """Return the day of the first egg by the way to a queen: the middle of its range, rounded up."""
    early, late = timeline(way, settings.queens, open_brood).eggs
    return math.ceil((early + late) / 2)


def split_half(
    taken: Taken,
    way: str,
    frame: str,
    combs: float,
    yard: Yard | None,
    settings: Settings,
    near: bool = False,
) -> Half:
    """Return a split on its new stand.

    Parameters
    ----------
    taken : frames and shakes it was made of. way : a word of QUEEN_WAYS. combs : in its box.
    yard : where it stands. near : whether that is nearer than the minimum distance to its old one, so that
        bees fly home.
    """
    content, foragers = content_of(taken, settings), settings.forecast.foragers_on_frames
    if near:
        lost = settings.forecast.lost_if_near
        stay = max(0.0, 1 - lost)
        content = replace(content, bees=content.bees * stay)
        foragers = max(0.0, foragers - lost) / stay if stay else 0.0
    return Half(frame, content, combs, laying_day(way, settings, content.open > 0), yard, foragers)


def donor_half(
    hive: Hive,
    count: DayCount,
    taken: Sequence[Taken],
    yard: Yard | None,
    settings: Settings,
    queen_leaves: bool = False,
    flown_home: float = 0.0,
) -> Half:
    """Return a hive after frames left it; food not known is taken as none.

    Raises ValueError where its bees or brood are not known.

    Parameters
    ----------
    taken : what left, one item a split. queen_leaves : whether its queen went with it.
    flown_home : frames of bees that came back from splits placed too near.
    """
    if count.bees is None or count.capped is None or count.open is None:
        raise ValueError(f"{hive.key}: bees and brood must be known")
    gone = [content_of(t, settings) for t in taken]
    out = sum(g.bees for g in gone)
    content = Content(
        bees=max(0.0, count.bees - out) + flown_home,
        capped=max(0.0, count.capped - sum(g.capped for g in gone)),
        open=max(0.0, count.open - sum(g.open for g in gone)),
        food=max(0.0, (count.food or 0.0) - sum(g.food for g in gone)),
    )
    assumed = settings.forecast
    flying = forager_share(assumed.life_days, assumed) * count.bees - assumed.foragers_on_frames * out
    share = min(1.0, max(0.0, flying + flown_home) / content.bees) if content.bees > 0 else 0.0
    lays = 0 if is_laying(hive) else NEVER
    if queen_leaves:
        lays = laying_day("raise own", settings)
    combs = hive.boxes * settings.strength.combs_per_box
    return Half(hive.frame, content, combs, lays, yard, share)


def colonies_of(halves: Sequence[Half], day: date, settings: Settings, days: int) -> Colonies:
    """Return the halves as the start of a forecast of `days` days from the splitting day, in their order."""
    holds = [frame_holds(h.frame, settings.strength) for h in halves]
    yards = {h.yard.id: h.yard for h in halves if h.yard}
    flows = {y: _flow(yard, day, settings, days) for y, yard in yards.items()}
    no_flow = [False] * days

    def row(values: list[float]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return np.array(values, dtype=float)

    pairs = list(zip(halves, holds, strict=True))
    bees = row([h.content.bees * w.bees for h, w in pairs])
    flying = row([h.foragers for h in halves])
    open_cells = row([h.content.open * w.brood_cells for h, w in pairs])
    honey_share = 1 - settings.strength.pollen_share
    return Colonies(
        house=bees * (1 - flying),
        foragers=bees * flying,
        brood=even_brood(
            open_cells / 3, open_cells * 2 / 3, row([h.content.capped * w.brood_cells for h, w in pairs])
        ),
        laying_from=np.array([h.laying_from for h in halves], dtype=np.int64),
        laying_per_day=np.full(len(halves), settings.forecast.laying_per_day),
        room=row([max(0.0, h.combs - h.content.food) * w.brood_cells for h, w in pairs]),
        honey_g=row([h.content.food * w.honey_g * honey_share for h, w in pairs]),
        flow=np.array([flows[h.yard.id] if h.yard else no_flow for h in halves], dtype=bool).reshape(
            len(halves), days
        ),
        fed=np.array([h.fed for h in halves], dtype=bool),
    )


def _flow(yard: Yard, day: date, settings: Settings, days: int) -> list[bool]:
    return [yard.has_flow(day + timedelta(days=d), settings.dearth) for d in range(1, days + 1)]
