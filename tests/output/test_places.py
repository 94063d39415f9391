"""Places, checked by an independent reader (geojson) and against RFC 7946."""

import json
from dataclasses import replace
from itertools import pairwise
from typing import Any

import geojson
import pytest

from routeplan.operation.world import Operation, Place
from routeplan.output.day import day_of
from routeplan.output.places import places_geojson
from routeplan.plan import Plan
from tests.output.sample import HOSTILE, OPERATION, ROUTE, YARDS, hostile, no_plan, plan_of


def read(operation: Operation = OPERATION, plan: Plan | None = None) -> Any:
    found = geojson.loads(places_geojson(day_of(operation, plan or plan_of())).decode())
    assert found.is_valid, found.errors()
    return found


def of(kind: str, found: Any) -> list[Any]:
    return [f for f in found["features"] if f["properties"]["kind"] == kind]


@pytest.mark.parametrize("plan", [plan_of(), no_plan()], ids=["plan", "no plan"])
def test_every_feature_has_its_three_members(plan: Plan) -> None:
    """RFC 7946, section 3.2: type, geometry and properties are all there."""
    for feature in json.loads(places_geojson(day_of(OPERATION, plan)))["features"]:
        assert set(feature) == {"type", "geometry", "properties"}


def test_longitude_comes_first() -> None:
    yards = of("yard", read())
    assert [y["geometry"]["coordinates"] for y in yards] == [[y.place.lon, y.place.lat] for y in YARDS]
    assert of("home", read())[0]["geometry"]["coordinates"] == [-1.47, 52.21]


def test_what_is_said_of_a_yard_a_drive_and_splits() -> None:
    found = read()
    birch = next(y for y in of("yard", found) if y["properties"]["name"] == "Birch")["properties"]
    assert (birch["stops"], birch["splits_made"], birch["splits_placed"]) == ([2], 2, 1)
    (drive,) = of("drive", found)
    assert len(drive["geometry"]["coordinates"]) == len(ROUTE) + 2
    assert [
        (s["properties"]["from"], s["properties"]["to"], list(s["properties"]["boxes"]))
        for s in of("splits", found)
    ] == [
        ("Alder", "Birch", [1]),
        ("Alder", "Gorse", [2, 3]),
        ("Birch", "Heath", [4, 5]),
    ]


def test_a_drive_over_the_180th_meridian_is_cut() -> None:
    """RFC 7946, section 3.1.9: no part crosses it; the cut is on the line, here half-way."""
    ends = {"Alder": Place(0.0, 179.0), "Birch": Place(2.0, -179.0)}
    yards = tuple(replace(y, place=ends.get(y.id, Place(1.0, 179.5)), parking=None) for y in YARDS)
    moved = replace(OPERATION, yards=yards, crew=replace(OPERATION.crew, home=Place(0.0, 179.0)))
    (drive,) = of("drive", read(moved))
    assert drive["geometry"]["type"] == "MultiLineString"
    first, second, third = drive["geometry"]["coordinates"]
    assert (first[-1], second[0]) == ([180.0, 1.0], [-180.0, 1.0])
    assert second[-1][0] == -180.0
    assert third[0][0] == 180.0
    for part in (first, second, third):
        assert all(abs(a[0] - b[0]) <= 180 for a, b in pairwise(part))


def test_no_gate_code_no_note_and_names_of_any_letters() -> None:
    text = places_geojson(day_of(OPERATION, plan_of())).decode()
    for secret in ("4471", "bull", "Wasps"):
        assert secret not in text
    assert {y["properties"]["name"] for y in of("yard", read(*hostile()))} == set(HOSTILE)
