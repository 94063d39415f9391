"""Yards, the drive and where splits go, for programs that draw maps: GeoJSON as in RFC 7946.

A position there is longitude first, then latitude, WGS-84 degrees. Gate codes and notes are left out.
"""

import json
from itertools import pairwise
from typing import Any

from routeplan.operation.world import Place
from routeplan.output import day as days
from routeplan.output import measures, words
from routeplan.output.day import Day
from routeplan.plan import Split

DIGITS = 6
"""Decimals of a degree, as many as RFC 7946 (section 11.2) finds reasonable."""


def places_geojson(day: Day) -> bytes:
    """Return all yards, home, the drive in straight lines and a line for each pair of yards with splits."""
    features = [_yard(day, n) for n in range(len(day.operation.yards))]
    home = day.operation.crew.home
    features.append(_feature("home", "Point", _position(home), {"name": "Home"}))
    if day.plan.stops:
        way = [home, *(day.operation.yard(s.yard).stop for s in day.plan.stops), home]
        features.append(_line("drive", way, {"name": words.STRAIGHT_LINES}))
    for (start, end), splits in _pairs(day).items():
        ends = [day.operation.yard(start).place, day.operation.yard(end).place]
        said = {
            "from": start,
            "to": end,
            "boxes": [day.boxes[s.id] for s in splits],
            "flying_m": splits[0].flying_m,
        }
        features.append(_line("splits", ends, said))
    return (json.dumps({"type": "FeatureCollection", "features": features}, indent=1) + "\n").encode()


def _yard(day: Day, index: int) -> dict[str, Any]:
    yard = day.operation.yards[index]
    stops = [(n, day.plan.stops[n - 1]) for n in day.stops_at(yard.id)]
    said = {
        "name": yard.id,
        "today": words.JOB[days.job(day, yard)],
        "stops": [n for n, _ in stops],
        "times": [f"{measures.clock(s.arrive)} to {measures.clock(s.depart)}" for _, s in stops],
        "splits_made": sum(len(s.makes) for _, s in stops),
        "splits_placed": sum(len(s.places) for _, s in stops),
    }
    return _feature("yard", "Point", _position(yard.place), said)


def _pairs(day: Day) -> dict[tuple[str, str], list[Split]]:
    pairs: dict[tuple[str, str], list[Split]] = {}
    for split in day.splits():
        pairs.setdefault((split.from_yard, split.to_yard), []).append(split)
    return pairs


def _feature(kind: str, shape: str, positions: Any, said: dict[str, Any]) -> dict[str, Any]:
    geometry = {"type": shape, "coordinates": positions}
    return {"type": "Feature", "geometry": geometry, "properties": {"kind": kind, **said}}


def _line(kind: str, places: list[Place], said: dict[str, Any]) -> dict[str, Any]:
    parts = _parts(places)
    if len(parts) == 1:
        return _feature(kind, "LineString", parts[0], said)
    return _feature(kind, "MultiLineString", parts, said)


def _parts(places: list[Place]) -> list[list[list[float]]]:
    """Cut a line where it crosses the 180th meridian (RFC 7946, section 3.1.9)."""
    parts = [[_position(places[0])]]
    for start, end in pairwise(places):
        if abs(end.lon - start.lon) > 180:
            side = 180.0 if start.lon > 0 else -180.0
            across = (side - start.lon) / (end.lon + 2 * side - start.lon)
            lat = round(start.lat + across * (end.lat - start.lat), DIGITS)
            parts[-1].append([side, lat])
            parts.append([[-side, lat]])
        parts[-1].append(_position(end))
    return parts


def _position(place: Place) -> list[float]:
    return [round(place.lon, DIGITS), round(place.lat, DIGITS)]
