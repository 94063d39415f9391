"""When a colony has its queen, her eggs and its own bees again, by its way to a queen.

Days are counted from the splitting day (day 0, the day the box is made up). Every event is a range of days,
never a single one: the earliest and the latest that is usual, not the earliest and latest there can be.
"""

import math
from dataclasses import dataclass

from routeplan.operation.settings import Queens

Span = tuple[float, float]
"""Days after the splitting day, (earliest, latest)."""

WORKER_DAYS = 21.0
CAPPED_WORKER_DAYS = 12.0
QUEEN_CELL_CAPPED_DAYS = 8.5
QUEEN_DAYS = 16.0
"""Egg to emergence of a worker (12 of them capped); egg to capped cell and to emergence of a queen. Standard
in handbooks (a queen: egg 3, larva 5.5, capped 7.5 days)."""

RAISED_FROM_DAYS: Span = (-1.0, 4.0)
"""Age from the egg, on the splitting day, of the brood a queen is raised from: a larva a day out of the egg
at most; at least an egg laid the day before its cell is begun, which may be two days after the queen was lost
(conference abstract, Entomological Society of America, 2001: cells begun within 48 hours on eggs of 24 to 48
hours do best)."""

CELL_HATCHES_DAYS: Span = (1.0, 3.0)
"""A ripe cell goes in the day after and is about to hatch (common practice)."""
CHARGED_AGE_DAYS = 3.0
"""A charged cell of the hive's own holds a larva: it is at least so old (standard stage lengths)."""
CAGED_EGGS_DAYS: Span = (4.0, 7.0)
"""A caged queen is out after about four days and lays within three more (from memory)."""
OWN_QUEEN_EGGS_DAYS: Span = (0.0, 2.0)
"""A queen that moves with her own bees goes on laying (common practice)."""

FIRST_FLIGHT_DAYS: Span = (5.0, 6.0)
"""From emergence to the first mating flights: S. McNeil in The Hive and the Honey Bee, 2015."""
TOO_OLD_DAYS: Span = (21.0, 28.0)
"""A queen that has not mated so long after emerging lays drones, if at all (popular articles; soft)."""


@dataclass(frozen=True)
class Timeline:
    """Days after the splitting day, each (earliest, latest); None where there is no such event.

    `capped`: queen cells sealed. `emerges`: the young queen hatches. `flies`: her first mating flights.
    `too_late`: not mated by then, she will not lay workers. `eggs`: first eggs. `new_bees`: first workers
    of the colony's own queen. `donor_brood`: the last brood it came with has emerged.
    """

    capped: Span | None
    emerges: Span | None
    flies: Span | None
    too_late: Span | None
    eggs: Span
    new_bees: Span
    donor_brood: Span

    @property
    def gap_days(self) -> float:
        """Days between the last bees of the brood it came with and the first of its own queen, on average."""
        return max(0.0, sum(self.new_bees) / 2 - sum(self.donor_brood) / 2)


def timeline(way: str, queens: Queens, open_brood: bool = True) -> Timeline:
    """Return the timeline of a split by its way to a queen, one of QUEEN_WAYS.

    A parent left without her queen has the timeline of "raise own".

    Parameters
    ----------
    way : how the colony gets its queen. Raises KeyError for any other word.
    queens : days from emergence to the first eggs.
    open_brood : whether eggs or young larvae went in; with capped brood alone all of it is out in 12 days.
    """
    donor_brood = (
        (WORKER_DAYS - 3, WORKER_DAYS) if open_brood else (CAPPED_WORKER_DAYS - 3, CAPPED_WORKER_DAYS)
    )
    if way in LAYING:
        eggs = LAYING[way]
        return Timeline(None, None, None, None, eggs, _later(eggs, WORKER_DAYS), donor_brood)
    if way == "raise own":
        return raised(RAISED_FROM_DAYS, queens, donor_brood)
    return _hatched(None, HATCHING[way], queens, donor_brood)


LAYING: dict[str, Span] = {"mated": CAGED_EGGS_DAYS, "parent's": OWN_QUEEN_EGGS_DAYS}
HATCHING: dict[str, Span] = {
    "ripe cell": CELL_HATCHES_DAYS,
    "own cells": (0.0, QUEEN_DAYS - CHARGED_AGE_DAYS),
}


def raised(from_days: Span, queens: Queens, donor_brood: Span = (WORKER_DAYS - 3, WORKER_DAYS)) -> Timeline:
    """Return the timeline of a queen raised from brood so many days from the egg on the splitting day."""
    young, old = from_days
    capped = (QUEEN_CELL_CAPPED_DAYS - old, QUEEN_CELL_CAPPED_DAYS - young)
    return _hatched(capped, (QUEEN_DAYS - old, QUEEN_DAYS - young), queens, donor_brood)


def _hatched(capped: Span | None, emerges: Span, queens: Queens, donor_brood: Span) -> Timeline:
    mean, spread = queens.eggs_days, queens.eggs_spread_days
    eggs = (emerges[0] + max(FIRST_FLIGHT_DAYS[0], mean - spread), emerges[1] + mean + spread)
    return Timeline(
        capped=capped,
        emerges=emerges,
        flies=_both(emerges, FIRST_FLIGHT_DAYS),
        too_late=_both(emerges, TOO_OLD_DAYS),
        eggs=eggs,
        new_bees=_later(eggs, WORKER_DAYS),
        donor_brood=donor_brood,
    )


def _both(one: Span, other: Span) -> Span:
    return (one[0] + other[0], one[1] + other[1])


def _later(span: Span, days: float) -> Span:
    return (span[0] + days, span[1] + days)


def whole_days(span: Span) -> tuple[int, int]:
    """Return the whole days that hold a range: the earliest rounded down, the latest up."""
    return math.floor(span[0] + 1e-9), math.ceil(span[1] - 1e-9)
