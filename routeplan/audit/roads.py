"""How far apart yards are and how long the shortest drive takes, worked out for the audit alone."""

from dataclasses import dataclass, field
from heapq import heappop, heappush

from routeplan.audit.distance import distance_m
from routeplan.operation.world import Operation, Pair

SAME_PLACE_M = 50.0
"""Stops closer than this need no drive."""

Road = tuple[int, float]
"""Seconds and metres of a drive."""


@dataclass
class Roads:
    """Distances of an operation; None stands for home. Each start is worked out once."""

    operation: Operation
    _from: dict[str | None, dict[str | None, Road]] = field(default_factory=dict)
    _cheap: dict[str | None, dict[str | None, Road]] = field(default_factory=dict)
    _legs: dict[tuple[str | None, str | None], Road] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._stops = {None: self.operation.crew.home} | {y.id: y.stop for y in self.operation.yards}
        self._pairs: dict[frozenset[str], list[Pair]] = {}
        for pair in self.operation.pairs:
            self._pairs.setdefault(frozenset((pair.yard, pair.other)), []).append(pair)

    def flying_m(self, yard: str, other: str) -> float:
        """Return metres between the hives of two yards; what the beekeeper stated for the pair wins."""
        for pair in self._known(yard, other):
            if pair.flying_m is not None:
                return pair.flying_m
        return distance_m(self.operation.yard(yard).place, self.operation.yard(other).place)

    def leg(self, start: str | None, end: str | None) -> Road:
        """Return seconds and metres of the direct drive between two stops."""
        key = (start, end)
        if key not in self._legs:
            self._legs[key] = self._legs[(end, start)] = self._direct(start, end)
        return self._legs[key]

    def shortest(self, start: str | None, end: str | None) -> Road:
        """Return seconds and metres of the shortest drive, through other yards where that is shorter.

        Of equally long drives the one of fewer metres counts.
        """
        if start not in self._from:
            self._from[start] = self._spread(start, 0.0)
        return self._from[start][end]

    def cheapest(self, start: str | None, end: str | None) -> Road:
        """Return seconds and metres of the drive of least seconds plus what its metres are worth."""
        if start not in self._cheap:
            self._cheap[start] = self._spread(start, metre_s(self.operation))
        return self._cheap[start][end]

    def _known(self, yard: str | None, other: str | None) -> list[Pair]:
        if yard is None or other is None:
            return []
        return self._pairs.get(frozenset((yard, other)), [])

    def _direct(self, start: str | None, end: str | None) -> Road:
        drive = self.operation.settings.drive
        straight_m = distance_m(self._stops[start], self._stops[end])
        metres = drive.detour * straight_m
        for pair in self._known(start, end):
            if pair.drive_min is not None:
                return round(60 * pair.drive_min), metres
        if straight_m < SAME_PLACE_M:
            return 0, metres
        return round(60 * (drive.access_min + metres / 1000 / drive.speed_kmh * 60)), metres

    def _spread(self, start: str | None, metre_s: float) -> dict[str | None, Road]:
        done: dict[str | None, Road] = {}
        waiting: list[tuple[float, int, float, str, str | None]] = [(0.0, 0, 0.0, "", start)]
        while waiting:
            worth, seconds, metres, _, here = heappop(waiting)
            if here in done:
                continue
            done[here] = (seconds, metres)
            for there in self._stops:
                if there not in done:
                    more_s, more_m = self.leg(here, there)
                    more = worth + more_s + metre_s * more_m
                    heappush(waiting, (more, seconds + more_s, metres + more_m, there or "", there))
        return done


def metre_s(operation: Operation) -> float:
    """Return the seconds of paid time a metre of road is worth: none unless the least money is wanted."""
    costs = operation.settings.costs
    if operation.settings.objective != "money" or costs.per_hour <= 0:
        return 0.0
    return costs.per_km / 1000 / (costs.per_hour / 3600)
