"""How a colony meets the flow, and whether it may swarm."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routeplan.colony.forecast import NEVER, Colonies, Course, Days, Floats
from routeplan.operation.colony_settings import Forecast

PRESSURE_DAYS = 21
"""Swarm pressure is looked for until so many days after the splitting day."""


def first_flow_day(colonies: Colonies) -> Days:
    """Return the first day of flow after day 0, (n,); NEVER where none comes."""
    return np.where(colonies.flow.any(axis=1), colonies.flow.argmax(axis=1) + 1, NEVER)


@dataclass(frozen=True)
class Meeting:
    """How colonies meet the flow: its first day, bees and cells of brood then, each (n,); NaN if none."""

    day: Days
    bees: Floats
    brood: Floats


def at_the_flow(colonies: Colonies, course: Course) -> Meeting:
    """Return how the colonies stand on the first day of the flow."""
    day = first_flow_day(colonies)
    there = np.where(day == NEVER, 0, day)
    rows = np.arange(len(day))

    def then(values: Floats) -> Floats:
        return np.where(day == NEVER, np.nan, values[rows, there])

    return Meeting(day, then(course.adults), then(course.brood))


def swarm_pressure(
    colonies: Colonies, course: Course, covering: Floats, assumed: Forecast
) -> NDArray[np.str_]:
    """Say how likely colonies are to swarm in the three weeks after: "low", "some" or "high", (n,).

    High: on one day bees cover all combs and brood fills so much of the room. Some: either of them. The signs
    are common practice, the share is a setting (from memory). Colonies without a laying queen do not swarm.

    Parameters
    ----------
    covering : (n,) bees that cover all combs of the brood boxes.
    """
    seen = slice(0, PRESSURE_DAYS + 1)
    crowded = course.adults[:, seen] >= covering[:, None]
    full = course.brood[:, seen] >= assumed.crowded_brood * colonies.room[:, None]
    both, either = (crowded & full).any(axis=1), (crowded | full).any(axis=1)
    words = np.where(both, "high", np.where(either, "some", "low"))
    return np.where(colonies.laying_from <= 0, words, "low")
