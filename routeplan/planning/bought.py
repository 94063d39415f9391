"""What is bought for a split: a queen or a cell, combs from home, sugar."""

from collections.abc import Iterable
from dataclasses import replace

from routeplan.colony.feed import split_sugar_kg
from routeplan.colony.halves import Taken
from routeplan.operation.world import Kit, Operation, Yard
from routeplan.plan import Take


def as_made(kit: Kit, takes: Iterable[Take]) -> Kit:
    """Return a kit with what a split really got from hives; mixed frames are open ones, more takes the place
    of fill."""
    got = dict.fromkeys(("capped", "open", "shake"), 0)
    for take in takes:
        kind = "open" if take.kind in ("eggs", "mixed") else take.kind
        got[kind] = got.get(kind, 0) + take.frames
    more = got["capped"] + got["open"] - kit.capped - kit.open
    return replace(kit, capped=got["capped"], open=got["open"], shakes=got["shake"], fill=kit.fill - more)


def combs_of(kit: Kit, swap: str, break_up: bool) -> int:
    """Combs from home for one split, to fill its box and to put back what hives gave; nothing is put back
    into a hive that is broken up. `kit`: as it is made. `swap`: what stands in for its food frames."""
    if break_up:
        return kit.drawn + kit.fill
    return kit.combs - (kit.food if swap else 0)


def sugar_kg(operation: Operation, kit: Kit, queen: str, frame: str, swap: str, yard: Yard) -> float:
    """Sugar for one split at its new yard: as set where no flow is, or what the forecast says it needs.

    Parameters
    ----------
    kit : as it is made. queen : a word of QUEEN_WAYS. frame : format of its combs. swap : what stands in for
        its food frames, "" for nothing.
    """
    settings = operation.settings
    if settings.costs.sugar_per_split_kg is not None:
        hungry = not yard.has_flow(operation.day, settings.dearth)
        return settings.costs.sugar_per_split_kg if hungry else 0.0
    food = 0 if swap else kit.food
    taken = Taken(kit.capped, kit.open, food, kit.shakes)
    from_home = kit.food if swap == "food comb" else 0
    flow = (yard.flow_from, yard.flow_until)
    return split_sugar_kg(taken, from_home, queen, frame, kit.combs, flow, operation.day, settings)


def bought_s(
    operation: Operation, kit: Kit, queen: str, frame: str, swap: str, yard: Yard, break_up: bool
) -> int:
    """What queens, combs and sugar for one split placed at a yard are worth; 0 unless money counts."""
    settings = operation.settings
    if settings.objective != "money" or settings.costs.per_hour <= 0:
        return 0
    costs = settings.costs
    money = {"mated": costs.queen, "ripe cell": costs.cell}.get(queen, 0.0)
    money += costs.comb * combs_of(kit, swap, break_up)
    if costs.sugar_kg:
        money += costs.sugar_kg * sugar_kg(operation, kit, queen, frame, swap, yard)
    return round(money * 3600 / costs.per_hour)
