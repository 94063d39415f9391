"""What to load before leaving: counted from the plan, then what every crew packs."""

import math
from dataclasses import dataclass

from routeplan.output import words
from routeplan.output.day import Day


@dataclass(frozen=True)
class Item:
    """One line of the load list; `count` None where a crew counts for itself."""

    count: int | None
    what: str
    remark: str = ""


def load(day: Day) -> tuple[Item, ...]:
    """Return the load list, counted things first."""
    if not day.plan.splits:
        return ()
    formats = sorted({s.frame for s in day.plan.splits})
    counted = [item for frame in formats for item in _boxes_and_combs(day, frame)]
    per_split = [Item(len(day.plan.splits), what, words.LOAD["each"]) for what in words.PER_SPLIT]
    return (*counted, *_queens(day), *per_split, *(Item(count, what) for what, count in words.PACKING))


def _boxes_and_combs(day: Day, frame: str) -> list[Item]:
    kits = [day.operation.kit(s.kit) for s in day.plan.splits if s.frame == frame]
    combs, drawn = sum(k.combs for k in kits), sum(k.drawn for k in kits)
    sizes = sorted({k.combs for k in kits})
    boxes = Item(
        len(kits),
        words.LOAD["box"].format(frame=frame),
        words.LOAD["box remark"].format(combs=" or ".join(map(str, sizes))),
    )
    at_home = day.operation.combs(frame)
    stock = words.LOAD["stock"].format(drawn=at_home[0], foundation=at_home[1]) if at_home else ""
    rest = Item(combs - drawn, words.LOAD["comb"].format(frame=frame), words.LOAD["comb remark"] + stock)
    must = Item(drawn, words.LOAD["drawn"].format(frame=frame), words.LOAD["drawn remark"])
    return [boxes, *([must] if drawn else []), rest]


def _queens(day: Day) -> list[Item]:
    mated = sum(s.queen == "mated" for s in day.plan.splits)
    if not mated:
        return []
    spare = math.ceil(mated / words.QUEENS_PER_SPARE)
    return [
        Item(mated + spare, words.LOAD["queen"], words.LOAD["queen remark"].format(needed=mated, spare=spare))
    ]
