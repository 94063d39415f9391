"""Floors once more: which kit a split gets, and what may leave a hive, by the audit's plain loop."""

import itertools
from collections import Counter
from dataclasses import replace
from importlib import import_module
from typing import Any

from routeplan.operation.world import Hive, Kit, Operation, Order

loop = import_module("routeplan.audit.floors")


def held(operation: Operation, kit: Kit, queen: str) -> tuple[Kit, ...]:
    """Return the kits within a kit's range that hold while none that holds needs less, least work first; one
    for no frames if none does.

    Raises ValueError where hives of several formats would each need a kit of their own.
    """
    settings = operation.settings
    if settings.floors.act != "hold":
        return (kit,)
    (frame,) = {h.frame for h in operation.hives}
    work = settings.minutes
    kits = sorted(
        _within(kit),
        key=lambda k: (work.frame * k.frames + work.shake * k.shakes, k.frames, k.capped, k.shakes),
    )
    floor = settings.floors.split_bees - 0.5
    good = [k for k in kits if lowest_of_split(operation, k, queen, frame) >= floor]
    least = [k for k in good if not any(o != k and _needs_less(o, k) for o in good)]
    return tuple(least[:4]) or (replace(kit, frame="none that holds"),)


def _needs_less(one: Kit, other: Kit) -> bool:
    pairs = ((one.capped, other.capped), (one.open, other.open), (one.shakes, other.shakes))
    return all(a <= b for a, b in pairs)


def _within(kit: Kit) -> list[Kit]:
    """Every kit of the range whose frames on top fit the places of its fill."""
    tops = (kit.capped_most, kit.open_most, kit.shakes_most)
    ranges = [
        range(least, (least if top is None else top) + 1)
        for least, top in zip((kit.capped, kit.open, kit.shakes), tops, strict=True)
    ]
    made = []
    for capped, unsealed, shakes in itertools.product(*ranges):
        fill = kit.fill - (capped - kit.capped) - (unsealed - kit.open)
        if fill >= 0:
            made.append(replace(kit, capped=capped, open=unsealed, shakes=shakes, fill=fill))
    return made


def lowest_of_split(operation: Operation, kit: Kit, queen: str, frame: str) -> float:
    """Fewest bees of a split of a kit, all its frames with bees."""
    settings = operation.settings
    got = Counter(capped=kit.capped, open=kit.open, food=kit.food, shake=kit.shakes)
    what = loop.content(got, got, settings)
    start = loop.colony_of(
        what,
        settings.forecast.foragers_on_frames,
        frame,
        kit.combs,
        loop.first_egg(queen, settings),
        settings,
    )
    return float(loop.lowest(start, settings)[0])


def keeps(operation: Operation, hive: Hive, out: Any, own: Order | None = None) -> bool:
    """Whether a hive that gives an Out keeps its floor; `own`: the order it is split for in its own right."""
    settings = operation.settings
    if settings.floors.act != "hold":
        return True
    give = Counter(capped=out.capped, open=out.open, mixed=out.mixed, food=out.food, shake=out.shakes)
    give["queen"] = out.queen
    found = loop.lowest_of_donor(operation, hive, give, own)
    if found is None:
        return own is not None
    low, _, floor = found
    return bool(low >= floor - 0.5)
