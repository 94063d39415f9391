"""Distances bees fly and minutes a truck drives.

Flying distances are WGS-84 geodesics between hives' positions; they decide the distance rule. Drive times
are estimates between parking points, closed under shortest paths, in whole seconds; index 0 is home.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from geopy.distance import geodesic
from numpy.typing import NDArray

from routeplan.operation.settings import Drive, Settings
from routeplan.operation.world import Operation, Place

SAME_PLACE_M = 50.0
DISTANCE_TOLERANCE_M = 0.001
KEPT = 100_000
"""Distances remembered: what would help is tried with the same yards again and again."""

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@lru_cache(maxsize=KEPT)
def flying_m(a: Place, b: Place) -> float:
    """Geodesic distance in metres (WGS-84, geopy)."""
    return float(geodesic((a.lat, a.lon), (b.lat, b.lon)).m)


def leg_s(metres: float, drive: Drive) -> int:
    """Estimated seconds of one direct leg of that straight-line length; 0 within the same place."""
    if metres < SAME_PLACE_M:
        return 0
    return round(60 * (drive.access_min + drive.detour * metres / 1000 / drive.speed_kmh * 60))


@dataclass(frozen=True)
class Travel:
    """Matrices over yards in the operation's order; the drive matrices have home at index 0.

    Attributes
    ----------
    flying : (yards, yards) metres.
    drive_s : (1 + yards, 1 + yards) whole seconds of the best roads.
    drive_m : (1 + yards, 1 + yards) road metres along the same ways.
    quick_s : (1 + yards, 1 + yards) whole seconds of the quickest roads; the same as drive_s unless metres
        count too. The triangle inequality holds.
    far : (yards, yards) bool, whether a split made at the row's yard may live at the column's.
    """

    flying: Floats
    drive_s: Ints
    drive_m: Ints
    quick_s: Ints
    far: NDArray[np.bool_]


def travel_of(operation: Operation) -> Travel:
    """Measure all pairs of yards of an operation, pair overrides included."""
    yards = operation.yards
    flying = _all_pairs([y.place for y in yards])
    if all(y.parking is None for y in yards):
        road = np.zeros((len(yards) + 1, len(yards) + 1))
        road[1:, 1:] = flying
        road[0, 1:] = road[1:, 0] = [flying_m(operation.crew.home, y.place) for y in yards]
    else:
        road = _all_pairs([operation.crew.home, *(y.stop for y in yards)])
    seconds = np.array([[leg_s(m, operation.settings.drive) for m in row] for row in road], dtype=np.int64)
    metres = road * operation.settings.drive.detour
    index = {y.id: i for i, y in enumerate(yards)}
    for pair in operation.pairs:
        a, b = index[pair.yard], index[pair.other]
        if pair.flying_m is not None:
            flying[a, b] = flying[b, a] = pair.flying_m
        if pair.drive_min is not None:
            seconds[a + 1, b + 1] = seconds[b + 1, a + 1] = round(60 * pair.drive_min)
    quick_s = seconds.copy()
    close(quick_s.astype(np.float64), quick_s, np.zeros_like(metres))
    close(seconds + road_worth_s(operation.settings) * metres, seconds, metres)
    far = flying >= operation.settings.minimum_distance_m - DISTANCE_TOLERANCE_M
    np.fill_diagonal(far, False)
    return Travel(flying, seconds, np.rint(metres).astype(np.int64), quick_s, far)


def road_worth_s(settings: Settings) -> float:
    """Seconds of paid time that a metre of road is worth: nothing unless money counts."""
    costs = settings.costs
    if settings.objective != "money" or costs.per_hour <= 0:
        return 0.0
    return costs.per_km / 1000 / (costs.per_hour / 3600)


def _all_pairs(places: list[Place]) -> Floats:
    matrix = np.zeros((len(places), len(places)))
    for i, a in enumerate(places):
        for j in range(i):
            matrix[i, j] = matrix[j, i] = flying_m(a, places[j])
    return matrix


def close(worth: Floats, seconds: Ints, metres: Floats) -> None:
    """Replace each leg by the way of least worth, through other places if that is less (Floyd, Warshall)."""
    for via in range(len(seconds)):
        through = worth[:, via, None] + worth[None, via, :]
        better = through < worth - 1e-6
        worth[better] = through[better]
        seconds[better] = (seconds[:, via, None] + seconds[None, via, :])[better]
        metres[better] = (metres[:, via, None] + metres[None, via, :])[better]
