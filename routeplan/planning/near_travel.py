"""Distances of many yards in a hurry: never longer than the exact ones, so good for choosing and for limits.

On a sphere (Haversine formula) a distance differs from the geodesic by less than 0.6 % (the flattening of
WGS-84 is 1/298.257), so 0.6 % off is a lower limit. Where times of the road are stated for pairs of yards, or
two of them stand side by side, there may be short cuts: then all is measured exactly.
"""

import numpy as np
from numpy.typing import NDArray

from routeplan.operation.world import Operation, Place
from routeplan.planning.travel import SAME_PLACE_M, Travel, travel_of

EARTH_RADIUS_M = 6_371_008.8
"""Mean radius of the WGS-84 ellipsoid (IUGG)."""
SLACK = 0.006

Floats = NDArray[np.float64]


def near_travel(operation: Operation) -> Travel:
    """Return distances and drives that are exact or a little too short, and yards far enough or nearly so."""
    stops = _sphere_m([operation.crew.home, *(y.stop for y in operation.yards)]) * (1 - SLACK)
    beside = bool((stops[~np.eye(len(stops), dtype=bool)] < 2 * SAME_PLACE_M).any())
    if beside or any(p.drive_min is not None for p in operation.pairs):
        return travel_of(operation)
    settings = operation.settings
    metres = stops * settings.drive.detour
    seconds = 60 * (settings.drive.access_min + metres / 1000 / settings.drive.speed_kmh * 60)
    np.fill_diagonal(seconds, 0.0)
    whole = np.floor(seconds).astype(np.int64)
    flying = _sphere_m([y.place for y in operation.yards])
    index = {y.id: i for i, y in enumerate(operation.yards)}
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
