"""R16 for splits with a day of sale: where floors must hold, they cover the frames of a sale by that day, or
as many as any kit of their range does that holds the floor. Worked out by the plain loop of floors.py.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from itertools import product

from routeplan.audit.case import Case
from routeplan.audit.floors import (
    SLACK,
    Colony,
    bees_on_frame,
    colony_of,
    content,
    first_egg,
    live_a_day,
    lowest,
    split_colony,
)
from routeplan.audit.violation import Violation
from routeplan.operation.settings import Settings
from routeplan.operation.world import Kit


def ready(case: Case) -> Iterator[Violation]:
    """R16: every split whose order has a day of sale is strong enough for it, as far as its kit allows."""
    settings = case.operation.settings
    if settings.floors.act != "hold":
        return
    for split in case.splits.values():
        order, kit = case.orders.get(split.order), case.kits.get(split.kit)
        if not order or not order.ready_by or not kit:
            continue
        colony = split_colony(case, split)
        if not colony:
            continue
        days = (order.ready_by - case.operation.day).days
        has = covered(colony, split.frame, days, settings)
        asked = settings.floors.sale_frames
        if has < asked:
            asked = min(asked, most_covered(kit, split.queen, split.frame, not split.swap, days, settings))
        if has < asked - SLACK / bees_on_frame(split.frame, settings):
            text = (
                f"split {split.id} covers {has:.2f} frames on {order.ready_by}, {asked:.2f} can be asked for"
            )
            yield Violation("R16", text, asked - has, "frames", (split.id, order.id))


def covered(colony: Colony, frame: str, days: int, settings: Settings) -> float:
    """Frames that a colony covers so many days after; from the first day to the last that is looked at."""
    now = replace(colony, brood=list(colony.brood))
    for day in range(1, min(max(days, 1), settings.forecast.days) + 1):
        live_a_day(now, day, settings)
    return (now.house + now.flying) / bees_on_frame(frame, settings)


@lru_cache(maxsize=1024)
def most_covered(kit: Kit, queen: str, frame: str, food: bool, days: int, settings: Settings) -> float:
    """Most frames that a split covers then of any kit of the range that holds; 0 where none does."""
    most = 0.0
    for made in _range(kit):
        ways = [_colony(made, mixed, queen, frame, food, settings) for mixed in _mixed(made, settings)]
        low = min(lowest(replace(c, brood=list(c.brood)), settings)[0] for c in ways)
        if low >= settings.floors.split_bees - SLACK:
            most = max(most, min(covered(c, frame, days, settings) for c in ways))
    return most


def _range(kit: Kit) -> Iterator[Kit]:
    """Every kit of a range; frames on top take places of fill."""
    tops = (
        (kit.capped, kit.capped_most),
        (kit.open, kit.open_most),
        (kit.shakes, kit.shakes_most),
    )
    for capped, unsealed, shakes in product(
        *(range(low, max(low, low if top is None else top) + 1) for low, top in tops)
    ):
        fill = kit.fill - (capped - kit.capped) - (unsealed - kit.open)
        if fill >= 0:
            yield replace(kit, capped=capped, open=unsealed, shakes=shakes, fill=fill)


def _mixed(kit: Kit, settings: Settings) -> range:
    """How many mixed frames may stand in for open ones."""
    return range(kit.open + 1 if settings.swaps.mixed_open else 1)


def _colony(kit: Kit, mixed: int, queen: str, frame: str, food: bool, settings: Settings) -> Colony:
    got = Counter(capped=kit.capped, open=kit.open - mixed, mixed=mixed, shake=kit.shakes)
    got["food"] = kit.food if food else 0
    share = settings.forecast.foragers_on_frames
    return colony_of(
        content(got, got, settings), share, frame, kit.combs, first_egg(queen, settings), settings
    )
