"""How colonies fare after the day: if all goes as usual, without feed, at the worst and at the best."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from routeplan.colony.forecast import Course, forecast
from routeplan.colony.halves import Content, Half, colonies_of
from routeplan.colony.recovery import Meeting, at_the_flow, swarm_pressure
from routeplan.colony.sensitivity import Moved, sensitivity
from routeplan.colony.strength import frame_holds
from routeplan.colony.timeline import timeline
from routeplan.operation.settings import Settings

TROUGH_WITHIN_DAYS = 84
"""The weakest day comes within three weeks of the first new bees, themselves within eight weeks."""


@dataclass(frozen=True)
class Outlook:
    """Courses of the same n colonies: fed, not fed, and the worst and the best that is usual (fed).

    `flow` is how they meet the first flow, `pressure` (n,) how likely they are to swarm: low, some, high.
    """

    fed: Course
    unfed: Course
    worst: Course
    best: Course
    flow: Meeting
    pressure: NDArray[np.str_]


def outlook(halves: Sequence[Half], ways: Sequence[str], settings: Settings, day: date) -> Outlook:
    """Work out how colonies fare for `forecast.days` days from the splitting day on.

    Parameters
    ----------
    halves : the colonies on the evening of the day.
    ways : for each how it gets a queen, one of QUEEN_WAYS; "" where its own stays.
    """
    days, pairs = settings.forecast.days, list(zip(halves, ways, strict=True))
    four = [
        replace(_moved(half, way, settings, shift), fed=fed)
        for fed, shift in ((True, 0), (False, 0), (True, -1), (True, 1))
        for half, way in pairs
    ]
    together = forecast(colonies_of(four, day, settings, days), settings.forecast, days)
    fed, unfed, worst, best = (_part(together, len(pairs), n) for n in range(4))
    start = colonies_of([replace(half, fed=True) for half in halves], day, settings, days)
    covering = np.array([h.combs * frame_holds(h.frame, settings.strength).bees for h in halves], dtype=float)
    pressure = swarm_pressure(start, fed, covering, settings.forecast)
    return Outlook(fed, unfed, worst, best, at_the_flow(start, fed), pressure)


def _part(course: Course, size: int, n: int) -> Course:
    """The n-th `size` colonies of a course of several lots worked out together."""
    return Course(**{f.name: getattr(course, f.name)[n * size : (n + 1) * size] for f in fields(course)})


def what_moves(halves: Sequence[Half], settings: Settings, day: date) -> tuple[Moved, ...]:
    """Return what moves the mean trough of these colonies, the strongest first."""
    days = min(settings.forecast.days, TROUGH_WITHIN_DAYS)
    return sensitivity(colonies_of(halves, day, settings, days), settings.forecast, days)


def _moved(half: Half, way: str, settings: Settings, shift: int) -> Half:
    """The worst (-1) or the best (1) that is usual: counts off, first eggs at their latest or earliest."""
    if not shift:
        return half
    off, was = 1 + shift * settings.forecast.counts_off, half.content
    content = Content(was.bees * off, was.capped * off, was.open * off, was.food * off)
    if not way:
        return replace(half, content=content)
    early, late = timeline(way, settings.queens, was.open > 0).eggs
    return replace(half, content=content, laying_from=round(early if shift > 0 else late))
