"""Floors: how few bees a split and a donor may come down to until their own new bees emerge.

A floor holds when the lowest point of the forecast, fed as needed, is not below it. What must raise a queen
(a split, or what stays behind when the queen leaves) is held to the floor of splits, a donor that keeps its
laying queen to that of donors.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from functools import lru_cache
from itertools import product

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
    split_half,
    started,
    what_stays,
)
from routeplan.operation.findings import Finding
from routeplan.operation.settings import Settings
from routeplan.operation.world import Hive, Kit, Operation, Order

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


# Splits


def held_kit(kit: Kit, way: str, frame: str, settings: Settings, food: bool = True) -> Kit | None:
    """Return the kit of a split: as it is written, or the least within its range that holds the floor.

    Least is what takes the least work at the hives, then the fewest frames. None where none holds.

    Parameters
    ----------
    kit : as written. way : a word of QUEEN_WAYS. frame : format of its combs.
    food : whether its food frames come out of hives, with their bees.
    """
    return _held_kit(kit, way, frame, settings, food) if holds(settings) else kit


@lru_cache(maxsize=4096)
def _held_kit(kit: Kit, way: str, frame: str, settings: Settings, food: bool) -> Kit | None:
    kits = sorted(kits_in_range(kit), key=lambda k: _work(k, settings))
    low = split_troughs(kits, way, frame, settings, food)[0]
    good = [k for k, bees in zip(kits, low, strict=True) if bees >= settings.floors.split_bees - HALF_A_BEE]
    return good[0] if good else None


def _work(kit: Kit, settings: Settings) -> tuple[float, int, int, int]:
    minutes = settings.minutes
    work = minutes.frame * kit.frames + minutes.shake * kit.shakes
    return work, kit.frames, kit.capped, kit.shakes


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
    most_mixed = settings.swaps.mixed_open
    takens = [
        (i, Taken(k.capped, k.open - x, k.food if food else 0, k.shakes, x))
        for i, k in enumerate(kits)
        for x in range(k.open + 1 if most_mixed else 1)
    ]
    combs = [k.combs for k in kits]
    low, days = troughs([split_half(t, way, frame, combs[i], None, settings) for i, t in takens], settings)
    best = [min((low[j], days[j]) for j, (of, _) in enumerate(takens) if of == i) for i in range(len(kits))]
    return np.array([b for b, _ in best]), np.array([d for _, d in best], dtype=np.int64)


# Donors


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


# Words


MORE = (
    ("capped", "frame of capped brood"),
    ("shakes", "shake of bees"),
    ("open", "frame of eggs and young larvae"),
)
MOST_MORE = 4


def cure(kit: Kit, way: str, frame: str, settings: Settings) -> str:
    """Say the least that lets a split hold ("With one shake of bees more it holds."); "" if nothing does."""
    for n in range(1, MOST_MORE + 1):
        kits = [replace(kit, **{kind: getattr(kit, kind) + n}) for kind, _ in MORE]
        low, _ = split_troughs(kits, way, frame, settings)
        for (_, words), bees in zip(MORE, low, strict=True):
            if bees >= settings.floors.split_bees - HALF_A_BEE:
                number = "one" if n == 1 else str(n)
                return f"With {number} {_plural(words, n)} more it holds."
    return ""


def _plural(words: str, n: int) -> str:
    head, _, tail = words.partition(" ")
    return words if n == 1 else f"{head}s {tail}"


def weak_orders(operation: Operation) -> list[Finding]:
    """Return a warning for each order, and frame format, whose splits fall below the floor."""
    frames = sorted({h.frame for h in operation.hives})
    return [
        found
        for order in operation.orders
        for frame in frames
        if operation.kit(order.kit).frame in (None, frame) and _gives_to(operation, order, frame)
        for found in _weak(operation, order, frame)
    ]


def _gives_to(operation: Operation, order: Order, frame: str) -> bool:
    return any(
        h.frame == frame and order.from_yard in (None, h.yard) and order.hive in (None, h.id)
        for h in operation.hives
    )


def _weak(operation: Operation, order: Order, frame: str) -> Iterator[Finding]:
    settings, kit = operation.settings, operation.kit(order.kit)
    used = held_kit(kit, order.queen, frame, settings)
    low, day = split_troughs([used or kit], order.queen, frame, settings)
    if low[0] >= settings.floors.split_bees - HALF_A_BEE:
        return
    message = f"Order “{order.id}” on {frame} frames: {under_words(low[0], int(day[0]), settings)}"
    if holds(settings):
        message += " No kit within its range holds, so none is made."
    help_ = cure(kit, order.queen, frame, settings) or "Bring a queen or a cell, or lower the floor."
    yield Finding("warning", "splits", order.row or None, "kit", order.kit, message, help_)


def under_words(bees: float, day: int, settings: Settings) -> str:
    """Say how low a split comes and when."""
    when = "on the day it is made" if day == 0 else f"about day {day}"
    return (
        f"a split comes down to some {round(bees, -2):,.0f} bees {when}, "
        f"under the floor of {settings.floors.split_bees:,.0f}."
    )
