"""Which kit a split gets where floors must hold: as strong as its queen and its day of sale ask for."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import product

import numpy as np

from routeplan.colony.floors import ANY_DAY, HALF_A_BEE, holds, troughs
from routeplan.colony.forecast import Days, Floats, forecast
from routeplan.colony.halves import Half, Taken, colonies_of, content_of, split_half
from routeplan.colony.strength import frame_holds
from routeplan.operation.settings import Settings
from routeplan.operation.world import Kit

MOST_KITS = 4
"""So many kits a split may be made of where a floor asks for more; of more than that, those of least work."""


def held_kit(
    kit: Kit, way: str, frame: str, settings: Settings, food: bool = True, ready_days: int | None = None
) -> Kit | None:
    """Return the first of `held_kits`, the one of least work at the hives; None where none holds."""
    return next(iter(held_kits(kit, way, frame, settings, food, ready_days)), None)


def held_kits(
    kit: Kit, way: str, frame: str, settings: Settings, food: bool = True, ready_days: int | None = None
) -> tuple[Kit, ...]:
    """Return the kits a split may be made of: as it is written, or those within its range that hold the floor
    while none that holds needs no more of each kind and less of one (one frame of capped brood more, or a
    shake more).

    Least work at the hives comes first, then the fewest frames; at most MOST_KITS. Of those that hold, one
    that must be ready to sell so many days after also covers the frames of a sale by then; where none does it
    is the one that covers most. None at all where none holds.

    Parameters
    ----------
    kit : as written. way : a word of QUEEN_WAYS. frame : format of its combs.
    food : whether its food frames come out of hives, with their bees.
    """
    return _held_kits(kit, way, frame, settings, food, ready_days) if holds(settings) else (kit,)


@lru_cache(maxsize=4096)
def _held_kits(
    kit: Kit, way: str, frame: str, settings: Settings, food: bool, ready_days: int | None
) -> tuple[Kit, ...]:
    kits = sorted(kits_in_range(kit), key=lambda k: (kit_work(k, settings), k.frames, k.capped, k.shakes))
    low, _ = split_troughs(kits, way, frame, settings, food)
    good = [k for k, bees in zip(kits, low, strict=True) if bees >= settings.floors.split_bees - HALF_A_BEE]
    if good and ready_days is not None:
        then = frames_covered(good, way, frame, settings, ready_days, food)
        ready = [k for k, n in zip(good, then, strict=True) if n >= settings.floors.sale_frames]
        good = ready or [good[int(then.argmax())]]
    least = [k for k in good if not any(other != k and _within(other, k) for other in good)]
    return tuple(least[:MOST_KITS])


def _within(less: Kit, more: Kit) -> bool:
    """Whether a kit needs no more of any kind than another."""
    return less.capped <= more.capped and less.open <= more.open and less.shakes <= more.shakes


def kit_work(kit: Kit, settings: Settings) -> float:
    """Return the minutes that the frames and shakes of a kit take at the hives."""
    return settings.minutes.frame * kit.frames + settings.minutes.shake * kit.shakes


def kits_in_range(kit: Kit) -> Iterator[Kit]:
    """Yield a kit with every number of frames and shakes it allows; more frames take the place of fill."""
    ranges = [
        range(least, max(least, least if most is None else most) + 1)
        for least, most in (
            (kit.capped, kit.capped_most),
            (kit.open, kit.open_most),
            (kit.shakes, kit.shakes_most),
        )
    ]
    for capped, open_, shakes in product(*ranges):
        more = capped + open_ - kit.capped - kit.open
        if more <= kit.fill:
            yield replace(kit, capped=capped, open=open_, shakes=shakes, fill=kit.fill - more)


def split_troughs(
    kits: Sequence[Kit], way: str, frame: str, settings: Settings, food: bool = True
) -> tuple[Floats, Days]:
    """Return fewest bees and their day for a split of each kit; the lower of pure and mixed frames."""
    of, halves = _made(kits, way, frame, settings, food)
    low, days = troughs(halves, settings)
    best = [min((low[j], days[j]) for j, k in enumerate(of) if k == i) for i in range(len(kits))]
    return np.array([b for b, _ in best]), np.array([d for _, d in best], dtype=np.int64)


def holds_with_bare(
    kit: Kit,
    way: str,
    frame: str,
    settings: Settings,
    bare: Taken,
    food: bool = True,
    ready_days: int | None = None,
) -> bool:
    """Whether a split holds its floor where so much of its kit comes shaken free of bees.

    One that must be ready to sell so many days after covers the frames of a sale then, too.

    Parameters
    ----------
    bare : frames of the kit that bring no bees. food : whether its food frames come out of hives.
    """
    if not holds(settings):
        return True
    _, halves = _made([kit], way, frame, settings, food)
    less = content_of(bare, settings).bees
    left = [replace(h, content=replace(h.content, bees=max(0.0, h.content.bees - less))) for h in halves]
    low, _ = troughs(left, settings)
    if low.min() < settings.floors.split_bees - HALF_A_BEE:
        return False
    if ready_days is None or less <= 0:
        return True
    bees = _bees_on(left, settings, ready_days).min() / frame_holds(frame, settings.strength).bees
    return bool(bees >= settings.floors.sale_frames)


def _bees_on(halves: Sequence[Half], settings: Settings, day: int) -> Floats:
    last = min(max(day, 1), settings.forecast.days)
    return forecast(colonies_of(halves, ANY_DAY, settings, last), settings.forecast, last).adults[:, last]


def frames_covered(
    kits: Sequence[Kit], way: str, frame: str, settings: Settings, day: int, food: bool = True
) -> Floats:
    """Return the frames that a split of each kit covers so many days after; at the latest on the last day."""
    of, halves = _made(kits, way, frame, settings, food)
    bees = _bees_on(halves, settings, day)
    least = [min(bees[j] for j, k in enumerate(of) if k == i) for i in range(len(kits))]
    return np.array(least) / frame_holds(frame, settings.strength).bees


def _made(
    kits: Sequence[Kit], way: str, frame: str, settings: Settings, food: bool
) -> tuple[list[int], list[Half]]:
    """Splits of each kit, with every number of mixed frames that may stand in: whose kit, and the colony."""
    mixing = settings.swaps.mixed_open
    ways = [(i, x) for i, k in enumerate(kits) for x in range(k.open + 1 if mixing else 1)]
    halves = []
    for i, x in ways:
        k = kits[i]
        taken = Taken(k.capped, k.open - x, k.food if food else 0, k.shakes, x)
        halves.append(split_half(taken, way, frame, k.combs, None, settings))
    return [i for i, _ in ways], halves
