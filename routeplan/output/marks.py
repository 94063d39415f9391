"""What a map of the day shows, whoever draws it: marks, the drive, flights of splits and distance rings."""

import math
from dataclasses import dataclass
from itertools import groupby

from routeplan.operation.world import Place
from routeplan.output import day as days
from routeplan.output import measures, words
from routeplan.output.day import Day
from routeplan.output.results import with_bees

SHAPES = {
    "takes": "M4 4H28V28H4Z",
    "receives": "M16 2A14 14 0 1 1 15.99 2Z",
    "both": "M16 0L32 16L16 32L0 16Z",
    "idle": "M16 9A7 7 0 1 1 15.99 9Z",
    "closed": "M8 8H24V24H8ZM8 8L24 24M24 8L8 24",
    "health": "M16 3L30 28H2Z",
    "home": "M16 3L29 14V29H3V14Z",
}
"""Outlines in a 32 x 32 field, centre at 16, 16; a shape for each thing a yard may do today."""


@dataclass(frozen=True)
class Mark:
    """One yard, or home. `figure` stands in the shape; `lines` are said when it is touched."""

    place: Place
    job: str
    figure: str
    name: str
    lines: tuple[str, ...]

    @property
    def busy(self) -> bool:
        """Whether the crew goes there."""
        return self.job in ("takes", "receives", "both", "home")


@dataclass(frozen=True)
class Flight:
    """Splits that go from one yard to another."""

    start: Place
    end: Place
    label: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Ring:
    """The minimum distance round a yard that gives."""

    centre: Place
    radius_m: float
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Drawing:
    """Everything on the map; `drive` is home, the stops in order, home."""

    marks: tuple[Mark, ...]
    parking: tuple[Mark, ...]
    drive: tuple[Place, ...]
    flights: tuple[Flight, ...]
    rings: tuple[Ring, ...]

    @property
    def must_show(self) -> tuple[Place, ...]:
        """Where the crew goes; on a day without stops every yard and home."""
        marks = [m for m in self.marks if m.busy or not self.drive]
        return tuple(m.place for m in (*marks, *self.parking))


def drawing(day: Day) -> Drawing:
    """Collect what the map shows."""
    operation, plan = day.operation, day.plan
    home = operation.crew.home
    stops = [operation.yard(s.yard) for s in plan.stops]
    givers = [y for y in operation.yards if days.job(day, y) in ("takes", "both")]
    least = operation.settings.minimum_distance_m
    ring = f"at least {day.distance(least, 2)} from {{}} for its splits"
    return Drawing(
        marks=(*_yard_marks(day), Mark(home, "home", "", "Home", _home_lines(day))),
        parking=tuple(
            Mark(y.parking, "parking", "P", y.id, (f"Parking for {y.id}",))
            for y in dict.fromkeys(stops)
            if y.parking is not None and y.parking != y.place
        ),
        drive=(home, *(y.stop for y in stops), home) if stops else (),
        flights=_flights(day),
        rings=tuple(Ring(y.place, least, (ring.format(y.id),)) for y in givers),
    )


def _home_lines(day: Day) -> tuple[str, ...]:
    totals = day.plan.totals
    if not day.plan.stops:
        return ("Home",)
    return ("Home", f"leave {measures.clock(totals.leave_home)}, back {measures.clock(totals.back_home)}")


def _yard_marks(day: Day) -> list[Mark]:
    marks = []
    for yard in day.operation.yards:
        job, numbers = days.job(day, yard), day.stops_at(yard.id)
        lines = [yard.id, words.JOB[job]]
        for n in numbers:
            stop = day.plan.stops[n - 1]
            lines.append(f"stop {n}: {measures.clock(stop.arrive)} to {measures.clock(stop.depart)}")
            lines += days.done_at(day, stop)
        if not numbers:
            lines.append(days.why_idle(day, yard))
        figure = "·".join(map(str, numbers)) or ("!" if job == "health" else "")
        marks.append(Mark(yard.place, job, figure, yard.id, tuple(lines)))
    return marks


def _flights(day: Day) -> tuple[Flight, ...]:
    least_m = day.operation.settings.minimum_distance_m
    moves = [
        (yard, split.to_yard, metres, split.id)
        for split in day.splits()
        for yard, metres in with_bees(day, split)
    ]
    flights = []
    for (start, end), group in groupby(sorted(moves, key=lambda m: m[:2]), key=lambda m: m[:2]):
        here = list(group)
        ids, apart = [m[3] for m in here], day.distance(here[0][2], 2)
        boxes = day.box_words(ids)
        near = measures.close_call(here[0][2], least_m)
        far = f"{apart} apart, at least {day.distance(least_m, 2)}{near}"
        lines = (f"{boxes[0].upper()}{boxes[1:]}", f"{start} to {end}", far)
        places = day.operation.yard(start).place, day.operation.yard(end).place
        flights.append(Flight(*places, f"{measures.runs(day.boxes[s] for s in ids)}: {apart}", lines))
    return tuple(flights)


def towards(start: Place, end: Place, part: float) -> Place:
    """Return the point `part` of the way along the straight line on the map."""
    return Place(start.lat + part * (end.lat - start.lat), start.lon + part * (end.lon - start.lon))


def bearing_deg(start: Place, end: Place) -> float:
    """Return the direction of the line on the map, in degrees clockwise from north."""
    east = (end.lon - start.lon) * math.cos(math.radians((start.lat + end.lat) / 2))
    return math.degrees(math.atan2(east, end.lat - start.lat))
