"""One small drawing of how a colony fares: bees with their range, brood, the weakest day, queen events.

Days run from left to right, frames from the bottom up; lengths are units of the drawing, 360 wide.
"""

import math
from dataclasses import dataclass

import numpy as np

from routeplan.colony.forecast import Floats
from routeplan.colony.outlook import Outlook
from routeplan.colony.strength import frame_holds
from routeplan.colony.timeline import Span
from routeplan.output import measures
from routeplan.output.day import Day
from routeplan.output.fares import Fare, dates, halves, weakest_words

WIDTH, LEFT, RIGHT, TOP, PLOT, FOOT, ROW = 360, 26, 352, 16, 150, 24, 32
DAYS, TICK_DAYS, DATE_DAYS = 84, 14, 28
"""Twelve weeks are drawn, or as far as the forecast looks: a line every second week, a date every fourth."""
POINT_DAYS = 2
STEPS = (1, 2, 5, 10, 20)
MOST_LINES = 6
NARROWEST = 4.0

EVENTS = (
    ("capped", "cells capped"),
    ("emerges", "queen hatches"),
    ("flies", "flies to mate"),
    ("eggs", "first eggs"),
    ("too_late", "last chance to mate"),
    ("new_bees", "own first bees"),
    ("donor_brood", "old brood all out"),
)
"""Events of the timeline, as they are called on the drawing."""
TOLD = (
    "{name}: {now} frames of bees on the evening; weakest {weakest}. Brood {brood_now} frames on the day, "
    "fewest {brood_low} by {last}."
)


@dataclass(frozen=True)
class Bar:
    """One event under the plot: its row, from where to where, and in words."""

    y: float
    x: float
    width: float
    words: str


@dataclass(frozen=True)
class Mark:
    """The weakest day, or the floor: where, its words, and on which side of it they stand."""

    x: float
    y: float
    words: str
    anchor: str


@dataclass(frozen=True)
class Chart:
    """What the template draws; `band`, `bees`, `brood` are points, `weeks` and `frames` lines with text."""

    name: str
    told: str
    height: float
    foot: float
    least: Mark
    band: str
    bees: str
    brood: str
    weeks: tuple[tuple[float, str], ...]
    frames: tuple[tuple[float, str], ...]
    weakest: Mark
    bars: tuple[Bar, ...]


@dataclass(frozen=True)
class Lines:
    """Frames by day, day 0 first: bees if all goes as usual, the fewest and the most of the range, brood."""

    bees: Floats
    low: Floats
    high: Floats
    brood: Floats

    @property
    def days(self) -> int:
        """The last day drawn."""
        return min(DAYS, len(self.bees) - 1)

    @property
    def most(self) -> float:
        """The most frames drawn."""
        return max(float(part[: self.days + 1].max()) for part in (self.high, self.brood))


@dataclass(frozen=True)
class Scale:
    """From days and frames to places on the drawing; `step` whole frames between two lines."""

    days: int
    step: int
    top: int

    def x(self, day: float) -> float:
        """How far from the left."""
        return round(LEFT + (RIGHT - LEFT) * min(max(day, 0.0), self.days) / self.days, 1)

    def y(self, frames: float) -> float:
        """How far from the top."""
        return round(TOP + PLOT * (1 - frames / self.top), 1)

    def points(self, frames: Floats) -> list[str]:
        """One point every second day, and the last day."""
        days = sorted({*range(0, self.days + 1, POINT_DAYS), self.days})
        return [f"{self.x(day):g},{self.y(float(frames[day])):g}" for day in days]


def charts(day: Day, fares: tuple[Fare, ...], ahead: Outlook) -> tuple[Chart, ...]:
    """Return the drawing of every colony, or of splits alike, in their order."""
    return tuple(chart(day, fare, lines_of(day, fare, ahead, i)) for i, fare in enumerate(fares))


def lines_of(day: Day, fare: Fare, ahead: Outlook, i: int) -> Lines:
    """Return the lines of the i-th colony, in frames of its own format."""
    holds = frame_holds(fare.colony.half.frame, day.operation.settings.strength)
    three = [course.adults[i] / holds.bees for course in (ahead.fed, ahead.worst, ahead.best)]
    usual, worst, best = three
    low, high = np.minimum.reduce([usual, worst, best]), np.maximum.reduce([usual, worst, best])
    return Lines(usual, low, high, ahead.fed.brood[i] / holds.brood_cells)


def chart(day: Day, fare: Fare, lines: Lines) -> Chart:
    """Return the drawing of one colony, or of splits alike."""
    scale = _scale(lines)
    bars = _bars(day, fare, scale)
    return Chart(
        name=fare.colony.name,
        told=_told(day, fare, lines),
        height=TOP + PLOT + FOOT + ROW * len(bars),
        foot=TOP + PLOT,
        least=_least(fare, scale),
        band=" ".join([*scale.points(lines.high), *reversed(scale.points(lines.low))]),
        bees=" ".join(scale.points(lines.bees)),
        brood=" ".join(scale.points(lines.brood)),
        weeks=tuple(
            (scale.x(n), "" if n % DATE_DAYS else _short(day, n)) for n in range(0, scale.days + 1, TICK_DAYS)
        ),
        frames=tuple((scale.y(n), str(n)) for n in range(0, scale.top + 1, scale.step)),
        weakest=_weakest(fare, scale),
        bars=bars,
    )


def _scale(lines: Lines) -> Scale:
    need = max(1.0, lines.most)
    step = next((n for n in STEPS if math.ceil(need / n) <= MOST_LINES), STEPS[-1])
    return Scale(lines.days, step, step * math.ceil(need / step))


def _least(fare: Fare, scale: Scale) -> Mark:
    """The fewest frames it should have; above the drawing where that is more than is drawn."""
    return Mark(RIGHT, scale.y(min(fare.floor, scale.top)), f"should have {halves(fare.floor)}", "end")


def _weakest(fare: Fare, scale: Scale) -> Mark:
    x = scale.x(fare.weakest_day)
    late = fare.weakest_day > scale.days / 2
    return Mark(x, scale.y(fare.weakest), f"weakest {halves(fare.weakest)}", "end" if late else "start")


def _bars(day: Day, fare: Fare, scale: Scale) -> tuple[Bar, ...]:
    """The queen's events that begin on the drawing, one row each; none where her own stays."""
    if fare.times is None:
        return ()
    spans: list[tuple[str, Span]] = [
        (name, span) for field, name in EVENTS if (span := getattr(fare.times, field)) is not None
    ]
    found: list[Bar] = []
    spans.sort(key=lambda one: one[1])
    for name, (first, last) in spans:
        if first <= scale.days:
            y = TOP + PLOT + FOOT + ROW * len(found)
            x, end = scale.x(first), scale.x(last)
            text = f"{name}: {dates(day, (first, last))}"
            found.append(Bar(y, x, max(NARROWEST, round(end - x, 1)), text))
    return tuple(found)


def _short(day: Day, days: int) -> str:
    """Write a date as "15 May", short enough to stand under a line."""
    said = measures.days_after(day.plan.day, days, days).split(" ")
    return f"{said[1]} {said[2][:3]}"


def _told(day: Day, fare: Fare, lines: Lines) -> str:
    """Say in words what is drawn, for those who do not see it."""
    brood = lines.brood[: lines.days + 1]
    return TOLD.format(
        name=fare.colony.name,
        now=halves(fare.now),
        weakest=weakest_words(day, fare),
        brood_now=halves(float(brood[0])),
        brood_low=halves(float(brood.min())),
        last=measures.days_after(day.plan.day, lines.days, lines.days),
    )
