"""How each split and each hive that gave fares after the day, in half frames and dates with their ranges."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from routeplan.colony.forecast import NEVER, Course
from routeplan.colony.outlook import Outlook
from routeplan.colony.queen_chance import expected
from routeplan.colony.strength import frame_holds
from routeplan.colony.timeline import Span, Timeline, timeline, whole_days
from routeplan.output import measures, words
from routeplan.output.colonies import Named, colonies, look_ahead
from routeplan.output.day import Day

STAYS = "its own queen stays"
A_LITTLE_LOW = ", a little less than it should have"
LOW = ", less than the {floor} it should have"
NOT_SEEN = "not within {days} days"
EXPECTED = (
    "About {lays} of {made} will have a laying queen without further help. For the rest have a test frame, a "
    "spare queen, or a neighbour to unite with."
)


@dataclass(frozen=True)
class Fare:
    """How one colony fares.

    `now`, `weakest`, `low`, `high`, `unfed` are frames of bees: on the evening of the day, at the trough if
    all goes as usual, at its worst, at its best, and if nothing is fed. `weakest_day` and `back_day` are
    days after the splitting day; from `back_day` on it keeps `goal` frames of bees, None where it does not.
    `floor` is the fewest frames of bees it should have at its weakest.
    `flow_day` is the first day of flow where it stands, None where none comes, `flow_bees` the frames of bees
    then; `pressure` how likely it is to swarm in three weeks: low, some or high.
    """

    colony: Named
    now: float
    weakest: float
    weakest_day: int
    low: float
    high: float
    unfed: float
    goal: float
    back_day: int | None
    times: Timeline | None
    floor: float
    flow_day: int | None
    flow_bees: float
    pressure: str

    @property
    def is_low(self) -> bool:
        """Whether it falls below its floor; the figures may be rounded by half a bee."""
        return self.weakest < self.floor - 1e-3


def fares(day: Day) -> tuple[Fare, ...]:
    """Return how every split and every hive that gave fares: splits by box, then hives in working order."""
    named = colonies(day)
    return fares_of(day, named, look_ahead(day, named))


def fares_of(day: Day, named: Sequence[Named], ahead: Outlook) -> tuple[Fare, ...]:
    """Return how these colonies fare, from their courses."""
    return tuple(_fare(day, one, ahead, i) for i, one in enumerate(named))


def _fare(day: Day, one: Named, ahead: Outlook, i: int) -> Fare:
    settings = day.operation.settings
    bees = frame_holds(one.half.frame, settings.strength).bees
    goal = settings.forecast.strong_bees if one.is_split else one.before_bees
    troughs = [float(course.trough[i]) / bees for course in (ahead.worst, ahead.fed, ahead.best)]
    open_brood = one.half.content.open > 0
    return Fare(
        colony=one,
        now=one.half.content.bees,
        weakest=troughs[1],
        weakest_day=int(ahead.fed.trough_day[i]),
        low=min(troughs),
        high=max(troughs),
        unfed=float(ahead.unfed.trough[i]) / bees,
        goal=goal,
        back_day=_back_day(ahead.fed, i, goal * bees),
        times=timeline(one.way, settings.queens, open_brood) if one.way else None,
        floor=(settings.floors.split_bees if one.way else settings.floors.donor_bees) / bees,
        flow_day=None if ahead.flow.day[i] == NEVER else int(ahead.flow.day[i]),
        flow_bees=float(ahead.flow.bees[i]) / bees,
        pressure=str(ahead.pressure[i]),
    )


def _back_day(course: Course, i: int, bees: float) -> int | None:
    """The day from which on it has so many bees for good; None when it has not on the last day seen."""
    short = np.flatnonzero(course.adults[i] < bees - 1e-6)
    day = int(short[-1]) + 1 if len(short) else 0
    return None if day == course.adults.shape[1] else day


def halves(frames: float) -> str:
    """Write frames to the nearest half: 3, 2½, ½."""
    twice = math.floor(2 * frames + 0.5)
    whole, half = divmod(twice, 2)
    return (str(whole) if whole or not half else "") + ("½" if half else "")


def half_range(low: float, high: float) -> str:
    """Write a range of frames in halves: "2–3½", or "3" where both are alike."""
    first, last = halves(low), halves(high)
    return first if first == last else f"{first}–{last}"


def way_words(fare: Fare) -> str:
    """Say how the colony gets its queen."""
    way = fare.colony.way
    return words.QUEEN_WAY.get(way, way) if way else STAYS


def dates(day: Day, span: Span | None) -> str:
    """Write a range of days after the splitting day as dates; nothing for none."""
    return measures.days_after(day.plan.day, *whole_days(span)) if span else ""


def weakest_when(day: Day, fare: Fare) -> str:
    """Say when it is weakest: "about Fri 2 July"."""
    if not fare.weakest_day:
        return "on the day itself"
    return f"about {measures.days_after(day.plan.day, fare.weakest_day, fare.weakest_day)}"


def weakest_words(day: Day, fare: Fare) -> str:
    """Say how weak it gets and when: "2½ frames of bees (2–3½) about Fri 2 July"."""
    frames = f"{halves(fare.weakest)} frames of bees ({half_range(fare.low, fare.high)})"
    return f"{frames} {weakest_when(day, fare)}{_low(fare)}"


def _low(fare: Fare) -> str:
    """Say that it falls below its floor; nothing when it does not."""
    if not fare.is_low:
        return ""
    alike = halves(fare.floor) == halves(fare.weakest)
    return A_LITTLE_LOW if alike else LOW.format(floor=halves(fare.floor))


def back_words(day: Day, fare: Fare) -> str:
    """Say when it is back at its goal."""
    if fare.back_day is None:
        return NOT_SEEN.format(days=day.operation.settings.forecast.days)
    return f"from {measures.days_after(day.plan.day, fare.back_day, fare.back_day)}"


def expected_words(day: Day) -> str:
    """Say how many splits are expected to have a laying queen; nothing without splits."""
    splits = day.plan.splits
    if not splits:
        return ""
    lays = expected([s.queen for s in splits], day.operation.settings.queens)
    return EXPECTED.format(made=measures.counted(len(splits), "split"), lays=measures.number(round(lays, 1)))
