"""Straight-line distance on the WGS-84 ellipsoid by Vincenty's inverse formula.

T. Vincenty, "Direct and inverse solutions of geodesics on the ellipsoid with application of nested
equations", Survey Review 23 (176), 1975. Better than a millimetre on the distances between yards.
"""

from math import atan2, cos, hypot, radians, remainder, sin, sqrt, tan

from routeplan.operation.world import Place

EQUATOR_RADIUS_M = 6378137.0
FLATTENING = 1 / 298.257223563
MEAN_RADIUS_M = 6371008.8
"""Mean radius of the same ellipsoid, for the fallback only."""

_POLE_RADIUS_M = EQUATOR_RADIUS_M * (1 - FLATTENING)
_ROUNDS = 200


def distance_m(here: Place, there: Place) -> float:
    """Return the geodesic distance in metres between two places.

    Where the formula does not converge (places almost opposite each other on the globe) the distance on
    a sphere of the mean radius is returned, which is within 0.6 % of the true one.
    """
    turn = radians(remainder(there.lon - here.lon, 360.0))
    low, high = _reduced(here.lat), _reduced(there.lat)
    angle = turn
    for _ in range(_ROUNDS):
        across = hypot(cos(high) * sin(angle), cos(low) * sin(high) - sin(low) * cos(high) * cos(angle))
        if across == 0.0 and cos(angle) > 0:
            return 0.0
        along = sin(low) * sin(high) + cos(low) * cos(high) * cos(angle)
        arc = atan2(across, along)
        tilt = cos(low) * cos(high) * sin(angle) / across if across else 0.0
        square = 1 - tilt * tilt
        middle = along - 2 * sin(low) * sin(high) / square if square > 1e-15 else 0.0
        bend = FLATTENING / 16 * square * (4 + FLATTENING * (4 - 3 * square))
        inner = middle + bend * along * (2 * middle * middle - 1)
        before, angle = angle, turn + (1 - bend) * FLATTENING * tilt * (arc + bend * across * inner)
        if abs(angle - before) < 1e-14:
            return _length_m(square, arc, across, along, middle)
    return sphere_m(here, there)


def sphere_m(here: Place, there: Place) -> float:
    """Return the distance in metres on a sphere of the mean radius."""
    low, high = radians(here.lat), radians(there.lat)
    turn = radians(there.lon - here.lon)
    across = hypot(cos(high) * sin(turn), cos(low) * sin(high) - sin(low) * cos(high) * cos(turn))
    return MEAN_RADIUS_M * atan2(across, sin(low) * sin(high) + cos(low) * cos(high) * cos(turn))


def _reduced(lat: float) -> float:
    return atan2((1 - FLATTENING) * tan(radians(lat)), 1.0)


def _length_m(square: float, arc: float, across: float, along: float, middle: float) -> float:
    second = square * (EQUATOR_RADIUS_M**2 - _POLE_RADIUS_M**2) / _POLE_RADIUS_M**2
    root = sqrt(1 + second)
    k = (root - 1) / (root + 1)
    scale, twist = (1 + k * k / 4) / (1 - k), k * (1 - 3 * k * k / 8)
    last = twist / 6 * middle * (4 * across * across - 3) * (4 * middle * middle - 3)
    shift = twist * across * (middle + twist / 4 * (along * (2 * middle * middle - 1) - last))
    return _POLE_RADIUS_M * scale * (arc - shift)
