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
from routeplan.colony.forecast import NEVER, Colonies, Days, Floats, even_brood, forager_share
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


PARTS = ("bees", "capped", "open", "food")
"""Order of what combs hold where it is written as numbers: frames of bees, then frames full of each."""


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
    there = np.array([count.bees, count.capped, count.open, count.food or 0.0])
    gone = sum((as_row(content_of(t, settings)) for t in taken), np.zeros(len(PARTS)))
    stays, share = what_stays(there, gone, settings, flown_home)
    lays = laying_after(hive, settings, queen_leaves)
    return Half(hive.frame, Content(*stays.tolist()), brood_combs(hive, settings), lays, yard, float(share))


def laying_after(hive: Hive, settings: Settings, queen_leaves: bool) -> int:
    """Return the day of the first egg in a hive that gave: 0 where its queen stays and lays."""
    if queen_leaves:
        return laying_day("raise own", settings)
    return 0 if is_laying(hive) else NEVER


def brood_combs(hive: Hive, settings: Settings) -> float:
    """Return the combs in a hive's brood boxes."""
    return hive.boxes * settings.strength.combs_per_box


def as_row(content: Content) -> Floats:
    """Write what combs hold as numbers in the order of PARTS."""
    return np.array([content.bees, content.capped, content.open, content.food])


def what_stays(
    there: Floats, gone: Floats, settings: Settings, flown_home: float = 0.0
) -> tuple[Floats, Floats]:
    """Return what stays of hives, (..., 4) in the order of PARTS, and the part of its bees that fly out.

    Parameters
    ----------
    there, gone : (..., 4) what was there and what left. flown_home : frames of bees that came back.
    """
    assumed = settings.forecast
    stays = np.maximum(there - gone, 0.0)
    stays[..., 0] += flown_home
    bees = stays[..., 0]
    flying = forager_share(assumed.life_days, assumed) * there[..., 0]
    flying = np.maximum(flying - assumed.foragers_on_frames * gone[..., 0] + flown_home, 0.0)
    share = np.divide(flying, bees, out=np.zeros_like(bees), where=bees > 0)
    return stays, np.minimum(share, 1.0)


def colonies_of(halves: Sequence[Half], day: date, settings: Settings, days: int) -> Colonies:
    """Return the halves as the start of a forecast of `days` days from the splitting day, in their order."""
    yards = {h.yard.id: h.yard for h in halves if h.yard}
    flows = {y: _flow(yard, day, settings, days) for y, yard in yards.items()}
    no_flow = [False] * days
    start = started(
        np.array([as_row(h.content) for h in halves]).reshape(-1, len(PARTS)),
        np.array([h.foragers for h in halves]),
        np.array([h.combs for h in halves]),
        np.array([h.laying_from for h in halves], dtype=np.int64),
        [h.frame for h in halves],
        settings,
        days,
    )
    flow = [flows[h.yard.id] if h.yard else no_flow for h in halves]
    return replace(
        start,
        flow=np.array(flow, dtype=bool).reshape(len(halves), days),
        fed=np.array([h.fed for h in halves], dtype=bool),
    )


def started(
    frames: Floats,
    flying: Floats,
    combs: Floats,
    laying_from: Days,
    formats: Sequence[str],
    settings: Settings,
    days: int,
) -> Colonies:
    """Return the start of a forecast of colonies that are fed and have no flow.

    Parameters
    ----------
    frames : (n, 4) frames in the order of PARTS. flying : (n,) part of the bees that fly out.
    combs : (n,) in the brood boxes. laying_from : (n,) day of the first egg. formats : n names.
    """
    n = len(formats)
    holds = {name: frame_holds(name, settings.strength) for name in set(formats)}
    bees = frames[:, 0] * np.array([holds[name].bees for name in formats])
    cells = np.array([holds[name].brood_cells for name in formats])
    honey_g = np.array([holds[name].honey_g for name in formats]) * (1 - settings.strength.pollen_share)
    open_cells = frames[:, 2] * cells
    return Colonies(
        house=bees * (1 - flying),
        foragers=bees * flying,
        brood=even_brood(open_cells / 3, open_cells * 2 / 3, frames[:, 1] * cells),
        laying_from=laying_from,
        laying_per_day=np.full(n, settings.forecast.laying_per_day),
        room=np.maximum(combs - frames[:, 3], 0.0) * cells,
        honey_g=frames[:, 3] * honey_g,
        flow=np.zeros((n, days), dtype=bool),
        fed=np.ones(n, dtype=bool),
    )


def _flow(yard: Yard, day: date, settings: Settings, days: int) -> list[bool]:
    return [yard.has_flow(day + timedelta(days=d), settings.dearth) for d in range(1, days + 1)]
