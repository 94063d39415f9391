"""Which assumptions move the weakest day of the splits most, and by how much, in words."""

import numpy as np

from routeplan.colony.outlook import what_moves
from routeplan.colony.sensitivity import Moved
from routeplan.colony.strength import frame_holds
from routeplan.operation.setting_words import MEANINGS
from routeplan.output.colonies import Named
from routeplan.output.day import Day

TOLD = 3
COUNTED = {
    "bees": "the bees you counted, a tenth fewer or more",
    "brood": "the brood you counted, a tenth less or more",
    "queen": "the day of the first eggs, three days earlier or later",
}
ASSUMED = "{meaning}, a tenth less or more"
LINE = "{what}: {low} or {high} frames of bees on the weakest day, on average."


def moves(day: Day, named: tuple[Named, ...]) -> tuple[str, ...]:
    """Say which three assumptions move the mean trough of the splits most (of hives if there is none)."""
    halves = [one.half for one in named if one.is_split] or [one.half for one in named]
    if not halves:
        return ()
    strength = day.operation.settings.strength
    bees = float(np.mean([frame_holds(h.frame, strength).bees for h in halves]))
    moved = what_moves(halves, day.operation.settings, day.plan.day)
    return tuple(_line(one, bees) for one in moved[:TOLD] if one.by > 0)


def _line(moved: Moved, bees_per_frame: float) -> str:
    what = COUNTED.get(moved.name) or ASSUMED.format(
        meaning=MEANINGS[f"forecast.{moved.name}"][1].partition(";")[0]
    )
    low, high = (f"{bees / bees_per_frame:.1f}" for bees in (moved.less, moved.more))
    return LINE.format(what=f"{what[0].upper()}{what[1:]}", low=low, high=high)
