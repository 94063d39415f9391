"""Distances of many yards in a hurry: never longer than the exact ones, so good for choosing and for limits.

On a sphere (Haversine formula) a distance differs from the geodesic by less than 0.6 % (the flattening of
WGS-84 is 1/298.257), so 0.6 % off is a lower limit. Short cuts are taken, by roads whose time is stated and
through yards side by side: the quickest way over legs that are none too long is none too long either.
"""

import numpy as np
from numpy.typing import NDArray

from routeplan.operation.world import Operation, Place
from routeplan.planning.travel import SAME_PLACE_M, Travel, close, travel_of

EARTH_RADIUS_M = 6_371_008.8
"""Mean radius of the WGS-84 ellipsoid (IUGG)."""
SLACK = 0.006
FEW_YARDS = 40
"""So many are measured exactly in a tenth of a second."""

Floats = NDArray[np.float64]


def near_travel(operation: Operation) -> Travel:
    """Return distances and drives that are exact or a little too short, and yards far enough or nearly so."""
    if len(operation.yards) <= FEW_YARDS:
        return travel_of(operation)
    settings = operation.settings
    metres = _sphere_m([operation.crew.home, *(y.stop for y in operation.yards)]) * (1 - SLACK)
    beside = metres < SAME_PLACE_M
    metres *= settings.drive.detour
    seconds = 60 * (settings.drive.access_min + metres / 1000 / settings.drive.speed_kmh * 60)
    seconds[beside] = 0.0
    whole = np.floor(seconds).astype(np.int64)
    index = {y.id: i for i, y in enumerate(operation.yards)}
    for pair in operation.pairs:
        if pair.drive_min is not None:
            a, b = index[pair.yard] + 1, index[pair.other] + 1
            whole[a, b] = whole[b, a] = round(60 * pair.drive_min)
    close(whole.astype(np.float64), whole, np.zeros_like(metres))
    flying = _sphere_m([y.place for y in operation.yards])
    for pair in operation.pairs:
        if pair.flying_m is not None:
            a, b = index[pair.yard], index[pair.other]
            flying[a, b] = flying[b, a] = pair.flying_m
    far = flying * (1 + SLACK) >= settings.minimum_distance_m
    np.fill_diagonal(far, False)
    return Travel(flying, whole, np.floor(metres).astype(np.int64), whole, far)


def _sphere_m(places: list[Place]) -> Floats:
    """Great-circle metres between all pairs."""
    lat, lon = (np.radians([getattr(p, axis) for p in places]) for axis in ("lat", "lon"))
    by_lat = np.sin((lat[:, None] - lat[None, :]) / 2) ** 2
    by_lon = np.cos(lat)[:, None] * np.cos(lat)[None, :] * np.sin((lon[:, None] - lon[None, :]) / 2) ** 2
    return np.asarray(2 * EARTH_RADIUS_M * np.arcsin(np.sqrt(np.clip(by_lat + by_lon, 0.0, 1.0))))
