"""Yards that may be used, the distances between them, and the roads."""

import itertools
from typing import NamedTuple

from geopy.distance import geodesic

from routeplan.operation.world import Operation, Place, Yard
from tests.oracle.colonies import GOOD_HEALTH

HOME = "home"


class Road(NamedTuple):
    """One way between two places: seconds driven, and metres, not rounded."""

    seconds: int
    metres: float


def usable(operation: Operation, yard: Yard) -> bool:
    """Say whether the yard may be visited on the day."""
    closed = yard.closed_until is not None and operation.day < yard.closed_until
    return yard.health in GOOD_HEALTH and operation.day.isoweekday() not in yard.closed_days and not closed


def _override(operation: Operation, one: str, other: str, what: str) -> float | None:
    for pair in operation.pairs:
        value = getattr(pair, what)
        if {pair.yard, pair.other} == {one, other} and value is not None:
            return float(value)
    return None


def far_enough(operation: Operation, one: Yard, other: Yard) -> bool:
    """Say whether bees of one yard may stand at the other."""
    known = None if one.id == other.id else _override(operation, one.id, other.id, "flying_m")
    metres = geodesic((one.place.lat, one.place.lon), (other.place.lat, other.place.lon)).m
    return (metres if known is None else known) >= operation.settings.minimum_distance_m - 0.001


def metre_s(operation: Operation) -> float:
    """Seconds that one metre of road is worth: 0 but where money counts."""
    costs = operation.settings.costs
    if operation.settings.objective != "money":
        return 0.0
    return costs.per_km / 1000 / (costs.per_hour / 3600)


def roads(operation: Operation) -> dict[tuple[str, str], Road]:
    """Find the quickest roads between home and all yards; the cheapest where money counts."""
    stops: dict[str, Place] = {HOME: operation.crew.home} | {y.id: y.stop for y in operation.yards}
    assert len(stops) == len(operation.yards) + 1, "no yard may be called home here"
    drive, worth = operation.settings.drive, metre_s(operation)
    found = {}
    for a, b in itertools.product(stops, stops):
        km = geodesic((stops[a].lat, stops[a].lon), (stops[b].lat, stops[b].lon)).km
        known = _override(operation, a, b, "drive_min")
        estimate = drive.access_min + drive.detour * km / drive.speed_kmh * 60
        direct = 0 if km < 0.05 else round(60 * estimate)
        seconds = direct if known is None else round(60 * known)
        found[a, b] = Road(0, 0.0) if a == b else Road(seconds, drive.detour * km * 1000)
    cost = {pair: road.seconds + worth * road.metres for pair, road in found.items()}
    for via, a, b in itertools.product(stops, stops, stops):
        if cost[a, via] + cost[via, b] < cost[a, b] - 1e-9:
            cost[a, b] = cost[a, via] + cost[via, b]
            there, back = found[a, via], found[via, b]
            found[a, b] = Road(there.seconds + back.seconds, there.metres + back.metres)
    return found


def drives(operation: Operation) -> dict[tuple[str, str], int]:
    """Seconds between home and all yards, by the roads that are used."""
    return {pair: road.seconds for pair, road in roads(operation).items()}


def worths(operation: Operation) -> dict[tuple[str, str], int]:
    """Seconds that the metres of each of these roads are worth: 0 but where money counts."""
    worth = metre_s(operation)
    return {pair: round(worth * round(road.metres)) for pair, road in roads(operation).items()}
